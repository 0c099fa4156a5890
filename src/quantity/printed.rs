//! Torques as they are printed on parts: behind a word such as `TORQUE`, and in two units.

use super::{QuantityError, Spec, Stated, Torque, TorqueUnit};
use crate::quantity::tolerance::at_least;

/// Words that say no more than that a torque follows.
const LABELS: &[&str] = &["tightening", "torque", "torq", ":", "="];

/// What follows the label of a print.
pub(super) fn without_label(text: &str) -> &str {
    let mut rest = text.trim_start();
    while let Some(behind) = LABELS.iter().find_map(|label| behind_word(rest, label)) {
        rest = behind;
    }
    rest
}

/// What follows a word or sign at the front of a text, whatever its case; none where a longer word stands there.
pub(super) fn behind_word<'a>(text: &'a str, word: &str) -> Option<&'a str> {
    let (head, behind) = text.split_at_checked(word.len())?;
    let ends = || !word.ends_with(char::is_alphabetic) || !behind.starts_with(char::is_alphabetic);
    (head.eq_ignore_ascii_case(word) && ends()).then(|| behind.trim_start())
}

/// What stands before the label behind a value, as in `5 Nm max torque`.
pub(super) fn without_label_after(text: &str) -> &str {
    let trimmed = text.trim_end();
    let head = LABELS.iter().find_map(|label| {
        let (head, tail) = trimmed.split_at_checked(trimmed.len().checked_sub(label.len())?)?;
        (tail.eq_ignore_ascii_case(label) && head.ends_with(char::is_whitespace)).then_some(head)
    });
    head.unwrap_or(trimmed).trim_end()
}

/// What stands before brackets that end a text, and in them.
pub(super) fn last_bracket(text: &str) -> Option<(&str, &str)> {
    let pair = [('(', ')'), ('[', ']')];
    pair.into_iter().find_map(|(open, close)| text.trim_end().strip_suffix(close)?.split_once(open))
}

/// The two statements of a print such as `4-6 Nm / 35-53 in-lbs`, `5Nm(44in-lbs)` or `5 Nm, 44 in-lb`; none where there
/// is one. The second may have two in turn.
pub(super) fn in_two_units(text: &str) -> Option<(&str, &str)> {
    let has_digit = |text: &str| text.contains(|sign: char| sign.is_ascii_digit());
    let apart = |at: usize, sign: char| {
        let (first, second) = (text.get(..at)?, text.get(at + sign.len_utf8()..)?);
        let is_apart = match sign {
            // A slash before a unit or in `+/-`, and an equals sign in `<=`, part no statements.
            '/' | '=' => first.ends_with(|before: char| before.is_alphanumeric() || before == ' '),
            ',' | ' ' => first.ends_with(char::is_alphabetic),
            _ => false,
        };
        (is_apart && has_digit(first) && begins_statement(second.trim_start())).then_some((first, second))
    };
    let (first, second) = match last_bracket(text) {
        Some(bracket) => bracket,
        None => text.char_indices().find_map(|(at, sign)| apart(at, sign))?,
    };
    (has_digit(first) && has_digit(second)).then_some((first, second))
}

/// Whether a text begins as a statement of its own does: with a number, or a bound before one.
fn begins_statement(text: &str) -> bool {
    let word = text.split(|sign: char| !sign.is_ascii_alphabetic()).next().unwrap_or_default();
    text.starts_with(|sign: char| sign.is_ascii_digit() || matches!(sign, '<' | '>' | '≤' | '≥'))
        || ["max", "maximum", "min", "minimum"].iter().any(|bound| word.eq_ignore_ascii_case(bound))
}

/// The first of two statements, where the second says the same in its unit.
///
/// # Errors
/// [`QuantityError::NotOneSpec`] where one has no unit or another form, [`QuantityError::UnitsDisagree`] where their
/// torques differ by more than rounding: half a last digit of the coarser one, or a whole one of the finer.
pub(super) fn the_same(whole: &str, first: Stated, second: Stated) -> Result<Stated, QuantityError> {
    // `max 5 Nm (44 in-lb)`: the bound stands before both.
    let second_spec = match (first.spec, second.spec) {
        (Spec::Ceiling(_), Spec::Set(value)) => Spec::Ceiling(value),
        (Spec::Floor(_), Spec::Set(value)) => Spec::Floor(value),
        (_, spec) => spec,
    };
    if !(first.unit_given && second.unit_given) || first.spec.form() != second_spec.form() {
        return Err(QuantityError::NotOneSpec(whole.to_owned()));
    }
    let (step, other) = (first.resolution.0, second.resolution.0);
    let (coarse, fine) = if step > other { (step, other) } else { (other, step) };
    // A converted limit may be rounded inward, by up to a whole digit.
    let allowed = if coarse > fine * 2.0 { coarse / 2.0 } else { fine };
    let differs = |(a, b): (Torque, Torque)| !at_least(allowed, (a - b).abs());
    if ends(first.spec).into_iter().zip(ends(second_spec)).any(differs) {
        return Err(QuantityError::UnitsDisagree {
            text: whole.to_owned(),
            second: in_unit(second_spec, first.unit),
        });
    }
    Ok(first)
}

