//! What to set on a wrench that carries an adapter.

use serde::Serialize;
use serde_json::{Value, json};
use uom::si::f64::Ratio;

use super::figure::torque_text;
use super::{Report, Style, sheet};
use crate::quantity::tolerance::whole_below;
use crate::quantity::{Resolution, Torque, TorqueUnit, in_newton_metres};

/// A setting with an adapter.
#[derive(Debug, Serialize)]
pub struct SettingReport {
    at_bolt_nm: f64,
    setting_nm: f64,
    setting_on_step_nm: Option<f64>,
    at_bolt_on_step_nm: Option<f64>,
    factor: f64,
    setting_text: String,
    #[serde(skip)]
    at_bolt_text: String,
    #[serde(skip)]
    on_step_text: Option<String>,
}

impl SettingReport {
    /// The setting `exact` for `at_bolt`, and the wrench's step below it where one is known, so that
    /// the bolt never gets more than was asked for.
    pub fn new(
        at_bolt: Torque,
        exact: Torque,
        step: Option<Torque>,
        factor: Ratio,
        resolution: Resolution,
        unit: TorqueUnit,
    ) -> SettingReport {
        let on_step = step.map(|step| step * whole_below((exact / step).value));
        let shown = |torque| torque_text(torque, resolution, unit);
        SettingReport {
            at_bolt_nm: in_newton_metres(at_bolt),
            setting_nm: in_newton_metres(exact),
            setting_on_step_nm: on_step.map(in_newton_metres),
            at_bolt_on_step_nm: on_step.map(|setting| in_newton_metres(setting * factor.value)),
            factor: factor.value,
            setting_text: shown(on_step.unwrap_or(exact)),
            at_bolt_text: torque_text(at_bolt, Resolution(unit.of(0.01)), unit),
            on_step_text: on_step
                .map(|setting| torque_text(setting * factor.value, Resolution(unit.of(0.01)), unit)),
        }
    }
}

impl Report for SettingReport {
    fn json(&self) -> Value {
        json!(self)
    }

    fn text(&self, style: &Style) -> String {
        let mut text = format!(
            "{} on the scale for {} at the bolt\n",
            style.strong(&self.setting_text),
            self.at_bolt_text
        );
        text += &style
            .listed("Lever", &[format!("the bolt gets {:.4} times what the wrench shows", self.factor)]);
        if let Some(on_step) = &self.on_step_text {
            text += &style.listed("Step", &[format!("on the step below, the bolt gets {on_step}")]);
        }
        text += &style
            .listed("Caution", &["Pull at the middle of the handle: a hand elsewhere changes the lever."]);
        text
    }

    fn rows(&self) -> Vec<Vec<String>> {
        sheet(&self.json(), "", "at_bolt_nm,setting_nm,setting_on_step_nm,factor")
    }
}
