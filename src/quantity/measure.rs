//! Measured values that are no torques: thickness, wear, pressure, age. Each carries its unit.

use std::fmt;

use super::Number;
use super::tolerance::TOLERANCE;
use crate::words::{meant, words};

words! {
    /// Units of the other measured checks.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum MeasureUnit: symbol {
        /// mm.
        Millimetre = "mm",
        /// in.
        Inch = "in",
        /// %.
        Percent = "%",
        /// bar.
        Bar = "bar",
        /// psi (pound-force per square inch).
        Psi = "psi",
        /// N.
        Newton = "N",
        /// h.
        Hour = "h",
        /// d (days).
        Day = "d",
        /// ml.
        Millilitre = "ml",
    }
}

const SPELLINGS: &[(&str, MeasureUnit)] = &[
    ("inch", MeasureUnit::Inch),
    ("\"", MeasureUnit::Inch),
    ("percent", MeasureUnit::Percent),
    ("hour", MeasureUnit::Hour),
    ("hours", MeasureUnit::Hour),
    ("day", MeasureUnit::Day),
    ("days", MeasureUnit::Day),
];

impl MeasureUnit {
    /// The unit that a symbol or another spelling stands for.
    #[must_use]
    pub fn spelt(text: &str) -> Option<MeasureUnit> {
        MeasureUnit::parse(text).or_else(|| meant(SPELLINGS, text))
    }

    /// The unit in which its values are compared, and how many of that one of it is.
    fn compared(self) -> (MeasureUnit, f64) {
        match self {
            // Exactly 25.4 mm (NIST SP 811 (2008), App. B).
            MeasureUnit::Inch => (MeasureUnit::Millimetre, 25.4),
            // 4.4482216152605 N per 25.4² mm² (NIST SP 811 (2008), App. B: exact factors of lbf and inch).
            MeasureUnit::Psi => (MeasureUnit::Bar, 0.068_947_572_931_683_6),
            other => (other, 1.0),
        }
    }

    /// The unit in which its values are compared.
    pub(crate) fn compared_in(self) -> MeasureUnit {
        self.compared().0
    }

    pub(crate) fn compares_with(self, other: MeasureUnit) -> bool {
        self.compared().0 == other.compared().0
    }
}

/// A measured value as read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    /// The number as read, in `unit`.
    pub number: Number,
    /// The unit it was read in.
    pub unit: MeasureUnit,
}

/// A text that is no measured value or limit.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum MeasureError {
    /// No number.
    #[error("`{0}` is not a measured value; write a number with its unit, such as 1.7 mm")]
    NotANumber(String),
    /// A unit that is not known.
    #[error("`{0}` is not a unit known here; known are mm, in, %, bar, psi, N, h, d, ml")]
    Unit(String),
    /// No unit where one is needed.
    #[error("`{0}` has no unit; write it with its unit, such as 1.7 mm")]
    NoUnit(String),
    /// No limit.
    #[error("`{0}` is not a limit; write it as min 1.5 mm, over 1.5 mm, max 0.5 % or 2.5-4.5 bar")]
    NotALimit(String),
}

impl Measure {
    /// Reads a value such as `1.7 mm`; without a unit it is taken in `usual`.
    ///
    /// ```
    /// use evenclamp::quantity::{Measure, MeasureUnit};
    /// let read = Measure::parse("1,7 mm", None).unwrap();
    /// assert_eq!((read.number.value, read.unit), (1.7, MeasureUnit::Millimetre));
    /// ```
    /// # Errors
    /// [`MeasureError`] says what would be right.
    pub fn parse(text: &str, usual: Option<MeasureUnit>) -> Result<Measure, MeasureError> {
        let whole = text.trim();
        let (number, rest) = Number::take(whole).map_err(|_| MeasureError::NotANumber(whole.to_owned()))?;
        let rest = rest.trim();
        let unit = match (rest.is_empty(), usual) {
            (true, Some(usual)) => usual,
            (true, None) => return Err(MeasureError::NoUnit(whole.to_owned())),
            (false, _) => MeasureUnit::spelt(rest).ok_or_else(|| MeasureError::Unit(rest.to_owned()))?,
        };
        Ok(Measure { number, unit })
    }

    /// The value in the unit in which this kind of value is compared.
    pub(crate) fn compared(self) -> f64 {
        self.number.value * self.unit.compared().1
    }

    /// The step of its last decimal, in the same unit.
    pub(crate) fn step(self) -> f64 {
        10f64.powi(-i32::from(self.number.decimals)) * self.unit.compared().1
    }
}

impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let decimals = usize::from(self.number.decimals);
        write!(f, "{:.decimals$} {}", self.number.value, self.unit)
    }
}

/// A limit of a measured value: at least one end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasureLimit {
    /// The least value allowed.
    pub low: Option<Measure>,
    /// Whether the least value itself is too small already.
    pub low_excluded: bool,
    /// The greatest value allowed.
    pub high: Option<Measure>,
}

/// Where a measured value lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Against {
    /// Within the limit.
    Within,
    /// Below the least value.
    Below,
    /// Above the greatest value.
    Above,
    /// The units have nothing to do with each other.
    OtherUnit,
}