/// The torques that a form names.
fn ends(spec: Spec) -> Vec<Torque> {
    match spec {
        Spec::Range { low, high } => vec![low, high],
        Spec::Set(value) | Spec::Ceiling(value) | Spec::Floor(value) => vec![value],
    }
}

/// The torques of the second statement in the unit of the first.
fn in_unit(spec: Spec, unit: TorqueUnit) -> String {
    let texts: Vec<String> = ends(spec).into_iter().map(|end| format!("{:.2}", unit.value_of(end))).collect();
    format!("{} {unit}", texts.join("-"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{newton_metres, parse_spec};
    use proptest::prelude::*;

    /// Prints that stand on stems and seat posts (common practice).
    #[test]
    fn prints_on_parts_are_read_as_what_they_are() {
        let five = newton_metres(5.0);
        for (text, spec) in [
            ("4-6Nm / 35-53 in lbs", Spec::range_nm(4.0, 6.0)),
            ("5Nm(44in-lbs)", Spec::Set(five)),
            ("MAX. TORQUE 5 N.m", Spec::Ceiling(five)),
            ("MAX 5Nm", Spec::Ceiling(five)),
            ("Torque: max 5 N·m", Spec::Ceiling(five)),
            ("TIGHTENING TORQUE 5 N·m", Spec::Set(five)),
            ("Max. 5 Nm / 44 in-lb", Spec::Ceiling(five)),
            ("max 5 Nm (max 44 in-lb)", Spec::Ceiling(five)),
            ("4.0-6.0 N·m / 36-53 lbf·in", Spec::range_nm(4.0, 6.0)),
            ("5Nm/5.0Nm", Spec::Set(five)),
            ("5 N·m (max)", Spec::Ceiling(five)),
            ("5 N·m [MAX.]", Spec::Ceiling(five)),
            ("5 N·m max torque", Spec::Ceiling(five)),
            ("5Nm [44 lb-in]", Spec::Set(five)),
            ("5 Nm (44 in-lb) MAX", Spec::Ceiling(five)),
            ("5 Nm / 44 in-lb max.", Spec::Ceiling(five)),
            ("5 Nm max (44 in-lb max)", Spec::Ceiling(five)),
            ("5 Nm (min)", Spec::Floor(five)),
            ("max 5 Nm / max 44 in-lb", Spec::Ceiling(five)),
            ("5 Nm 44 in lb", Spec::Set(five)),
            ("5 Nm, 44 in-lb", Spec::Set(five)),
            ("5Nm=44in-lb", Spec::Set(five)),
            ("5 Nm/3.7 ft-lb/44 in-lb", Spec::Set(five)),
            ("MAX 5 Nm 44 in lbs", Spec::Ceiling(five)),
        ] {
            assert_eq!(parse_spec(text).map(|stated| stated.spec), Ok(spec), "{text}");
        }
    }

    #[test]
    fn units_that_do_not_agree_are_refused_with_both_values() {
        for (text, second) in [
            ("5 N·m (50 in-lb)", "5.65 N·m"),
            ("5-6 Nm / 44-60 in·lb", "4.97-6.78 N·m"),
            ("44 in-lb (4 N·m)", "35.40 lbf·in"),
            ("5 Nm (5 ft-lb)", "6.78 N·m"),
        ] {
            let error = parse_spec(text).unwrap_err();
            assert!(error.to_string().contains(text) && error.to_string().contains(second), "{error}");
            assert!(error.hint().contains("part"), "{}", error.hint());
        }
        for text in [
            "4/6 N·m",
            "5 Nm (44)",
            "5 (44 in-lb)",
            "4-6 Nm / 5 Nm",
            "max 5 Nm / min 44 in-lb",
            "5 Nm (dry)",
            "min 5 Nm (max)",
            "4-6 Nm (35-53 in-lb) max",
            "5 Nm (dry max)",
            "5 Nm (max",
            "(max)",
            "5 Nm (44 in-lb]",
        ] {
            assert!(parse_spec(text).is_err(), "{text}");
        }
    }

    proptest! {
        /// Any value, printed in two units and rounded in the second, is read as the first.
        #[test]
        fn a_converted_print_agrees(tenths in 10_u32..600, unit in 0..TorqueUnit::ALL.len(), decimals in 0..3_usize) {
            let unit = TorqueUnit::ALL[unit];
            let torque = newton_metres(f64::from(tenths) / 10.0);
            let converted = unit.value_of(torque);
            prop_assume!(format!("{converted:.decimals$}").parse::<f64>().unwrap() > 0.0);
            let text = format!("{} N·m / {converted:.decimals$} {unit}", f64::from(tenths) / 10.0);
            match parse_spec(&text) {
                Ok(stated) => prop_assert_eq!(stated.spec, Spec::Set(torque)),
                // A number of too many digits is refused for itself.
                Err(error) => prop_assert!(matches!(error, QuantityError::TooManyDigits(_)), "{text}: {error}"),
            }
        }
    }
}
