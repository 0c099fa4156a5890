//! The setting to aim at, as it stands on the wrench.

use serde_json::{Value, json};

use super::figure::{setting_text, significant_text, torque_text};
use super::words::doubt_text;
use crate::conformity::{Aim, Doubt, Probability};
use crate::quantity::{Resolution, Torque, TorqueUnit, in_newton_metres};

/// A setting on a wrench's scale, with what it brings at the bolt.
#[derive(Debug, Clone, PartialEq)]
pub struct ShownSetting {
    pub aim: Aim,
    /// What to set on the scale; differs from the torque at the bolt where an adapter is used.
    pub on_scale: Torque,
    pub step: Torque,
    /// The unit of the scale.
    pub unit: TorqueUnit,
    /// Why the wrench cannot be believed there, if so.
    pub doubts: Vec<Doubt>,
}

/// What is said of a setting above a set value.
pub const ABOVE_VALUE: &str = "above the value, because the mark below lies outside what it allows";

impl ShownSetting {
    /// The mark to set, in the unit of the scale.
    pub fn setting_text(&self) -> String {
        setting_text(self.on_scale, self.step, self.unit)
    }

    /// What else to know of it: that it lies above a set value, and why the wrench is not to be believed.
    fn notes(&self, unit: TorqueUnit) -> Vec<String> {
        let above = self.aim.above_value.then(|| ABOVE_VALUE.to_owned());
        above
            .into_iter()
            .chain(self.doubts.iter().map(|doubt| format!("but {}", doubt_text(*doubt, unit))))
            .collect()
    }

    /// The setting and what to expect of it.
    pub fn text(&self) -> String {
        let (set, unit) = (self.setting_text(), self.unit);
        let true_torque = torque_text(self.aim.setting, Resolution(self.step / 10.0), unit);
        let expanded = small_torque_text(self.aim.expanded, unit);
        let mut text = format!("set {set}: true torque {true_torque} ± {expanded}");
        // A chance beside a wrench that is in doubt would be believed.
        if self.doubts.is_empty() {
            text += &format!(", {} inside", chance_text(self.aim.chance_inside));
        }
        for note in self.notes(unit) {
            text += &format!("; {note}");
        }
        text
    }

    pub fn json(&self) -> Value {
        let doubts = self.doubts.iter().map(|doubt| doubt_text(*doubt, TorqueUnit::NewtonMetre));
        json!({
            "setting_nm": in_newton_metres(self.on_scale),
            "setting_text": self.setting_text(),
            "at_bolt_nm": in_newton_metres(self.aim.setting),
            "expanded_u_nm": in_newton_metres(self.aim.expanded),
            "chance_inside": self.aim.chance_inside.value(),
            "above_value": self.aim.above_value,
            "doubts": doubts.collect::<Vec<_>>(),
        })
    }
}

/// A small torque, such as an uncertainty, with two significant digits.
pub fn small_torque_text(torque: Torque, unit: TorqueUnit) -> String {
    format!("{} {unit}", significant_text(torque, unit, 2))
}

/// A chance in words that never claims certainty.
pub fn chance_text(chance: Probability) -> String {
    match chance.value() * 100.0 {
        p if p > 99.9 => "over 99.9 %".to_owned(),
        p if p < 0.1 => "under 0.1 %".to_owned(),
        p => format!("{p:.1} %"),
    }
}

#[cfg(test)]
#[path = "aim_tests.rs"]
mod tests;
