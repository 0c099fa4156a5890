//! A probability as its own type, so that it cannot be mistaken for a torque or a ratio.

/// A probability, from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Probability(f64);

impl Probability {
    /// The probability `value`; `None` when it is not from 0 to 1.
    #[must_use]
    pub fn new(value: f64) -> Option<Probability> {
        (0.0..=1.0).contains(&value).then_some(Probability(value))
    }

    /// The nearest probability to a sum or difference that may leave 0..1 by its last bits.
    pub(crate) fn clamped(value: f64) -> Probability {
        Probability(value.clamp(0.0, 1.0))
    }

    /// The number from 0 to 1.
    #[must_use]
    pub fn value(self) -> f64 {
        self.0
    }

    /// The probability of the opposite.
    #[must_use]
    pub fn complement(self) -> Probability {
        Probability(1.0 - self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_zero_to_one_is_a_probability() {
        assert_eq!(Probability::new(0.25).map(|p| p.complement().value()), Some(0.75));
        for wrong in [-0.1, 1.1, f64::NAN, f64::INFINITY] {
            assert_eq!(Probability::new(wrong), None);
        }
    }
}
