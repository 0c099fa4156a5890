//! What an audit writes behind every row of a log.

use super::{Band, outcome_word, reasons};
use crate::audit::{Told, Wording};
use crate::conformity::slip::Slip;
use crate::conformity::{Limits, Probability};
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

    fn verdict(&self, told: &Told<'_>, text: &mut Vec<u8>) {
        let (verdict, limits) = match told {
            Told::Read { limits, outcome, .. } => (outcome_word(outcome), *limits),
            Told::Plain { limits, label, .. } => (label.text(), *limits),
            Told::Rejected { .. } => ("rejected", None),
        };
        let (low, high) = Band {
            low_nm: limits.and_then(Limits::low).map(in_newton_metres),
            high_nm: limits.and_then(Limits::high).map(in_newton_metres),
        }
        .texts();
        for field in [verdict, &low, &high] {
            text.push(b',');
            text.extend_from_slice(field.as_bytes());
        }
    }

    /// The chance with six decimals, cut and not rounded, and below 1: no chance is a certainty.
    fn chance(&self, chance: Option<Probability>, text: &mut Vec<u8>) {
        text.push(b',');
        let Some(chance) = chance else { return };
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 0 to a million")]
        let mut millionths = ((chance.value() * 1e6) as u32).min(999_999);
        let mut digits = *b"0.000000";
        for digit in digits.iter_mut().skip(2).rev() {
            *digit = b'0' + u8::try_from(millionths % 10).unwrap_or(0);
            millionths /= 10;
        }
        text.extend_from_slice(&digits);
    }

    fn reason(&self, told: &Told<'_>) -> String {
        match told {
            Told::Read { ground, outcome, .. } => reasons(outcome, ground, self.unit).join("; "),
            Told::Plain { .. } => String::new(),
            Told::Rejected { reason } => (*reason).to_owned(),
        }
    }

    fn slips(&self, slips: &[Slip]) -> String {
        let texts: Vec<String> = slips.iter().map(|slip| slip.text(self.unit)).collect();
        texts.join("; ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_chance_is_never_a_certainty() {
        let text = |value| {
            let mut text = Vec::new();
            RowWording::new(TorqueUnit::NewtonMetre).chance(Probability::new(value), &mut text);
            String::from_utf8(text).unwrap()
        };
        assert_eq!(
            [0.0, 0.25, 0.9999999, 1.0].map(text),
            [",0.000000", ",0.250000", ",0.999999", ",0.999999"]
        );
    }
}
