//! What to set on a wrench that carries an adapter.

use serde_json::{Value, json};
use uom::si::f64::Ratio;

use super::aim::ABOVE_VALUE;
use super::figure::{setting_text, torque_text};
use super::{Report, Style};
use crate::quantity::{Resolution, Torque, TorqueUnit, in_newton_metres};

/// A setting with an adapter.
pub struct SettingReport {
    /// What the bolt was to get.
    pub at_bolt: Torque,
    /// The setting that brings it exactly.
    pub exact: Torque,
    /// The mark of the scale that is set, by the rule of a set value; the exact setting where the scale is not known.
    pub mark: Torque,
    /// Whether it brings more than the bolt was to get, within what that allows.
    pub above_value: bool,
    /// The step to which the setting is told.
    pub step: Torque,
    /// Torque at the bolt ÷ what the wrench shows.
    pub factor: Ratio,
    /// The unit of the scale, in which the setting is told.
    pub scale_unit: TorqueUnit,
    pub unit: TorqueUnit,
}

impl SettingReport {
    fn mark_at_bolt(&self) -> Torque {
        self.mark * self.factor.value
    }

    fn setting_text(&self) -> String {
        setting_text(self.mark, self.step, self.scale_unit)
    }
}

impl Report for SettingReport {
    const SHEET: (&'static str, &'static str) =
        ("", "at_bolt_nm,setting_nm,setting_on_step_nm,factor,at_bolt_on_step_nm,setting_text,above_value");

    fn json(&self) -> Value {
        json!({
            "at_bolt_nm": in_newton_metres(self.at_bolt),
            "setting_nm": in_newton_metres(self.exact),
            "setting_on_step_nm": in_newton_metres(self.mark),
            "at_bolt_on_step_nm": in_newton_metres(self.mark_at_bolt()),
            "factor": self.factor.value,
            "setting_text": self.setting_text(),
            "above_value": self.above_value,
        })
    }

    fn text(&self, style: &Style) -> String {
        let fine = |torque| torque_text(torque, Resolution(self.unit.of(0.01)), self.unit);
        let lever = format!("the bolt gets {:.4} times what the wrench shows", self.factor.value);
        let asked = format!("{} would be {} on the scale", fine(self.at_bolt), fine(self.exact));
        let caution = "Pull at the middle of the handle: a hand elsewhere changes the lever.";
        let setting = style.strong(&self.setting_text());
        format!("{setting} on the scale: the bolt gets {}\n", fine(self.mark_at_bolt()))
            + &style.listed("Lever", &[lever])
            + &style.listed("Asked", &[asked])
            + &style.listed("Note", self.above_value.then_some(ABOVE_VALUE).as_slice())
            + &style.listed("Caution", &[caution])
    }
}
