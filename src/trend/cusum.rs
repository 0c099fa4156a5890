//! Cumulative sums (NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3): finds a small lasting
//! shift away from a target by adding up what exceeds it.

use crate::quantity::Torque;

/// The sums after one value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CusumPoint {
    /// What has added up above the target.
    pub upper: Torque,
    /// What has added up below the target.
    pub lower: Torque,
}

/// The sums and the first signal.
#[derive(Debug, Clone, PartialEq)]
pub struct Cusum {
    /// The sums after each value.
    pub points: Vec<CusumPoint>,
    /// The place, counted from 0, of the first value at which a sum exceeds the decision limit.
    pub first_signal: Option<usize>,
}

/// Adds up deviations from `target` beyond the `allowance` k; signals beyond the `decision` limit h.
#[must_use]
pub fn cusum(values: &[Torque], target: Torque, allowance: Torque, decision: Torque) -> Cusum {
    let zero = Torque::default();
    let mut point = CusumPoint { upper: zero, lower: zero };
    let points: Vec<CusumPoint> = values
        .iter()
        .map(|value| {
            point = CusumPoint {
                upper: (point.upper + *value - target - allowance).max(zero),
                lower: (point.lower + target - allowance - *value).max(zero),
            };
            point
        })
        .collect();
    let first_signal = points.iter().position(|point| point.upper > decision || point.lower > decision);
    Cusum { points, first_signal }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::newton_metres as nm;

    #[test]
    fn a_lasting_shift_signals_and_single_values_within_the_allowance_do_not() {
        let steady = [5.0, 5.05, 4.95, 5.0].map(nm);
        assert_eq!(cusum(&steady, nm(5.0), nm(0.1), nm(0.4)).first_signal, None);
        let falling = [4.8, 4.8, 4.8, 4.8, 4.8].map(nm);
        assert_eq!(cusum(&falling, nm(5.0), nm(0.1), nm(0.35)).first_signal, Some(3));
    }
}
