//! The straight line through observations by least squares, with the standard errors of its
//! parameters. Checked against the certified values of NIST StRD "Norris".

use super::{Observation, TorqueRate};
use crate::quantity::{Torque, in_newton_metres, newton_metres};

/// A fitted straight line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// The torque at time zero.
    pub intercept: Torque,
    /// The change per time.
    pub slope: TorqueRate,
    /// The standard error of the intercept.
    pub intercept_error: Torque,
    /// The standard error of the slope.
    pub slope_error: TorqueRate,
    /// The standard deviation of the observations about the line, with n − 2 degrees of freedom.
    pub residual: Torque,
}

/// Fits a line; none for fewer than three observations or when all are of one time.
#[must_use]
pub fn least_squares(observations: &[Observation]) -> Option<Line> {
    if observations.len() < 3 {
        return None;
    }
    #[expect(clippy::cast_precision_loss, reason = "a count of readings is far below 2^52")]
    let count = observations.len() as f64;
    let mean = |value: &dyn Fn(&Observation) -> f64| observations.iter().map(value).sum::<f64>() / count;
    let (mean_day, mean_torque) = (mean(&Observation::days), mean(&|o| in_newton_metres(o.torque)));
    // Deviations from the means keep the digits that raw sums of squares would lose.
    let deviations: Vec<(f64, f64)> = observations
        .iter()
        .map(|o| (o.days() - mean_day, in_newton_metres(o.torque) - mean_torque))
        .collect();
    let spread: f64 = deviations.iter().map(|(x, _)| x * x).sum();
    if spread <= 0.0 {
        return None;
    }
    let slope = deviations.iter().map(|(x, y)| x * y).sum::<f64>() / spread;
    let squares: f64 = deviations.iter().map(|(x, y)| (y - slope * x).powi(2)).sum();
    let residual = (squares / (count - 2.0)).sqrt();
    Some(Line {
        intercept: newton_metres(mean_torque - slope * mean_day),
        slope: TorqueRate::per_day(newton_metres(slope)),
        intercept_error: newton_metres(residual * (1.0 / count + mean_day * mean_day / spread).sqrt()),
        slope_error: TorqueRate::per_day(newton_metres(residual / spread.sqrt())),
        residual: newton_metres(residual),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::newton_metres as nm;
    use proptest::prelude::*;

    #[test]
    fn too_little_gives_no_line() {
        let point = |day| Observation::after_days(day, nm(5.0));
        assert_eq!(least_squares(&[point(0.0), point(1.0)]), None);
        assert_eq!(least_squares(&[point(1.0); 5]), None);
    }

    proptest! {
        #[test]
        fn points_on_a_line_give_the_line(start in 1.0..50.0f64, slope in -1.0..1.0f64, count in 3..20u8) {
            let points: Vec<Observation> = (0..count)
                .map(f64::from)
                .map(|day| Observation::after_days(day, nm(start + slope * day)))
                .collect();
            let line = least_squares(&points).unwrap();
            prop_assert!((in_newton_metres(line.intercept) - start).abs() < 1e-10);
            prop_assert!((in_newton_metres(line.slope.in_a_day()) - slope).abs() < 1e-10);
            prop_assert!(in_newton_metres(line.residual) < 1e-10);
        }
    }
}
