//! The uncertainty of a reading as a small budget (JCGM 100:2008, 4.3.7, 5.1.2, 6.2.1 and F.2.2.1).
//!
//! `u² = (a·y)²/3 + d²/12 + s²` with the permitted deviation `a`, the reading `y`, the step `d` of
//! the scale and the scatter `s` of repeated readings; `U = 2u`. A certificate's expanded uncertainty
//! enters as `(a·y)²/k²` instead. Where one rectangle dominates, k = 2 is wider than a 95 % factor
//! need be (`U = 1.155 a·y`): it errs on the safe side and is kept.

use super::{Accuracy, AccuracyBasis, Deviation};
use crate::quantity::{Torque, in_newton_metres, newton_metres};

/// Coverage factor of the expanded uncertainty.
const COVERAGE: f64 = 2.0;

/// What a reading's uncertainty depends on: accuracy, step of the scale and scatter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instrument {
    accuracy: Accuracy,
    step: Option<Torque>,
    scatter: Option<Torque>,
}

/// The parts of u that do not depend on the reading y: `u² = (slope·y)² + constant²`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Spread {
    /// The relative part of u.
    pub(crate) slope: f64,
    /// The part that stays.
    pub(crate) constant: Torque,
}

impl Spread {
    /// The standard uncertainty u of a reading.
    pub(crate) fn standard(self, reading: Torque) -> Torque {
        newton_metres((self.slope * in_newton_metres(reading)).hypot(in_newton_metres(self.constant)))
    }

    /// The expanded uncertainty U = 2u of a reading.
    pub(crate) fn expanded(self, reading: Torque) -> Torque {
        self.standard(reading) * COVERAGE
    }
}

/// A step or scatter that cannot be one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum InstrumentError {
    /// A scale without a step cannot be read.
    #[error("the step of a scale must be above 0, such as 0.1 N·m; leave it out where it is unknown")]
    Step,
    /// The scatter is a standard deviation.
    #[error("the scatter must be above 0, such as 0.2 N·m; leave it out where it is unknown")]
    Scatter,
}

impl Instrument {
    /// An instrument with its `step` and `scatter` (one standard deviation of repeated readings) where known.
    ///
    /// # Errors
    /// [`InstrumentError`] when a step or scatter is given and not above 0.
    pub fn new(
        accuracy: Accuracy,
        step: Option<Torque>,
        scatter: Option<Torque>,
    ) -> Result<Instrument, InstrumentError> {
        let sensible = |size: Torque| size > Torque::default() && size.is_finite();
        if !step.is_none_or(sensible) {
            return Err(InstrumentError::Step);
        }
        if !scatter.is_none_or(sensible) {
            return Err(InstrumentError::Scatter);
        }
        Ok(Instrument { accuracy, step, scatter })
    }

    /// An instrument of which only the accuracy is known.
    #[must_use]
    pub fn of_accuracy(accuracy: Accuracy) -> Instrument {
        Instrument { accuracy, step: None, scatter: None }
    }

    /// The accuracy and its basis.
    #[must_use]
    pub fn accuracy(&self) -> Accuracy {
        self.accuracy
    }

    /// The step of the scale, where known.
    #[must_use]
    pub fn step(&self) -> Option<Torque> {
        self.step
    }

    /// The scatter of repeated readings, where known.
    #[must_use]
    pub fn scatter(&self) -> Option<Torque> {
        self.scatter
    }

    /// The same instrument with what it reads multiplied by `factor`, as by a lever between wrench
    /// and bolt: the step and the scatter grow with the reading, the relative accuracy stays.
    pub(crate) fn scaled(self, factor: f64) -> Instrument {
        let times = |size: Torque| size * factor;
        Instrument { step: self.step.map(times), scatter: self.scatter.map(times), ..self }
    }

    /// The standard uncertainty u of a reading.
    #[must_use]
    pub fn standard(&self, reading: Torque) -> Torque {
        self.spread().standard(reading)
    }

    /// The expanded uncertainty U = 2u of a reading.
    #[must_use]
    pub fn expanded(&self, reading: Torque) -> Torque {
        self.spread().expanded(reading)
    }

