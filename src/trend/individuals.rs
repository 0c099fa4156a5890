//! Chart of single values with limits from the mean moving range
//! (NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2).
//!
//! Meant for repeated checks of one thing, such as a wrench on one reference: a value beyond the limits
//! differs by more than the checks differ among themselves.

use crate::quantity::{Torque, in_newton_metres, newton_metres};

/// Mean range of two normal values in standard deviations, as handbooks print it (exact: 2/√π).
const D2: f64 = 1.128;
/// Limits lie so many standard deviations from the mean.
const SIGMAS: f64 = 3.0;

/// The mean of a chart and its limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ControlLimits {
    /// The lower limit.
    pub lower: Torque,
    /// The centre.
    pub centre: Torque,
    /// The upper limit.
    pub upper: Torque,
}

impl ControlLimits {
    /// Whether a value lies within the limits.
    #[must_use]
    pub fn contain(&self, value: Torque) -> bool {
        (self.lower..=self.upper).contains(&value)
    }
}

/// A chart of single values.
#[derive(Debug, Clone, PartialEq)]
pub struct IndividualsChart {
    /// The mean of the differences between neighbours, without their signs.
    pub mean_moving_range: Torque,
    /// The limits.
    pub limits: ControlLimits,
    /// The places of the values beyond the limits, counted from 0.
    pub out: Vec<usize>,
}

/// Charts values in the order in which they were observed; none for fewer than two.
#[must_use]
pub fn individuals(values: &[Torque]) -> Option<IndividualsChart> {
    if values.len() < 2 {
        return None;
    }
    let numbers: Vec<f64> = values.iter().copied().map(in_newton_metres).collect();
    let mean = mean(&numbers);
    let ranges: Vec<f64> = numbers.iter().zip(numbers.iter().skip(1)).map(|(a, b)| (b - a).abs()).collect();
    let mean_range = self::mean(&ranges);
    let reach = SIGMAS * mean_range / D2;
    let limits = ControlLimits {
        lower: newton_metres(mean - reach),
        centre: newton_metres(mean),
        upper: newton_metres(mean + reach),
    };
    let out = values.iter().enumerate().filter(|(_, v)| !limits.contain(**v)).map(|(place, _)| place);
    Some(IndividualsChart { mean_moving_range: newton_metres(mean_range), out: out.collect(), limits })
}

#[expect(clippy::cast_precision_loss, reason = "a count of readings is far below 2^52")]
fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::newton_metres as nm;

    #[test]
    fn a_leap_is_out_and_too_little_gives_no_chart() {
        let mut values = [5.0, 5.1, 5.0, 5.1, 5.0, 5.1, 5.0, 5.1, 5.0, 5.1].map(nm).to_vec();
        assert!(individuals(&values).unwrap().out.is_empty());
        values.push(nm(7.0));
        assert_eq!(individuals(&values).unwrap().out, [10]);
        assert_eq!(individuals(&values[..1]), None);
    }
}
