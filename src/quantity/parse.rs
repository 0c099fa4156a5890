//! Text → specified torque or reading. A missing unit is reported, an unclear one refused; nothing is guessed.

use super::printed::{behind_word, in_two_units, last_bracket, the_same, without_label, without_label_after};
use super::{Number, QuantityError, Resolution, Spec, Torque, TorqueUnit};

/// A specified torque as stated: its form, its unit and the digits it came with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stated {
    /// What is specified.
    pub spec: Spec,
    /// The unit it was stated in (the first one, where the ends carry two).
    pub unit: TorqueUnit,
    /// The step of its last digit.
    pub resolution: Resolution,
    /// False when the text had no unit and N·m was taken.
    pub unit_given: bool,
}

/// One logged value as read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The torque.
    pub torque: Torque,
    /// The number as read, in `unit`.
    pub number: Number,
    /// The unit it was read in.
    pub unit: TorqueUnit,
    /// False when the text had no unit and N·m was taken.
    pub unit_given: bool,
}

impl Reading {
    /// The step of the last digit read.
    #[must_use]
    pub fn resolution(self) -> Resolution {
        Resolution(self.unit.of(self.number.step()))
    }
}

/// Words and signs before a value that make it a ceiling.
const CEILING: &[&str] =
    &["max.", "max", "maximum", "not more than", "no more than", "at most", "up to", "<=", "=<", "≤", "<"];
/// Words and signs before a value that make it a floor.
const FLOOR: &[&str] = &[
    "min.",
    "min",
    "minimum",
    "not less than",
    "no less than",
    "at or above",
    "at least",
    ">=",
    "=>",
    "≥",
    ">",
];
/// Words after a value that make it a ceiling or a floor, as marked on parts.
const CEILING_AFTER: &[&str] = &["maximum", "max.", "max"];
const FLOOR_AFTER: &[&str] = &["minimum", "min.", "min"];
/// Signs between the ends of a range.
const RANGE_SIGNS: &[&str] = &["...", "..", "…", "-", "–", "—", "−", "‑", "~"];
/// Words between the ends of a range.
const RANGE_WORDS: &[&str] = &["to", "bis", "a", "à"];
/// Signs before a tolerance.
const TOLERANCE_SIGNS: &[&str] = &["±", "+/-", "+-", "+/−"];

#[derive(Clone, Copy, PartialEq)]
enum Bound {
    Ceiling,
    Floor,
}

#[derive(Clone, Copy, PartialEq)]
enum Link {
    Range,
    Tolerance,
}

/// Reads a specified torque in any of its forms (`specs/rules.md`, "Forms of a specified torque").
///
/// ```
/// use evenclamp::quantity::{Spec, parse_spec};
/// assert_eq!(parse_spec("4 – 6 Nm").unwrap().spec, Spec::range_nm(4.0, 6.0));
/// assert_eq!(parse_spec("max 5 N·m").unwrap().spec.form(), "max");
/// ```
/// # Errors
/// [`QuantityError`] says what is wrong and, by [`QuantityError::hint`], what to type instead.
pub fn parse_spec(text: &str) -> Result<Stated, QuantityError> {
    let whole = text.trim();
    if whole.is_empty() {
        return Err(QuantityError::Empty);
    }
    let error = match one_statement(whole) {
        Err(error) => error,
        stated => return stated,
    };
    match two_statements(whole) {
        Some(found @ (Ok(_) | Err(QuantityError::UnitsDisagree { .. }))) => found,
        _ => Err(error),
    }
}

/// Reads a specified torque that is stated in two units; none where it is not.
fn two_statements(whole: &str) -> Option<Result<Stated, QuantityError>> {
    // `5 Nm (44 in-lb) max`: the bound stands behind both.
    let (bound, statements) = take_bound_after(whole);
    let (first, second) = in_two_units(statements)?;
    let both = || {
        let (first, second) = (one_statement(first)?, parse_spec(second)?);
        let first = Stated { spec: bounded(whole, first.spec, bound)?, ..first };
        let second = Stated { spec: bounded(whole, second.spec, bound)?, ..second };
        the_same(whole, first, second)
    };
    Some(both())
}

/// What a bound makes of what it stands beside.
fn bounded(whole: &str, spec: Spec, bound: Option<Bound>) -> Result<Spec, QuantityError> {
    match (bound, spec) {
        (None, spec) => Ok(spec),
        (Some(Bound::Ceiling), Spec::Set(value) | Spec::Ceiling(value)) => Ok(Spec::Ceiling(value)),
        (Some(Bound::Floor), Spec::Set(value) | Spec::Floor(value)) => Ok(Spec::Floor(value)),
        _ => Err(QuantityError::NotOneSpec(whole.to_owned())),
    }
}

