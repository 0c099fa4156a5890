//! The order of the bolts as steps a person can follow, with the joint drawn.

use serde::Serialize;
use uom::si::f64::Ratio;
use uom::si::ratio::percent;

use super::figure::torque_text;
use super::{Report, Style, columns, records};
use crate::quantity::{Resolution, Torque, TorqueUnit, in_newton_metres};
use crate::sequence::{Bolt, Layout, Scale, SettingError, diagram, settings};

/// What surrounds the tightening of a joint.
#[derive(Debug)]
pub struct Procedure {
    /// What the joint is.
    pub title: String,
    /// What is specified, and on whose word.
    pub specified: String,
    /// Preparation, and what must be loose or set first.
    pub before: Vec<String>,
    /// What to watch.
    pub during: Vec<String>,
    /// Verification.
    pub after: Vec<String>,
    /// What can hurt.
    pub cautions: Vec<String>,
}

/// The steps of a joint.
#[derive(Debug, Serialize)]
pub struct OrderReport {
    bolts: usize,
    layout: String,
    sequence: Vec<usize>,
    passes: Vec<Pass>,
    confirm: bool,
    target_nm: f64,
    specified: String,
    before: Vec<String>,
    during: Vec<String>,
    after: Vec<String>,
    cautions: Vec<String>,
    #[serde(skip)]
    title: String,
    #[serde(skip)]
    diagram: String,
    #[serde(skip)]
    numbering: &'static str,
    #[serde(skip)]
    target_text: String,
}

#[derive(Debug, Serialize)]
struct Pass {
    percent: f64,
    steps: Vec<PassStep>,
}

#[derive(Debug, Serialize)]
struct PassStep {
    bolt: usize,
    setting_nm: f64,
    setting_text: String,
}

impl OrderReport {
    /// The report of bringing the bolts of `layout` up to `target` in `sequence`, at each part of
    /// `ladder_percent`, on the wrench's `scale`.
    ///
    /// # Errors
    /// [`SettingError`] when the wrench cannot be set to the parts of the target.
    pub fn new(
        layout: &Layout,
        sequence: &[Bolt],
        ladder_percent: &[f64],
        target: Torque,
        scale: Scale,
        unit: TorqueUnit,
        procedure: Procedure,
    ) -> Result<OrderReport, SettingError> {
        let levels: Vec<Ratio> = ladder_percent.iter().map(|part| Ratio::new::<percent>(*part)).collect();
        let settings = settings(target, &levels, scale)?;
        let text = |torque: Torque| torque_text(torque, Resolution(scale.step()), unit);
        let passes = ladder_percent.iter().zip(&settings).map(|(part, setting)| Pass {
            percent: *part,
            steps: sequence
                .iter()
                .map(|bolt| PassStep {
                    bolt: bolt.number(),
                    setting_nm: in_newton_metres(*setting),
                    setting_text: text(*setting),
                })
                .collect(),
        });
        Ok(OrderReport {
            bolts: layout.bolts(),
            layout: layout.shape().to_string(),
            sequence: sequence.iter().map(|bolt| bolt.number()).collect(),
            passes: passes.collect(),
            confirm: true,
            target_nm: in_newton_metres(target),
            target_text: text(target),
            diagram: diagram(layout),
            numbering: layout.numbering(),
            title: procedure.title,
            specified: procedure.specified,
            before: procedure.before,
            during: procedure.during,
            after: procedure.after,
            cautions: procedure.cautions,
        })
    }

    fn steps_text(&self, style: &Style) -> String {
        let mut rows = Vec::new();
        for (index, pass) in self.passes.iter().enumerate() {
            for (step, bolt) in pass.steps.iter().enumerate() {
                let first = if step == 0 { format!("{} %", pass.percent) } else { String::new() };
                rows.push(vec![
                    format!("{}.{}", index + 1, step + 1),
                    format!("bolt {}", bolt.bolt),
                    bolt.setting_text.clone(),
                    first,
                ]);
            }
        }
        columns(&records(&["step", "bolt", "set to", "of the target"], rows), style)
    }
}

impl Report for OrderReport {
    fn text(&self, style: &Style) -> String {
        let mut text = format!("{}: {}\n", style.strong(&self.title), self.specified);
        text += &style.listed("Before", &self.before);
        text += "\n";
        text += &self
            .diagram
            .lines()
            .map(|line| format!("    {line}").trim_end().to_owned() + "\n")
            .collect::<String>();
        text += &style.listed("", &[format!("Bolts {}.", self.numbering)]);
        text += "\n";
        text += &self.steps_text(style);
        text += "\n";
        let order: Vec<String> = self.sequence.iter().map(ToString::to_string).collect();
        text += &style.listed(
            "Confirm",
            &[format!("Once more {} at {} until no bolt moves.", order.join("-"), self.target_text)],
        );
        text += &style.listed("Watch", &self.during);
        text += &style.listed("After", &self.after);
        text += &style.listed("Caution", &self.cautions);
        text += &style
            .listed("First", &["The figure on the part and its maker's instructions come before this one."]);
        text
    }

    fn rows(&self) -> Vec<Vec<String>> {
        let mut rows = Vec::new();
        for (index, pass) in self.passes.iter().enumerate() {
            for (step, bolt) in pass.steps.iter().enumerate() {
                rows.push(vec![
                    (index + 1).to_string(),
                    (step + 1).to_string(),
                    pass.percent.to_string(),
                    bolt.bolt.to_string(),
                    bolt.setting_nm.to_string(),
                    bolt.setting_text.clone(),
                ]);
            }
        }
        records(&["pass", "step", "percent", "bolt", "setting_nm", "setting"], rows)
    }
}
