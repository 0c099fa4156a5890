//! Which wrench serves a torque best, and what to buy where none does.

use serde::Serialize;
use serde_json::{Value, json};

use super::aim::chance_text;
use super::figure::torque_text;
use super::words::doubt_text;
use super::{Report, Style, columns, records, sheet};
use crate::conformity::Aim;
use crate::quantity::{Resolution, Torque, TorqueUnit, in_newton_metres};
use crate::wrench::{Candidate, Need};

/// The wrenches for several torques.
#[derive(Debug, Serialize)]
pub struct PickReport {
    picked: Vec<PickedFor>,
    to_buy: Vec<Purchase>,
    /// Torques that no usual wrench can settle.
    beyond: usize,
}

/// The wrenches for one torque, best first.
#[derive(Debug, Serialize)]
pub struct PickedFor {
    spec: String,
    specified: Option<String>,
    ground: String,
    wrenches: Vec<PickLine>,
}

#[derive(Debug, Serialize)]
struct PickLine {
    wrench: String,
    serves: bool,
    setting_nm: Option<f64>,
    chance_inside: Option<f64>,
    place_percent: Option<f64>,
    why_not: Vec<String>,
    #[serde(skip)]
    setting_text: String,
    #[serde(skip)]
    chance_text: String,
}

#[derive(Debug, Serialize)]
struct Purchase {
    lowest_nm: f64,
    highest_nm: f64,
    capacity_at_most_nm: f64,
    step_at_most_nm: f64,
    accuracy_percent_at_most: f64,
    anticlockwise: bool,
    #[serde(skip)]
    text: String,
}

impl PickedFor {
    /// No candidates yet for a torque typed as `spec`.
    pub fn new(spec: &str, specified: Option<String>, ground: &str) -> PickedFor {
        PickedFor { spec: spec.to_owned(), specified, ground: ground.to_owned(), wrenches: Vec::new() }
    }

    /// Adds the next best candidate with the setting to aim at on it.
    pub fn add(&mut self, candidate: &Candidate<'_>, aim: Option<Aim>, unit: TorqueUnit) {
        self.wrenches.push(line(candidate, aim, unit));
    }

    /// Whether a registered wrench settles the torque.
    pub fn is_served(&self) -> bool {
        self.wrenches.iter().any(|line| line.serves)
    }
}

fn line(candidate: &Candidate<'_>, aim: Option<Aim>, unit: TorqueUnit) -> PickLine {
    let mut why_not: Vec<String> = candidate.doubts.iter().map(|doubt| doubt_text(*doubt, unit)).collect();
    if let Err(error) = &candidate.aim {
        why_not.push(error.to_string());
    } else if !candidate.serves() && why_not.is_empty() {
        why_not.push("its uncertainty is too large for this range".to_owned());
    }
    let step = candidate.wrench.parts().step.unwrap_or(unit.of(0.1));
    PickLine {
        wrench: candidate.wrench.name().to_owned(),
        serves: candidate.serves(),
        setting_nm: aim.map(|aim| in_newton_metres(aim.setting)),
        chance_inside: aim.map(|aim| aim.chance_inside.value()),
        place_percent: aim.map(|aim| (aim.setting / candidate.wrench.capacity()).value * 100.0),
        why_not,
        chance_text: aim.map_or_else(String::new, |aim| chance_text(aim.chance_inside)),
        setting_text: aim
            .map_or_else(|| "–".to_owned(), |aim| torque_text(aim.setting, Resolution(step), unit)),
    }
}

impl PickReport {
    /// The report of what was picked, and of the wrenches that are missing; `anticlockwise` when one of
    /// them is for a left-hand thread.
    pub fn new(
        picked: Vec<PickedFor>,
        to_buy: &[Need],
        anticlockwise: bool,
        beyond: usize,
        unit: TorqueUnit,
    ) -> PickReport {
        let to_buy = to_buy.iter().map(|need| purchase(need, anticlockwise, unit)).collect();
        PickReport { picked, to_buy, beyond }
    }
}

fn purchase(need: &Need, anticlockwise: bool, unit: TorqueUnit) -> Purchase {
    let shown = |torque: Torque| torque_text(torque, Resolution(unit.of(0.1)), unit);
    let percent = need.deviation_at_most.in_percent();
    let both = if anticlockwise { " that measures both ways," } else { "" };
    Purchase {
        lowest_nm: in_newton_metres(need.lowest),
        highest_nm: in_newton_metres(need.highest),
        capacity_at_most_nm: in_newton_metres(need.capacity_at_most),
        step_at_most_nm: in_newton_metres(need.step_at_most),
        accuracy_percent_at_most: percent,
        anticlockwise,
        text: format!(
            "a wrench{both} that reaches {} and has a capacity of at most {}, steps of at most {}, good to {percent} % or better",
            shown(need.highest),
            shown(need.capacity_at_most),
            torque_text(need.step_at_most, Resolution(need.step_at_most / 10.0), unit)
        ),
    }
}

impl Report for PickReport {
    fn json(&self) -> Value {
        json!(self)
    }

    fn text(&self, style: &Style) -> String {
        let mut text = String::new();
        for picked in &self.picked {
            let specified = picked.specified.as_deref().unwrap_or("no figure");
            text += &format!("{}: {specified} ({})\n", style.strong(&picked.spec), picked.ground);
            if picked.specified.is_none() {
                text += "  read the marking on the part or ask its maker\n";
                continue;
            }
            let rows = picked.wrenches.iter().map(|line| {
                let place = line.place_percent.map_or_else(String::new, |place| format!("{place:.0} %"));
                let word = if line.serves { "serves".to_owned() } else { line.why_not.join("; ") };
                vec![line.wrench.clone(), line.setting_text.clone(), line.chance_text.clone(), place, word]
            });
            text += &columns(
                &records(&["  wrench", "set to", "inside", "of its scale", "verdict"], rows.map(indent)),
                style,
            );
            if picked.wrenches.is_empty() {
                text += "  no wrench is registered\n";
            }
        }
        let to_buy: Vec<&str> = self.to_buy.iter().map(|purchase| purchase.text.as_str()).collect();
        text += &style.listed("Missing", &to_buy);
        if self.beyond > 0 {
            text += &style.listed(
                "Beyond",
                &["a range too narrow for any usual wrench: ask the maker how it is to be met"],
            );
        }
        text
    }

    fn rows(&self) -> Vec<Vec<String>> {
        sheet(&self.json(), "picked.wrenches", "spec,wrench,serves,setting_nm,chance_inside,why_not")
    }
}

fn indent(mut row: Vec<String>) -> Vec<String> {
    if let Some(first) = row.first_mut() {
        first.insert_str(0, "  ");
    }
    row
}
