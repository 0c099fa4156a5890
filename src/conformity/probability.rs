//! A probability as its own type, so that it cannot be mistaken for a torque or a ratio.

/// A probability, from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Probability(f64);

impl Probability {
    /// The nearest probability to a sum or difference that may leave 0..1 by its last bits.
    pub(crate) fn clamped(value: f64) -> Probability {
        Probability(value.clamp(0.0, 1.0))
    }

    /// The number from 0 to 1.
    #[must_use]
    pub fn value(self) -> f64 {
        self.0
    }
}
