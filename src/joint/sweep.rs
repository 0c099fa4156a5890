//! Clamp load against torque for a band of friction, as data for a table or a plot.

use super::bolt::{Bolt, applied};
use super::friction::{FrictionBand, FrictionCoefficient};
use super::units::{Force, Ratio, Span};
use super::{JointError, Torque};

/// The points of 90 % of yield over the friction band, from low to high friction: torque, in N·m, and
/// clamp load, in N. Between them lies the curve that a bolt must not pass.
pub fn limit_curve(bolt: &Bolt, friction: FrictionBand) -> Vec<(Torque, Force)> {
    let (low, high) = (friction.low().get(), friction.high().get());
    let at =
        |step: u32| FrictionCoefficient::new(low + (high - low) * f64::from(step) / f64::from(CURVE_STEPS));
    let point = |mu| {
        let torque = bolt.torque_limit(mu);
        (torque, bolt.clamp_load(torque, mu))
    };
    (0..=CURVE_STEPS).filter_map(|step| at(step).ok()).map(point).collect()
}

/// Intervals of the limit curve; it is nearly straight.
const CURVE_STEPS: u32 = 16;

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SweepPoint {
    /// The torque, in N·m.
    pub torque: Torque,
    /// Clamp load, in N.
    pub clamp_load: Span<Force>,
    pub(crate) utilisation: Span<Ratio>,
}

/// Even steps of torque from one step up to `up_to`.
///
/// # Errors
/// [`JointError::NotPositive`] for a torque that is not above 0 and finite;
/// [`JointError::SweepPoints`] outside 2 to 1000 points.
pub fn sweep(
    bolt: &Bolt,
    friction: FrictionBand,
    up_to: Torque,
    points: usize,
) -> Result<Vec<SweepPoint>, JointError> {
    applied(up_to)?;
    let count = u32::try_from(points).ok().filter(|count| (2..=1000).contains(count));
    let count = count.ok_or(JointError::SweepPoints(points))?;
    let point = |step: u32| {
        let torque = up_to * (f64::from(step) / f64::from(count));
        SweepPoint {
            torque,
            clamp_load: bolt.clamp_loads(torque, friction),
            utilisation: bolt.utilisations(torque, friction),
        }
    };
    Ok((1..=count).map(point).collect())
}
