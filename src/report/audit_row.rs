//! What an audit writes behind every row of a log.

use super::figure::trimmed;
use super::words::{TOO_MUCH, mix_up_text, outcome_word, reasons_of_row};
use crate::audit::{CHANCE_LENGTH, RowResult, RowWriter};
use crate::conformity::slip::MixUp;
use crate::conformity::{Limits, Probability};
use crate::quantity::{Resolution, Rounding, Torque, TorqueUnit};
use crate::sheet::Separator;

/// Significant digits of limits: more than any reading has, so that none lies between a limit and what is written of it.
const LIMIT_DIGITS: i32 = 8;

/// Verdict, limits, chance and reason as fields of a CSV record; limits in N·m, torques in reasons in the unit shown.
#[derive(Debug, Clone, Copy)]
pub struct CsvRowWriter {
    pub unit: TorqueUnit,
    /// What parts the fields of the log.
    pub separator: Separator,
}

impl RowWriter for CsvRowWriter {
    fn header(&self) -> String {
        ",verdict,low_nm,high_nm,value_nm,chance_inside,reason"
            .replace(',', &self.separator.char().to_string())
    }

    fn separator(&self) -> Separator {
        self.separator
    }

    fn verdict(&self, result: &RowResult<'_>) -> &'static str {
        match result {
            RowResult::Read { outcome, .. } => outcome_word(outcome),
            RowResult::Plain { label } => label.text(),
            RowResult::TooMuch { .. } => TOO_MUCH,
            RowResult::Rejected { .. } => "rejected",
            RowResult::LeftOut { .. } => "left out",
        }
    }

    fn limits(&self, limits: Option<&Limits>) -> String {
        let text = |end: Option<Torque>, rounding| {
            let text = end.map(|end| {
                let digits = Resolution::significant(end, TorqueUnit::NewtonMetre, LIMIT_DIGITS);
                digits.text(end, TorqueUnit::NewtonMetre, rounding)
            });
            text.as_deref().map_or_else(String::new, |text| {
                trimmed(text).replace('.', &self.separator.decimal_sign().to_string())
            })
        };
        // Outward, so that no reading that was called inside lies outside them.
        let low = text(limits.and_then(Limits::low), Rounding::Down);
        let high = text(limits.and_then(Limits::high), Rounding::Up);
        let value = text(limits.and_then(Limits::set_value), Rounding::Nearest);
        let separator = self.separator.char();
        format!("{separator}{low}{separator}{high}{separator}{value}")
    }

    /// The chance with three decimals, cut and not rounded, and below 1: no chance is a certainty.
    fn chance(&self, chance: Probability) -> [u8; CHANCE_LENGTH] {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 0 to a thousand")]
        let parts = ((chance.value() * 1e3) as u16).min(999);
        #[expect(clippy::cast_possible_truncation, reason = "a digit")]
        let [hundreds, tens, ones] =
            [parts / 100, parts / 10 % 10, parts % 10].map(|digit| b'0' + digit as u8);
        [self.separator.byte(), b'0', self.separator.decimal_sign() as u8, hundreds, tens, ones]
    }

    fn reasons(&self, result: &RowResult<'_>) -> Vec<String> {
        match result {
            RowResult::Read { basis, outcome } => reasons_of_row(outcome, basis, self.unit),
            RowResult::Plain { .. } => Vec::new(),
            RowResult::TooMuch { why } => vec![(*why).to_owned()],
            RowResult::Rejected { reason } => vec![(*reason).to_owned()],
            RowResult::LeftOut { why } => vec![why.text().to_owned()],
        }
    }

    fn mix_up(&self, mix_up: MixUp) -> String {
        mix_up_text(mix_up)
    }
}

/// Both limits in `unit` to three digits, rounded inward and without trailing zeros; empty where none is
/// known.
pub(super) fn end_texts(ends: (Option<Torque>, Option<Torque>), unit: TorqueUnit) -> (String, String) {
    let digits = |end: Torque| Resolution::significant(end, unit, 3);
    let (low, high) = match ends {
        (Some(low), Some(high)) => digits(low).range_text(low, high, unit),
        (low, high) => (
            low.map_or_else(String::new, |low| digits(low).text(low, unit, Rounding::Up)),
            high.map_or_else(String::new, |high| digits(high).text(high, unit, Rounding::Down)),
        ),
    };
    (trimmed(&low).to_owned(), trimmed(&high).to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Spec, newton_metres};

    #[test]
    fn a_chance_is_never_a_certainty() {
        let writer = CsvRowWriter { unit: TorqueUnit::NewtonMetre, separator: Separator::COMMA };
        let text = |value| {
            let field = writer.chance(Probability::clamped(value));
            String::from_utf8(field.to_vec()).unwrap()
        };
        assert_eq!(
            [0.0, 0.25, 0.12349, 0.999, 0.9999999, 1.0].map(text),
            [",0.000", ",0.250", ",0.123", ",0.999", ",0.999", ",0.999"]
        );
    }

    #[test]
    fn limits_are_rounded_inward_to_three_digits() {
        let texts = |spec: Spec| end_texts(spec.limits(), TorqueUnit::NewtonMetre);
        let pair = |low: &str, high: &str| (low.to_owned(), high.to_owned());
        assert_eq!(texts(Spec::range_nm(4.0, 6.0)), pair("4", "6"));
        assert_eq!(texts(Spec::range_nm(6.892074570684619, 8.473862177071252)), pair("6.9", "8.47"));
        assert_eq!(texts(Spec::range_nm(20.337269224971006, 120.0)), pair("20.4", "120"));
        assert_eq!(texts(Spec::range_nm(5.0011, 5.0049)), pair("5.002", "5.004"));
        assert_eq!(texts(Spec::Ceiling(newton_metres(112.98))), pair("", "112"));
        assert_eq!(texts(Spec::Floor(newton_metres(112.18))), pair("113", ""));
    }
}
