//! Whether a joint is losing torque (design §7): a falling trend over at least four re-checks, exact
//! one-sided Mann–Kendall chance at most 5 %, and a drop that the wrench can tell.

use super::{MannKendall, Observation, TorqueRate, mann_kendall, sen_slope};
use crate::quantity::Torque;

/// Fewer re-checks cannot reach the level (their best chance is 1/6).
const LEAST_RE_CHECKS: usize = 4;
/// The chance, without a trend, at which a fall is believed.
const LEVEL: f64 = 0.05;

/// A loss that is believed.
#[derive(Debug, Clone, PartialEq)]
pub struct Losing {
    /// The test for a falling trend.
    pub test: MannKendall,
    /// The usual loss per time (Sen slope), negative.
    pub rate: TorqueRate,
    /// What was lost from the first to the last re-check at that rate.
    pub drop: Torque,
}

/// The loss shown by re-checks in the order of their times, if one is to be believed; `expanded` is the
/// expanded uncertainty U of a re-check. Re-checks must be of one kind: a loosening torque and a torque
/// to start again do not make a series.
///
/// ```
/// use evenclamp::quantity::newton_metres as nm;
/// use evenclamp::trend::{Observation, losing};
/// let re_checks = [(0.0, 5.0), (7.0, 4.8), (21.0, 4.6), (60.0, 4.1)]
///     .map(|(day, torque)| Observation::after_days(day, nm(torque)));
/// assert!(losing(&re_checks, nm(0.35)).is_some());
/// assert!(losing(&re_checks[..3], nm(0.35)).is_none());
/// ```
#[must_use]
pub fn losing(re_checks: &[Observation], expanded: Torque) -> Option<Losing> {
    if re_checks.len() < LEAST_RE_CHECKS {
        return None;
    }
    let torques: Vec<Torque> = re_checks.iter().map(|re_check| re_check.torque).collect();
    let test = mann_kendall(&torques)?;
    let rate = sen_slope(re_checks)?;
    let days = re_checks.last()?.days() - re_checks.first()?.days();
    let drop = rate.in_a_day() * -days;
    (test.falling.value() <= LEVEL && drop > expanded).then_some(Losing { test, rate, drop })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{in_newton_metres, newton_metres as nm};

    fn series(points: &[(f64, f64)]) -> Vec<Observation> {
        points.iter().map(|&(day, torque)| Observation::after_days(day, nm(torque))).collect()
    }

    #[test]
    fn a_loss_needs_a_trend_and_a_drop_that_the_wrench_can_tell() {
        let falling = series(&[(0.0, 5.0), (10.0, 4.8), (20.0, 4.6), (30.0, 4.4)]);
        let loss = losing(&falling, nm(0.35)).unwrap();
        assert!((in_newton_metres(loss.drop) - 0.6).abs() < 1e-12);
        assert_eq!(losing(&falling, nm(0.7)), None);
        // One re-check out of order, and a tie: 4 readings no longer prove a trend.
        assert_eq!(losing(&series(&[(0.0, 5.0), (10.0, 4.4), (20.0, 4.6), (30.0, 4.0)]), nm(0.1)), None);
        assert_eq!(losing(&series(&[(0.0, 5.0), (10.0, 4.6), (20.0, 4.6), (30.0, 4.0)]), nm(0.1)), None);
    }

    #[test]
    fn a_rise_and_a_single_moment_are_no_loss() {
        assert_eq!(losing(&series(&[(0.0, 4.0), (1.0, 4.5), (2.0, 5.0), (3.0, 5.5)]), nm(0.1)), None);
        assert_eq!(losing(&series(&[(1.0, 5.0), (1.0, 4.5), (1.0, 4.0), (1.0, 3.5)]), nm(0.1)), None);
    }
}
