//! The standard normal distribution Φ, by `erfc` of `libm`; checked in `tests/published/normal.csv`.

use std::f64::consts::SQRT_2;

use super::Probability;

/// Φ(z): the probability that a standard normal variable is at most `z`.
///
/// ```
/// use evenclamp::conformity::normal;
/// assert!((normal::cumulative(1.96).value() - 0.975).abs() < 1e-5);
/// ```
#[must_use]
pub fn cumulative(z: f64) -> Probability {
    Probability::clamped(0.5 * libm::erfc(-z / SQRT_2))
}

/// Below this Φ is less than 1e-17, and taken from a half or more it changes not the last bit.
const NOTHING_BELOW: f64 = -8.5;

/// The probability of lying between `from` and `to`; 0 when they are the wrong way round.
///
/// The tails are taken on the side where they are small, so that nothing is lost to cancellation.
#[must_use]
pub fn between(from: f64, to: f64) -> Probability {
    if from < NOTHING_BELOW && to >= 0.0 {
        return cumulative(to);
    }
    let difference = if from > 0.0 {
        cumulative(-from).value() - cumulative(-to).value()
    } else {
        cumulative(to).value() - cumulative(from).value()
    };
    Probability::clamped(difference)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Far out Φ(−z) lies between φ(z)·(1/z − 1/z³) and φ(z)/z (Abramowitz and Stegun (1964), 26.2.12).
    #[test]
    fn a_far_tail_keeps_its_digits() {
        for z in [9.0f64, 20.0, 37.0] {
            let density = (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt();
            let tail = cumulative(-z).value();
            assert!(density * (1.0 / z - z.powi(-3)) < tail && tail < density / z);
        }
        assert!(between(9.0, 10.0).value() > 0.0);
    }

    proptest! {
        #[test]
        fn what_is_left_out_would_change_no_bit(from in -40.0..-8.5f64, to in 0.0..40.0f64) {
            let difference = cumulative(to).value() - cumulative(from).value();
            prop_assert_eq!(between(from, to).value().to_bits(), difference.to_bits());
        }

        #[test]
        fn more_is_never_less_likely(a in -40.0..40.0f64, b in -40.0..40.0f64) {
            prop_assert!(cumulative(a.min(b)) <= cumulative(a.max(b)));
            prop_assert!((cumulative(a).value() + cumulative(-a).value() - 1.0).abs() < 1e-15);
        }
    }
}
