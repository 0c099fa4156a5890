//! How far a torque tool may be off, and on whose word.

use super::ToolClass;
use crate::quantity::{Torque, permitted_deviation};

/// A deviation relative to the reading, above 0 and below one half. In percent, as stated: 7 % prints as 7 %.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Deviation {
    percent: f64,
}

/// An accuracy that cannot be one.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum AccuracyError {
    /// No tool is free of error.
    #[error("an accuracy of {0} % is not possible: a torque wrench is good to some 1 to 6 %, such as 4 %")]
    NotPositive(f64),
    /// Half of the reading or more.
    #[error("an accuracy of {0} % is no measurement: it must be below 50 %, such as 4 %")]
    TooLarge(f64),
    /// A coverage factor below 1 makes no expanded uncertainty.
    #[error("a coverage factor of {0} is not possible: a certificate states k = 2 as a rule")]
    CoverageFactor(f64),
}

impl Deviation {
    /// 4 % of the reading.
    pub const FOUR_PERCENT: Deviation = Deviation { percent: 4.0 };
    /// 6 % of the reading.
    pub const SIX_PERCENT: Deviation = Deviation { percent: 6.0 };

    /// A deviation of `percent` of the reading.
    ///
    /// # Errors
    /// [`AccuracyError`] when it is not above 0 and below 50.
    pub fn percent(percent: f64) -> Result<Deviation, AccuracyError> {
        if percent.is_nan() || percent <= 0.0 {
            Err(AccuracyError::NotPositive(percent))
        } else if percent >= 50.0 {
            Err(AccuracyError::TooLarge(percent))
        } else {
            Ok(Deviation { percent })
        }
    }

    /// What ISO 6789-1 permits a tool of that largest torque; see [`permitted_deviation`].
    pub(crate) fn permitted(largest: Torque) -> Deviation {
        Deviation { percent: permitted_deviation(largest) * 100.0 }
    }

    /// The deviation as a share of the reading, such as 0.04.
    pub(crate) fn share(self) -> f64 {
        self.percent / 100.0
    }

    /// The deviation in percent of the reading.
    #[must_use]
    pub fn in_percent(self) -> f64 {
        self.percent
    }

    /// The deviation at a reading.
    #[must_use]
    pub fn of(self, reading: Torque) -> Torque {
        reading.abs() * self.share()
    }
}

/// On whose word an accuracy stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AccuracyBasis {
    /// A percentage that the user gave.
    Given,
    /// What ISO 6789-1 permits the class.
    Class(ToolClass),
    /// What ISO 6789-1 permits the usual class of such a tool; its maker's statement is not known.
    AssumedClass(ToolClass),
    /// At least what ISO 6789-1 permits the class: no calibration is known that would bear out more.
    Uncalibrated(ToolClass),
    /// The expanded uncertainty of a calibration certificate.
    Certificate {
        /// The coverage factor k that the certificate states with it.
        coverage: f64,
    },
    /// Nothing is known of the wrench: 6 % where the upper limit is at most 10 N·m, 4 % above.
    Assumed,
}

/// The accuracy of a tool, relative to the reading, with its basis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Accuracy {
    /// The permitted deviation, or the certificate's expanded uncertainty.
    pub deviation: Deviation,
    /// On whose word it stands.
    pub basis: AccuracyBasis,
}

impl Accuracy {
    /// An accuracy as stated, or the relative uncertainty interval W′ of a certificate (ISO 6789-2:2017, clause 8).
    #[must_use]
    pub fn given(deviation: Deviation) -> Accuracy {
        Accuracy { deviation, basis: AccuracyBasis::Given }
    }

    /// The less accurate of the two.
    pub(crate) fn or_worse(self, other: Accuracy) -> Accuracy {
        if self.deviation < other.deviation { other } else { self }
    }

    /// Whether it is that of a wrench of which too little is known to rely on its readings alone: none was named, or
    /// no calibration of it is known.
    pub(crate) fn is_taken_on_trust(self) -> bool {
        matches!(self.basis, AccuracyBasis::Assumed | AccuracyBasis::Uncalibrated(_))
    }

    /// The relative expanded uncertainty of a certificate, with its coverage factor `k`.
    ///
    /// It must cover the deviation that was found as well; a certificate that states the deviation
    /// apart states W′ too, which is [`Accuracy::given`].
    ///
    /// # Errors
    /// [`AccuracyError::CoverageFactor`] when `coverage` is not from 1 to 10.
    pub fn certificate(expanded: Deviation, coverage: f64) -> Result<Accuracy, AccuracyError> {
        if (1.0..=10.0).contains(&coverage) {
            Ok(Accuracy { deviation: expanded, basis: AccuracyBasis::Certificate { coverage } })
        } else {
            Err(AccuracyError::CoverageFactor(coverage))
        }
    }

    /// The accuracy taken for an unknown wrench: 6 % where the `upper_limit` of what is judged is at
    /// most 10 N·m, 4 % above (`specs/rules.md`, "Uncertainty").
    pub(crate) fn assumed(upper_limit: Torque) -> Accuracy {
        Accuracy { deviation: Deviation::permitted(upper_limit), basis: AccuracyBasis::Assumed }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{TorqueUnit, in_newton_metres, newton_metres};

    #[test]
    fn no_accuracy_of_zero_or_half() {
        assert_eq!(Deviation::percent(0.0), Err(AccuracyError::NotPositive(0.0)));
        assert_eq!(Deviation::percent(-4.0), Err(AccuracyError::NotPositive(-4.0)));
        assert_eq!(Deviation::percent(50.0), Err(AccuracyError::TooLarge(50.0)));
        assert!(Deviation::percent(f64::NAN).is_err());
        assert!(Accuracy::certificate(Deviation::FOUR_PERCENT, 0.5).is_err());
        assert!(Accuracy::certificate(Deviation::FOUR_PERCENT, f64::NAN).is_err());
    }

    #[test]
    fn percents_come_back_as_they_were_stated() {
        // 7.0 / 100.0 * 100.0 is 7.000000000000001.
        assert_eq!(Deviation::percent(7.0).map(|d| d.in_percent().to_string()), Ok("7".to_owned()));
        assert_eq!(Deviation::permitted(newton_metres(25.0)), Deviation::FOUR_PERCENT);
        assert_eq!(Deviation::permitted(newton_metres(5.0)), Deviation::SIX_PERCENT);
    }

    #[test]
    fn the_assumed_accuracy_does_not_depend_on_the_unit_of_the_limit() {
        for unit in TorqueUnit::ALL {
            let ten = unit.of(unit.value_of(newton_metres(10.0)));
            assert_eq!(Accuracy::assumed(ten).deviation, Deviation::SIX_PERCENT, "{unit}");
        }
        assert_eq!(Accuracy::assumed(newton_metres(10.01)).deviation, Deviation::FOUR_PERCENT);
        let small = in_newton_metres(Deviation::SIX_PERCENT.of(newton_metres(5.0)));
        assert!((small - 0.3).abs() < 1e-15);
    }
}
