//! The Sen slope: the median of the slopes of all pairs (R. O. Gilbert, Statistical Methods for
//! Environmental Pollution Monitoring (1987), pp. 217–218). One wild reading hardly moves it.

use super::{Observation, TorqueRate};
use crate::quantity::{in_newton_metres, newton_metres};

/// The median slope of all pairs at different times; none where there is no such pair.
///
/// ```
/// use evenclamp::quantity::{in_newton_metres, newton_metres as nm};
/// use evenclamp::trend::{Observation, sen_slope};
/// let days = [(0.0, 5.0), (1.0, 4.8), (2.0, 4.7), (3.0, 4.5), (4.0, 4.4)];
/// let losing = days.map(|(day, torque)| Observation::after_days(day, nm(torque)));
/// let slope = sen_slope(&losing).unwrap().in_a_day();
/// assert!((in_newton_metres(slope) + 0.15).abs() < 1e-12);
/// ```
#[must_use]
pub fn sen_slope(observations: &[Observation]) -> Option<TorqueRate> {
    let mut slopes = Vec::new();
    for (place, first) in observations.iter().enumerate() {
        for second in observations.iter().skip(place + 1) {
            let days = second.days() - first.days();
            if days != 0.0 {
                slopes.push(in_newton_metres(second.torque - first.torque) / days);
            }
        }
    }
    median(slopes).map(|slope| TorqueRate::per_day(newton_metres(slope)))
}

fn median(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    let middle = values.len() / 2;
    let upper = *values.get(middle)?;
    if values.len() % 2 == 1 {
        return Some(upper);
    }
    values.get(middle.checked_sub(1)?).map(|lower| f64::midpoint(*lower, upper))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::newton_metres as nm;

    #[test]
    fn one_wild_reading_hardly_moves_the_slope() {
        let series = |last| [5.0, 4.9, 4.8, 4.7, 4.6, last].into_iter().enumerate();
        let slope = |last| {
            let observations: Vec<Observation> = series(last)
                .map(|(day, t)| Observation::after_days(f64::from(u8::try_from(day).unwrap()), nm(t)))
                .collect();
            in_newton_metres(sen_slope(&observations).unwrap().in_a_day())
        };
        assert!((slope(4.5) + 0.1).abs() < 1e-12);
        assert!((slope(9.0) + 0.1).abs() < 1e-12);
    }

    #[test]
    fn readings_of_one_moment_have_no_slope() {
        let at_once = [Observation::after_days(1.0, nm(5.0)), Observation::after_days(1.0, nm(4.0))];
        assert_eq!(sen_slope(&at_once), None);
        assert_eq!(sen_slope(&[]), None);
    }
}
