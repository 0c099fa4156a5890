//! Coefficients of friction in thread and under the head: one value, a band, and the band of a
//! named condition (VDI 2230 Part 1 Table A5 classes, see `specs/friction.csv`).
//!
//! One coefficient stands for thread and head alike, as in the published torque tables.

use std::fmt;

use super::JointError;
use super::condition::Condition;
use super::table::Provenance;

/// A coefficient of friction, above 0 and below 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct FrictionCoefficient(f64);

impl FrictionCoefficient {
    /// Checks a plain number.
    ///
    /// # Errors
    /// [`JointError::Friction`] when it is not above 0 and below 1.
    pub fn new(value: f64) -> Result<FrictionCoefficient, JointError> {
        if value > 0.0 && value < 1.0 {
            Ok(FrictionCoefficient(value))
        } else {
            Err(JointError::Friction(value))
        }
    }

    /// The plain number.
    #[must_use]
    pub fn get(self) -> f64 {
        self.0
    }
}

impl fmt::Display for FrictionCoefficient {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.2}", self.0)
    }
}

/// The coefficients that a joint may have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrictionBand {
    low: FrictionCoefficient,
    high: FrictionCoefficient,
}

impl FrictionBand {
    /// A band from `low` to `high`, which may be equal.
    ///
    /// # Errors
    /// [`JointError::Friction`] for an end outside 0 < μ < 1;
    /// [`JointError::FrictionUpsideDown`] when `low` is above `high`.
    pub fn new(low: f64, high: f64) -> Result<FrictionBand, JointError> {
        let band =
            FrictionBand { low: FrictionCoefficient::new(low)?, high: FrictionCoefficient::new(high)? };
        if low <= high { Ok(band) } else { Err(JointError::FrictionUpsideDown { low, high }) }
    }

    /// Reads `0.10..0.16`, `0.10-0.16`, `0,10 – 0,16` or one value such as `0.12`; `None` when the
    /// text is no number at all and may be the name of a condition.
    ///
    /// ```
    /// use evenclamp::joint::FrictionBand;
    /// assert_eq!(FrictionBand::parse("0.10..0.16"), Some(FrictionBand::new(0.10, 0.16)));
    /// assert!(FrictionBand::parse("0..0.2").is_some_and(|band| band.is_err()));
    /// assert_eq!(FrictionBand::parse("greased"), None);
    /// ```
    #[must_use]
    pub fn parse(text: &str) -> Option<Result<FrictionBand, JointError>> {
        let number = |part: &str| part.trim().replace(',', ".").parse::<f64>().ok();
        if let Some(value) = number(text) {
            return Some(FrictionBand::new(value, value));
        }
        ["..", "–", " to ", "-"].iter().find_map(|sign| {
            let (low, high) = text.split_once(sign)?;
            Some(FrictionBand::new(number(low)?, number(high)?))
        })
    }

    /// The low end, at which a torque gives the most clamp load.
    #[must_use]
    pub fn low(self) -> FrictionCoefficient {
        self.low
    }

    /// The high end, at which a torque gives the least clamp load.
    #[must_use]
    pub fn high(self) -> FrictionCoefficient {
        self.high
    }

    /// The band that holds both.
    #[must_use]
    pub fn hull(self, other: FrictionBand) -> FrictionBand {
        let low = if other.low < self.low { other.low } else { self.low };
        let high = if other.high > self.high { other.high } else { self.high };
        FrictionBand { low, high }
    }

    /// The middle of the band.
    #[must_use]
    pub fn middle(self) -> FrictionCoefficient {
        FrictionCoefficient(f64::midpoint(self.low.0, self.high.0))
    }
}

impl fmt::Display for FrictionBand {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.low == self.high { self.low.fmt(f) } else { write!(f, "{}–{}", self.low, self.high) }
    }
}

/// The friction of a joint and on whose word.
#[derive(Debug, Clone, PartialEq)]
pub struct Friction {
    /// The coefficients it may have.
    pub band: FrictionBand,
    /// The condition that was named; `None` for a band given in numbers.
    pub condition: Option<Condition>,
    /// Where the band of the condition comes from; `None` for a band given in numbers.
    pub provenance: Option<Provenance>,
    /// What the source says of it, such as its class.
    pub note: String,
    /// True where the metals have no row for the condition, so that the widest range was taken.
    pub is_widest: bool,
}

impl Friction {
    /// A band given in numbers.
    #[must_use]
    pub fn stated(band: FrictionBand) -> Friction {
        Friction { band, condition: None, provenance: None, note: String::new(), is_widest: false }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bands_are_read_in_the_usual_forms() {
        let band = FrictionBand::new(0.10, 0.16);
        for text in ["0.10..0.16", "0.1 .. 0.16", "0.10-0.16", "0,10 – 0,16", "0.10 to 0.16"] {
            assert_eq!(FrictionBand::parse(text), Some(band.clone()), "{text}");
        }
        assert_eq!(FrictionBand::parse("0.12"), Some(FrictionBand::new(0.12, 0.12)));
        assert_eq!(FrictionBand::parse("anti-seize"), None);
    }

    #[test]
    fn coefficients_that_cannot_exist_are_refused() {
        for bad in [0.0, -0.1, 1.0, f64::INFINITY, f64::NAN] {
            assert!(FrictionCoefficient::new(bad).is_err());
        }
        assert_eq!(FrictionBand::new(0.2, 0.1), Err(JointError::FrictionUpsideDown { low: 0.2, high: 0.1 }));
        assert!(FrictionBand::parse("-0.1").is_some_and(|band| band.is_err()));
    }
}
