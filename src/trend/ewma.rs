//! Exponentially weighted moving average (NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4):
//! reacts to a small lasting shift that single values hide.

use super::ControlLimits;
use crate::quantity::Torque;

/// Limits lie so many standard deviations from the start.
const SIGMAS: f64 = 3.0;

/// The averages and their limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Ewma {
    /// The average after each value.
    pub averages: Vec<Torque>,
    /// The limits of the averages, `start ± 3s·√(λ/(2−λ))`.
    pub limits: ControlLimits,
}

/// Averages values from `start`, the known mean, with `deviation`, the known standard deviation of the
/// single values. `weight` λ is the share of the newest value, above 0 and at most 1; none otherwise.
#[must_use]
pub fn ewma(values: &[Torque], weight: f64, start: Torque, deviation: Torque) -> Option<Ewma> {
    if !(weight > 0.0 && weight <= 1.0) {
        return None;
    }
    let averages = values
        .iter()
        .scan(start, |average, value| {
            *average = *value * weight + *average * (1.0 - weight);
            Some(*average)
        })
        .collect();
    let reach = deviation * (SIGMAS * (weight / (2.0 - weight)).sqrt());
    let limits = ControlLimits { lower: start - reach, centre: start, upper: start + reach };
    Some(Ewma { averages, limits })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::newton_metres as nm;

    #[test]
    fn a_weight_of_one_gives_the_values_back() {
        let values = [5.0, 4.0, 6.0].map(nm);
        assert_eq!(ewma(&values, 1.0, nm(5.0), nm(0.1)).unwrap().averages, values);
        for wrong in [0.0, 1.1, f64::NAN] {
            assert_eq!(ewma(&values, wrong, nm(5.0), nm(0.1)), None);
        }
    }
}
