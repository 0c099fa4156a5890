//! What an audit writes behind every row of a log.

use super::{Band, outcome_word, reasons};
use crate::audit::{Told, Wording};
use crate::conformity::{Limits, Outcome, Probability};
use crate::quantity::{TorqueUnit, in_newton_metres};

/// Verdict, limits, chance and reason as fields of a CSV record; limits in N·m, torques in reasons in
/// the unit shown.
#[derive(Debug, Clone, Copy)]
pub struct RowWording {
    unit: TorqueUnit,
}

impl RowWording {
    /// The wording with torques in `unit`.
    #[must_use]
    pub fn new(unit: TorqueUnit) -> RowWording {
        RowWording { unit }
    }
}

impl Wording for RowWording {
    fn header(&self) -> &'static str {
        ",verdict,low_nm,high_nm,chance_inside,reason"
    }

    fn append(&self, told: &Told<'_>, text: &mut Vec<u8>) {
        match told {
            Told::Read { limits, ground, outcome, slips } => {
                let chance = match outcome {
                    Outcome::Judged(verdict) => verdict.chance_inside,
                    Outcome::ReCheck { .. } => None,
                };
                let mut why = reasons(outcome, ground, self.unit);
                why.extend(slips.iter().map(|slip| slip.text(self.unit)));
                fields(text, outcome_word(outcome), *limits, chance, &why.join("; "));
            }
            Told::Plain { limits, label, .. } => fields(text, label.text(), *limits, None, ""),
            Told::Rejected { reason } => fields(text, "rejected", None, None, reason),
        }
    }
}

fn fields(
    text: &mut Vec<u8>,
    verdict: &str,
    limits: Option<&Limits>,
    chance: Option<Probability>,
    reason: &str,
) {
    let (low, high) = Band {
        low_nm: limits.and_then(Limits::low).map(in_newton_metres),
        high_nm: limits.and_then(Limits::high).map(in_newton_metres),
    }
    .texts();
    let chance = chance.map_or_else(String::new, |chance| chance.value().to_string());
    for field in [verdict, &low, &high, &chance, reason] {
        text.push(b',');
        if field.contains([',', '"', '\n', '\r']) {
            text.extend_from_slice(format!("\"{}\"", field.replace('"', "\"\"")).as_bytes());
        } else {
            text.extend_from_slice(field.as_bytes());
        }
    }
}
