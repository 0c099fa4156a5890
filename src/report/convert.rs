//! A value, range or limit in other units.

use serde::Serialize;
use serde_json::{Value, json};

use super::figure::{spec_text, torque_text};
use super::{Report, Style, columns, records, sheet};
use crate::quantity::{Spec, Stated, Torque, TorqueUnit};

/// A specified torque in one or several units.
#[derive(Debug, Serialize)]
pub struct Conversion {
    from: Converted,
    to: Vec<Converted>,
}

#[derive(Debug, Serialize)]
struct Converted {
    unit: &'static str,
    form: &'static str,
    #[serde(flatten)]
    numbers: Numbers,
    text: String,
}

/// Unrounded numbers in the unit beside them.
#[derive(Debug, Serialize)]
#[serde(untagged)]
enum Numbers {
    One { value: f64 },
    Two { low: f64, high: f64 },
}

impl Conversion {
    /// `stated` in each of `units`.
    pub fn new(stated: &Stated, units: &[TorqueUnit]) -> Conversion {
        Conversion {
            from: converted(stated, stated.unit),
            to: units.iter().map(|unit| converted(stated, *unit)).collect(),
        }
    }
}

fn converted(stated: &Stated, unit: TorqueUnit) -> Converted {
    let value = |torque: Torque| unit.value_of(torque);
    let numbers = match stated.spec {
        Spec::Range { low, high } => Numbers::Two { low: value(low), high: value(high) },
        Spec::Set(torque) | Spec::Ceiling(torque) | Spec::Floor(torque) => {
            Numbers::One { value: value(torque) }
        }
    };
    let text = match stated.spec {
        Spec::Set(torque) => torque_text(torque, stated.resolution, unit),
        spec => spec_text(spec, stated.resolution, unit),
    };
    Converted { unit: unit.symbol(), form: stated.spec.form(), numbers, text }
}

impl Converted {
    fn unrounded(&self) -> String {
        match self.numbers {
            Numbers::One { value } => significant(value),
            Numbers::Two { low, high } => format!("{} … {}", significant(low), significant(high)),
        }
    }
}

/// Twelve significant digits without trailing zeros: more than any figure of the trade has.
fn significant(value: f64) -> String {
    #[expect(clippy::cast_possible_truncation, reason = "the logarithm of an f64 fits easily")]
    let digits_before = if value == 0.0 { 1 } else { value.abs().log10().floor() as i32 + 1 };
    let decimals = usize::try_from(12 - digits_before).unwrap_or(0).min(24);
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

impl Report for Conversion {
    fn json(&self) -> Value {
        json!(self)
    }

    fn text(&self, style: &Style) -> String {
        let rows = self.to.iter().map(|to| vec![to.text.clone(), to.unrounded()]);
        format!(
            "{} is\n{}",
            style.strong(&self.from.text),
            columns(&records(&["rounded for use", "unrounded"], rows), style)
        )
    }

    fn rows(&self) -> Vec<Vec<String>> {
        sheet(&self.json(), "to", "unit,form,value,low,high,text")
    }
}
