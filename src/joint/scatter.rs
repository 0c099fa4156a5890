//! Scatter of preload: half width, tightening factor and the spread of a sample (VDI 2230 Part 1,
//! tightening factor α_A = F_max/F_min). Forces in N.

use super::JointError;
use super::units::{Force, Ratio, in_newtons, in_ratio, newtons, ratio_of};

/// The tightening factor α_A = (1 + s)/(1 − s) of a scatter of ±s about the mean.
///
/// ```
/// use evenclamp::joint::{in_ratio, ratio_of, tightening_factor};
/// assert_eq!(in_ratio(tightening_factor(ratio_of(0.25)).unwrap()), 1.25 / 0.75);
/// ```
/// # Errors
/// [`JointError::Share`] when s is not above 0 and below 1.
pub fn tightening_factor(half_width: Ratio) -> Result<Ratio, JointError> {
    let s = in_ratio(half_width);
    if s > 0.0 && s < 1.0 { Ok(ratio_of((1.0 + s) / (1.0 - s))) } else { Err(JointError::Share(s)) }
}

/// The least preload, in N, when the most is `highest`: F_min = F_max/α_A.
#[must_use]
pub fn lowest_preload(highest: Force, tightening_factor: Ratio) -> Force {
    highest / tightening_factor
}

/// Mean and sample standard deviation (divisor n − 1) of measured preloads, in N; `None` for fewer
/// than two.
#[must_use]
pub fn mean_and_deviation(preloads: &[Force]) -> Option<(Force, Force)> {
    let count = f64::from(u32::try_from(preloads.len()).ok().filter(|&n| n >= 2)?);
    let values = || preloads.iter().map(|&force| in_newtons(force));
    let mean = values().sum::<f64>() / count;
    let squares: f64 = values().map(|value| (value - mean).powi(2)).sum();
    Some((newtons(mean), newtons((squares / (count - 1.0)).sqrt())))
}