impl MeasureLimit {
    /// Reads `min 1.5 mm`, `over 1.5 mm` (1.5 itself is too small), `max 0.5 %` or `2.5-4.5 bar`.
    ///
    /// # Errors
    /// [`MeasureError`] says what would be right.
    pub fn parse(text: &str) -> Result<MeasureLimit, MeasureError> {
        let whole = text.trim();
        let lower = whole.to_lowercase();
        let after = |words: &[&str]| {
            let rest = words.iter().find_map(|word| lower.strip_prefix(word));
            rest.map(|rest| Measure::parse(rest, None)).transpose()
        };
        if let Some(low) = after(&["minimum", "min", ">=", "≥"])? {
            return Ok(MeasureLimit::at_least(low));
        }
        if let Some(low) = after(&["over", ">"])? {
            return Ok(MeasureLimit { low_excluded: true, ..MeasureLimit::at_least(low) });
        }
        if let Some(high) = after(&["maximum", "max", "<=", "≤"])? {
            return Ok(MeasureLimit { low: None, low_excluded: false, high: Some(high) });
        }
        let wrong = || MeasureError::NotALimit(whole.to_owned());
        let (low, high) = lower.split_once(['-', '–']).ok_or_else(wrong)?;
        let high = Measure::parse(high, None)?;
        let low = Measure::parse(low, Some(high.unit))?;
        if low.compared() > high.compared() {
            return Err(wrong());
        }
        Ok(MeasureLimit { high: Some(high), ..MeasureLimit::at_least(low) })
    }

    fn at_least(low: Measure) -> MeasureLimit {
        MeasureLimit { low: Some(low), low_excluded: false, high: None }
    }

    /// The unit in which the limit is stated.
    #[must_use]
    pub fn unit(&self) -> Option<MeasureUnit> {
        self.low.or(self.high).map(|end| end.unit)
    }

    /// Where a value lies; the limit itself is allowed unless it says otherwise.
    /// How far a value lies from the nearer end, in the unit in which values are compared.
    pub(crate) fn distance(&self, value: Measure) -> f64 {
        let ends = [self.low, self.high].into_iter().flatten();
        ends.map(|end| (end.compared() - value.compared()).abs()).fold(f64::INFINITY, f64::min)
    }

    pub(crate) fn compare(&self, value: Measure) -> Against {
        let ends = [self.low, self.high];
        if ends.iter().flatten().any(|end| !end.unit.compares_with(value.unit)) {
            return Against::OtherUnit;
        }
        // The last bits of a product of decimals must not push a value over its limit.
        let tolerance = TOLERANCE * value.compared().abs();
        let below = if self.low_excluded { -tolerance } else { tolerance };
        if self.low.is_some_and(|low| value.compared() < low.compared() - below) {
            Against::Below
        } else if self.high.is_some_and(|high| value.compared() > high.compared() + tolerance) {
            Against::Above
        } else {
            Against::Within
        }
    }
}

impl fmt::Display for MeasureLimit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.low, self.high) {
            (Some(low), Some(high)) => write!(f, "{low} to {high}"),
            (Some(low), None) if self.low_excluded => write!(f, "over {low}"),
            (Some(low), None) => write!(f, "min {low}"),
            (None, Some(high)) => write!(f, "max {high}"),
            (None, None) => f.write_str("any"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn against(limit: &str, value: &str) -> Against {
        MeasureLimit::parse(limit).unwrap().compare(Measure::parse(value, None).unwrap())
    }

    #[test]
    fn a_value_on_the_limit_is_allowed() {
        assert_eq!(against("min 1.5 mm", "1.5 mm"), Against::Within);
        assert_eq!(against("min 1.5 mm", "1.4 mm"), Against::Below);
        assert_eq!(against("over 1.5 mm", "1.5 mm"), Against::Below);
        assert_eq!(against("over 1.5 mm", "1.51 mm"), Against::Within);
        assert_eq!(against("max 0.75 %", "0.8 %"), Against::Above);
        assert_eq!(against("2.5-4.5 bar", "3 bar"), Against::Within);
        assert_eq!(against("min 25.4 mm", "1 in"), Against::Within);
        assert_eq!(against("min 1.5 mm", "2 bar"), Against::OtherUnit);
    }

    #[test]
    fn the_two_printed_pressures_of_a_road_rim_meet() {
        // 5 bar = 72.5 psi, as the makers' association has it (practice of hookless rims).
        assert_eq!(against("max 5 bar", "72.5 psi"), Against::Within);
        assert_eq!(against("max 5 bar", "72.6 psi"), Against::Above);
    }

    #[test]
    fn what_is_no_value_or_limit_is_refused() {
        for text in ["", "mm", "1.7", "1.7 furlong"] {
            assert!(Measure::parse(text, None).is_err(), "{text}");
        }
        for text in ["1.5 mm", "max", "5-4 bar", "about 3 mm"] {
            assert!(MeasureLimit::parse(text).is_err(), "{text}");
        }
    }
}
