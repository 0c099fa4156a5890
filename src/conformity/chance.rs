//! The chance that the true torque lies within limits, given a reading (JCGM 106:2012, clause 7).

use super::normal;
use crate::quantity::{Torque, in_newton_metres};

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

/// The chance that the true torque lies within the limits: 7.3 for one limit, 7.4 for two.
///
/// `standard` is the standard uncertainty u of the reading. A limit that is not known excludes nothing.
///
/// ```
/// use evenclamp::conformity::chance_inside;
/// use evenclamp::quantity::newton_metres as nm;
/// // JCGM 106:2012, 7.4: 13.6 with u = 1.8 between 12.5 and 16.3 gives 0.66.
/// let chance = chance_inside(Some(nm(12.5)), Some(nm(16.3)), nm(13.6), nm(1.8));
/// assert!((chance.value() - 0.66).abs() < 0.005);
/// ```
#[must_use]
pub fn chance_inside(
    low: Option<Torque>,
    high: Option<Torque>,
    reading: Torque,
    standard: Torque,
) -> Probability {
    let from = low.map_or(f64::NEG_INFINITY, |low| standardised(low, reading, standard));
    let to = high.map_or(f64::INFINITY, |high| standardised(high, reading, standard));
    normal::between(from, to)
}

/// The chances that the true torque lies below the lower and above the upper limit.
#[must_use]
pub fn chances_outside(
    low: Option<Torque>,
    high: Option<Torque>,
    reading: Torque,
    standard: Torque,
) -> (Probability, Probability) {
    let below = low.map_or(f64::NEG_INFINITY, |low| standardised(low, reading, standard));
    let above = high.map_or(f64::NEG_INFINITY, |high| -standardised(high, reading, standard));
    (normal::cumulative(below), normal::cumulative(above))
}

/// How many standard uncertainties a limit lies above the reading.
fn standardised(limit: Torque, reading: Torque, standard: Torque) -> f64 {
    let distance = in_newton_metres(limit - reading);
    // 0/0 would be no number: a reading without uncertainty on its limit is on it.
    if distance == 0.0 { 0.0 } else { distance / in_newton_metres(standard) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::newton_metres as nm;
    use proptest::prelude::*;

    proptest! {
        /// JCGM 106:2012, 7.1: inside and outside exhaust all there is.
        #[test]
        fn the_three_chances_add_up_to_one(
            low in -10.0..50.0f64,
            width in 0.0..50.0f64,
            reading in 0.0..100.0f64,
            standard in 0.001..20.0f64,
        ) {
            let (low, high) = (Some(nm(low)), Some(nm(low + width)));
            let inside = chance_inside(low, high, nm(reading), nm(standard));
            let (below, above) = chances_outside(low, high, nm(reading), nm(standard));
            prop_assert!((inside.value() + below.value() + above.value() - 1.0).abs() < 1e-14);
        }
    }

    #[test]
    fn no_limit_excludes_nothing() {
        assert_eq!(chance_inside(None, None, nm(5.0), nm(0.1)), Probability::clamped(1.0));
        assert_eq!(chances_outside(None, Some(nm(5.0)), nm(5.0), nm(0.1)).0, Probability::clamped(0.0));
    }

    #[test]
    fn a_reading_without_uncertainty_gives_no_nonsense() {
        for reading in [0.0, 4.0, 5.0, 6.0] {
            let chance = chance_inside(Some(nm(4.0)), Some(nm(6.0)), nm(reading), nm(0.0)).value();
            assert!((0.0..=1.0).contains(&chance), "{reading} gave {chance}");
        }
    }
}