    pub(crate) fn spread(&self) -> Spread {
        let share = self.accuracy.deviation.share();
        let slope = share / self.accuracy_distribution().divisor();
        let step = self.step.map_or(0.0, in_newton_metres) / 12f64.sqrt();
        let scatter = self.scatter.map_or(0.0, in_newton_metres);
        Spread { slope, constant: newton_metres(step.hypot(scatter)) }
    }

    /// The parts of u that would be assumed of an instrument of which no more than the scatter is known, where this one
    /// is no worse than any that ISO 6789-1 lets pass (`specs/rules.md`, "Uncertainty").
    pub(crate) fn assumed_instead(&self, upper_limit: Torque) -> Option<Spread> {
        let unknown = |accuracy| Instrument { accuracy, step: None, scatter: self.scatter }.spread();
        let worst = unknown(Accuracy::given(Deviation::SIX_PERCENT));
        let assumed = unknown(Accuracy::assumed(upper_limit));
        let own = self.spread();
        let may_be_worse = own.slope > assumed.slope || own.constant > assumed.constant;
        (own.slope <= worst.slope && may_be_worse).then_some(assumed)
    }

    fn accuracy_distribution(&self) -> Distribution {
        match self.accuracy.basis {
            AccuracyBasis::Certificate { coverage } => Distribution::Normal { coverage },
            _ => Distribution::Rectangular,
        }
    }

    pub(crate) fn budget(&self, reading: Torque) -> Budget {
        let accuracy = Term {
            kind: TermKind::Accuracy(self.accuracy),
            size: self.accuracy.deviation.of(reading),
            distribution: self.accuracy_distribution(),
        };
        let step = self.step.map(|step| Term {
            kind: TermKind::Step,
            size: step / 2.0,
            distribution: Distribution::Rectangular,
        });
        let scatter = self.scatter.map(|scatter| Term {
            kind: TermKind::Scatter,
            size: scatter,
            distribution: Distribution::Normal { coverage: 1.0 },
        });
        Budget {
            terms: [Some(accuracy), step, scatter].into_iter().flatten().collect(),
            standard: self.standard(reading),
        }
    }
}

/// How the values of a term are taken to be spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Distribution {
    /// Anything within ± the size is equally likely (JCGM 100:2008, 4.3.7): u = size/√3.
    Rectangular,
    /// Normal, the size being `coverage` standard deviations (JCGM 100:2008, 4.3.3): u = size/k.
    Normal {
        /// The coverage factor k.
        coverage: f64,
    },
}

impl Distribution {
    /// What the size is divided by to give the standard uncertainty.
    pub(crate) fn divisor(self) -> f64 {
        match self {
            Distribution::Rectangular => 3f64.sqrt(),
            Distribution::Normal { coverage } => coverage,
        }
    }

    pub(crate) fn name(self) -> &'static str {
        match self {
            Distribution::Rectangular => "rectangular",
            Distribution::Normal { .. } => "normal",
        }
    }
}

/// Where a term of the budget comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TermKind {
    /// What the wrench may be off.
    Accuracy(Accuracy),
    /// The scale is read to its step.
    Step,
    /// The spread of repeated readings.
    Scatter,
}

impl TermKind {
    pub(crate) fn name(self) -> &'static str {
        match self {
            TermKind::Accuracy(_) => "accuracy of the wrench",
            TermKind::Step => "half a step of the scale",
            TermKind::Scatter => "scatter of repeats",
        }
    }
}

/// One term of a budget.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Term {
    /// What it is and where it comes from.
    pub kind: TermKind,
    /// The half-width of a rectangle, or the stated multiple of a standard deviation.
    pub size: Torque,
    /// How it is spread.
    pub distribution: Distribution,
}

impl Term {
    /// The standard uncertainty of the term.
    #[must_use]
    pub fn standard(&self) -> Torque {
        self.size / self.distribution.divisor()
    }
}

/// The uncertainty of one reading, term by term.
#[derive(Debug, Clone, PartialEq)]
pub struct Budget {
    /// The terms, the accuracy first.
    pub terms: Vec<Term>,
    /// The combined standard uncertainty u (JCGM 100:2008, 5.1.2).
    pub standard: Torque,
}

impl Budget {
    /// The expanded uncertainty U = 2u (JCGM 100:2008, 6.2.1).
    #[must_use]
    pub fn expanded(&self) -> Torque {
        self.standard * COVERAGE
    }
}

#[cfg(test)]
#[path = "uncertainty_tests.rs"]
mod tests;
