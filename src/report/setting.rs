//! What to set on a wrench that carries an adapter.

use serde_json::{Value, json};
use uom::si::f64::Ratio;

use super::figure::torque_text;
use super::{Report, Style};
use crate::quantity::tolerance::whole_below;
use crate::quantity::{Resolution, Torque, TorqueUnit, in_newton_metres};

/// A setting with an adapter.
pub struct SettingReport {
    /// What the bolt is to get.
    pub at_bolt: Torque,
    /// The setting that brings it exactly.
    pub exact: Torque,
    pub step: Option<Torque>,
    /// Torque at the bolt ÷ what the wrench shows.
    pub factor: Ratio,
    /// The digits of a setting.
    pub resolution: Resolution,
    pub unit: TorqueUnit,
}

impl SettingReport {
    /// The step of the scale below the exact setting, so that the bolt never gets more than was asked for.
    fn on_step(&self) -> Option<Torque> {
        self.step.map(|step| step * whole_below((self.exact / step).value))
    }

    fn setting_text(&self) -> String {
        torque_text(self.on_step().unwrap_or(self.exact), self.resolution, self.unit)
    }
}

impl Report for SettingReport {
    const SHEET: (&'static str, &'static str) = ("", "at_bolt_nm,setting_nm,setting_on_step_nm,factor");

    fn json(&self) -> Value {
        json!({
            "at_bolt_nm": in_newton_metres(self.at_bolt),
            "setting_nm": in_newton_metres(self.exact),
            "setting_on_step_nm": self.on_step().map(in_newton_metres),
            "at_bolt_on_step_nm": self.on_step().map(|setting| in_newton_metres(setting * self.factor.value)),
            "factor": self.factor.value,
            "setting_text": self.setting_text(),
        })
    }

    fn text(&self, style: &Style) -> String {
        let fine = |torque| torque_text(torque, Resolution(self.unit.of(0.01)), self.unit);
        let factor = self.factor.value;
        let lever = format!("the bolt gets {factor:.4} times what the wrench shows");
        let on_step = self.on_step().map(|setting| fine(setting * factor));
        let on_step = on_step.map(|torque| format!("on the step below, the bolt gets {torque}"));
        let caution = "Pull at the middle of the handle: a hand elsewhere changes the lever.";
        let setting = style.strong(&self.setting_text());
        format!("{setting} on the scale for {} at the bolt\n", fine(self.at_bolt))
            + &style.listed("Lever", &[lever])
            + &style.listed("Step", on_step.as_slice())
            + &style.listed("Caution", &[caution])
    }
}