/// Reads a specified torque that is stated once.
fn one_statement(text: &str) -> Result<Stated, QuantityError> {
    let whole = text.trim();
    let (before, body) = take_bound(without_label(whole));
    let body = without_label(body);
    refuse_sign(body, whole)?;
    let (first, rest) = Number::take(body)?;
    let (gap, tail) = rest.split_at(rest.find(|c: char| c.is_ascii_digit()).unwrap_or(rest.len()));
    let stated = if tail.is_empty() {
        one_value(whole, before, first, gap)?
    } else if before.is_none() {
        two_values(whole, first, gap, tail)?
    } else {
        return Err(QuantityError::NotOneSpec(whole.to_owned()));
    };
    if stated.spec.largest() <= Torque::default() {
        return Err(QuantityError::ZeroSpec);
    }
    Ok(stated)
}

/// Reads one logged value such as `5.1 N·m`; zero is allowed, a range or limit is not.
///
/// # Errors
/// [`QuantityError`], as for [`parse_spec`].
pub fn parse_reading(text: &str) -> Result<Reading, QuantityError> {
    let whole = text.trim();
    if whole.is_empty() {
        return Err(QuantityError::Empty);
    }
    refuse_sign(whole, whole)?;
    let (number, rest) = match Number::take(whole) {
        Err(QuantityError::NotANumber(_))
            if parse_spec(whole).is_ok() || !whole.contains(|c: char| c.is_ascii_digit()) =>
        {
            return Err(QuantityError::NotAReading(whole.to_owned()));
        }
        other => other?,
    };
    if rest.contains(|c: char| c.is_ascii_digit()) {
        return Err(QuantityError::NotAReading(whole.to_owned()));
    }
    let unit = unit_or_none(rest)?;
    let used = unit.unwrap_or(TorqueUnit::NewtonMetre);
    Ok(Reading { torque: used.of(number.value), number, unit: used, unit_given: unit.is_some() })
}

/// Reads a logged value whose unit stands apart, as in the columns of a log; one with a unit of its own may say the
/// same twice.
///
/// # Errors
/// [`QuantityError`], as for [`parse_reading`]; [`QuantityError::UnitsDisagree`] where the two units differ.
pub(crate) fn parse_reading_in(value: &str, unit: &str) -> Result<Reading, QuantityError> {
    let read = parse_reading(value)?;
    match TorqueUnit::parse(unit) {
        Ok(stated) if read.unit_given && read.unit != stated => {
            let (text, second) = (format!("{} {}", value.trim(), unit.trim()), format!("in {stated}"));
            Err(QuantityError::UnitsDisagree { text, second })
        }
        Ok(_) if read.unit_given => Ok(read),
        _ => parse_reading(&format!("{value} {unit}")),
    }
}

/// A single value, with a bound before or after it.
fn one_value(whole: &str, before: Option<Bound>, number: Number, gap: &str) -> Result<Stated, QuantityError> {
    let (after, unit_text) = take_bound_after(gap);
    let unit = unit_or_none(unit_text)?;
    let used = unit.unwrap_or(TorqueUnit::NewtonMetre);
    let before = bounded(whole, Spec::Set(used.of(number.value)), before)?;
    Ok(Stated {
        spec: bounded(whole, before, after)?,
        unit: used,
        resolution: Resolution(used.of(number.step())),
        unit_given: unit.is_some(),
    })
}

