//! A value, range or limit in other units.

use serde_json::{Value, json};

use super::figure::{number_text, spec_text, trimmed};
use super::{Report, Style, columns, records};
use crate::quantity::{Spec, Stated, Torque, TorqueUnit};

/// A specified torque in one or several units.
pub struct Conversion<'a> {
    pub stated: &'a Stated,
    pub units: &'a [TorqueUnit],
    /// Whether text leaves out the units that no wrench for bicycles carries.
    pub is_brief: bool,
}

impl Conversion<'_> {
    fn text_in(&self, unit: TorqueUnit) -> String {
        spec_text(self.stated.spec, self.stated.resolution, unit)
    }

    /// The torque with its numbers unrounded, for programs.
    fn json_in(&self, unit: TorqueUnit) -> Value {
        let value = |torque: Torque| unit.value_of(torque);
        let (form, text) = (self.stated.spec.form(), self.text_in(unit));
        match self.stated.spec {
            Spec::Range { low, high } => {
                json!({ "unit": unit.symbol(), "form": form, "low": value(low), "high": value(high), "text": text })
            }
            Spec::Set(torque) | Spec::Ceiling(torque) | Spec::Floor(torque) => {
                json!({ "unit": unit.symbol(), "form": form, "value": value(torque), "text": text })
            }
        }
    }

    fn unrounded(&self, unit: TorqueUnit) -> String {
        // Twelve digits: more than any figure of the trade has.
        let value = |torque| trimmed(&number_text(unit.value_of(torque), 12, 24)).to_owned();
        match self.stated.spec {
            Spec::Range { low, high } => format!("{} … {}", value(low), value(high)),
            Spec::Set(torque) | Spec::Ceiling(torque) | Spec::Floor(torque) => value(torque),
        }
    }
}

impl Report for Conversion<'_> {
    const SHEET: (&'static str, &'static str) = ("to", "unit,form,value,low,high,text");

    fn json(&self) -> Value {
        json!({
            "from": self.json_in(self.stated.unit),
            "to": self.units.iter().map(|unit| self.json_in(*unit)).collect::<Vec<_>>(),
        })
    }

    fn text(&self, style: &Style) -> String {
        let on_wrenches = |unit: &&TorqueUnit| TorqueUnit::OF_WRENCHES.contains(unit);
        let (first, rest): (Vec<&TorqueUnit>, Vec<&TorqueUnit>) = self.units.iter().partition(on_wrenches);
        let shown = first.iter().chain(rest.iter().filter(|_: &&&TorqueUnit| !self.is_brief));
        let rows = shown.map(|unit| vec![self.text_in(**unit), self.unrounded(**unit)]);
        let from = style.strong(&self.text_in(self.stated.unit));
        let table = columns(&records(&["rounded for use", "unrounded"], rows), style);
        let more = if self.is_brief && !rest.is_empty() {
            style.wrapped("", &format!("{} more units: `--all`", rest.len()))
        } else {
            String::new()
        };
        format!("{from} is\n{table}{more}")
    }
}