/// Two numbers: the ends of a range, or a value and its tolerance.
fn two_values(whole: &str, first: Number, gap: &str, tail: &str) -> Result<Stated, QuantityError> {
    let (first_unit_text, link) =
        split_link(gap).ok_or_else(|| QuantityError::NotOneSpec(whole.to_owned()))?;
    let (second, rest) = Number::take(tail)?;
    if rest.contains(|c: char| c.is_ascii_digit()) {
        return Err(QuantityError::NotOneSpec(whole.to_owned()));
    }
    let first_unit = unit_or_none(first_unit_text)?;
    if link == Link::Tolerance
        && let Some(after_percent) = rest.trim_start().strip_prefix('%')
    {
        let unit = first_unit.or(unit_or_none(after_percent)?);
        if second.value >= 100.0 {
            return Err(QuantityError::ToleranceTooWide(whole.to_owned()));
        }
        let used = unit.unwrap_or(TorqueUnit::NewtonMetre);
        let middle = used.of(first.value);
        let half = middle * (second.value / 100.0);
        let spec = Spec::Range { low: middle - half, high: middle + half };
        // The ends are known one digit finer than the value.
        let resolution = Resolution(used.of(first.step() / 10.0));
        return Ok(Stated { spec, unit: used, resolution, unit_given: unit.is_some() });
    }
    let second_unit = unit_or_none(rest)?;
    let low_unit = first_unit.or(second_unit).unwrap_or(TorqueUnit::NewtonMetre);
    let high_unit = second_unit.or(first_unit).unwrap_or(TorqueUnit::NewtonMetre);
    let (a, b) = (low_unit.of(first.value), high_unit.of(second.value));
    let (a_step, b_step) = (low_unit.of(first.step()), high_unit.of(second.step()));
    let spec = match link {
        Link::Range if a > b => return Err(QuantityError::UpsideDown(whole.to_owned())),
        Link::Range => Spec::Range { low: a, high: b },
        Link::Tolerance if b >= a => return Err(QuantityError::ToleranceTooWide(whole.to_owned())),
        Link::Tolerance => Spec::Range { low: a - b, high: a + b },
    };
    let resolution = Resolution(if a_step < b_step { a_step } else { b_step });
    Ok(Stated { spec, unit: low_unit, resolution, unit_given: first_unit.or(second_unit).is_some() })
}

/// Splits what stands between two numbers into the first one's unit and the link.
fn split_link(gap: &str) -> Option<(&str, Link)> {
    let gap = gap.trim();
    let before = |signs: &[&str]| signs.iter().find_map(|sign| gap.strip_suffix(sign));
    if let Some(unit) = before(TOLERANCE_SIGNS) {
        return Some((unit, Link::Tolerance));
    }
    let word_apart = |word: &&str| {
        gap.strip_suffix(word).filter(|unit| unit.is_empty() || unit.ends_with(char::is_whitespace))
    };
    let unit = before(RANGE_SIGNS).or_else(|| RANGE_WORDS.iter().find_map(word_apart))?;
    Some((unit, Link::Range))
}

fn unit_or_none(text: &str) -> Result<Option<TorqueUnit>, QuantityError> {
    if text.trim().is_empty() { Ok(None) } else { Ok(Some(TorqueUnit::parse(text)?)) }
}

/// Strips a bound from the front of the text.
fn take_bound(text: &str) -> (Option<Bound>, &str) {
    bound_by(CEILING, FLOOR, text, |word| behind_word(text, word))
}

/// Strips a bound from the end of what follows a value, as in `5 Nm max`, `5 Nm (max)` or `5 Nm max torque`.
fn take_bound_after(text: &str) -> (Option<Bound>, &str) {
    let (head, last) = last_bracket(text).unwrap_or((text, text));
    let trimmed = without_label_after(last);
    let (bound, left) = bound_by(CEILING_AFTER, FLOOR_AFTER, text, |word| {
        let at = trimmed.len().checked_sub(word.len())?;
        let (head, tail) = (trimmed.get(..at)?, trimmed.get(at..)?);
        (tail.eq_ignore_ascii_case(word) && !head.ends_with(char::is_alphanumeric)).then_some(head)
    });
    match (bound, last.len() < text.len()) {
        (Some(_), true) if left.trim().is_empty() => (bound, head),
        (Some(_), true) => (None, text),
        _ => (bound, left),
    }
}

/// The bound whose word can be stripped, with what is left then; all of `text` where there is none.
fn bound_by<'a>(
    ceiling: &[&str],
    floor: &[&str],
    text: &'a str,
    strip: impl Fn(&str) -> Option<&'a str>,
) -> (Option<Bound>, &'a str) {
    let left = |words: &[&str], bound| words.iter().find_map(|word| Some((Some(bound), strip(word)?)));
    left(ceiling, Bound::Ceiling).or_else(|| left(floor, Bound::Floor)).unwrap_or((None, text))
}

fn refuse_sign(text: &str, whole: &str) -> Result<(), QuantityError> {
    if text.starts_with(['-', '−', '–']) {
        return Err(QuantityError::Negative(whole.to_owned()));
    }
    Ok(())
}

#[cfg(test)]
#[path = "parse_tests.rs"]
mod tests;
