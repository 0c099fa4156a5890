//! The mechanical quantities of a bolted joint and their one unit each: mm, mm², N, MPa.
//!
//! Torque comes from [`crate::quantity`]. `uom` keeps torque and energy apart, so the two products
//! that cross between force, arm and torque stand here.

pub use uom::si::f64::{Area, Force, Length, Pressure, Ratio};

use uom::si::area::square_millimeter;
use uom::si::force::newton;
use uom::si::length::{meter, millimeter};
use uom::si::pressure::megapascal;
use uom::si::ratio::ratio;

use crate::quantity::{Torque, in_newton_metres, newton_metres};

/// √3, which the 60° thread and the distortion-energy rule share.
pub(super) const SQRT_3: f64 = 1.732_050_807_568_877_2;

/// The two ends of a quantity over a band of friction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span<T> {
    /// The smaller end.
    pub low: T,
    /// The larger end.
    pub high: T,
}

/// A length given in mm.
#[must_use]
pub fn millimetres(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

/// The number of mm in a length, unrounded.
#[must_use]
pub fn in_millimetres(length: Length) -> f64 {
    length.get::<millimeter>()
}

/// The number of mm² in an area, unrounded.
#[must_use]
pub fn in_square_millimetres(area: Area) -> f64 {
    area.get::<square_millimeter>()
}

/// A force given in N.
#[must_use]
pub fn newtons(value: f64) -> Force {
    Force::new::<newton>(value)
}

/// The number of N in a force, unrounded.
#[must_use]
pub fn in_newtons(force: Force) -> f64 {
    force.get::<newton>()
}

/// A stress or strength given in MPa, which is N/mm².
#[must_use]
pub fn megapascals(value: f64) -> Pressure {
    Pressure::new::<megapascal>(value)
}

/// The number of MPa in a stress, unrounded.
#[must_use]
pub fn in_megapascals(stress: Pressure) -> f64 {
    stress.get::<megapascal>()
}

/// A ratio given as a plain number: 0.9 is 90 %.
#[must_use]
pub fn ratio_of(value: f64) -> Ratio {
    Ratio::new::<ratio>(value)
}

/// The plain number of a ratio.
#[must_use]
pub fn in_ratio(value: Ratio) -> f64 {
    value.get::<ratio>()
}

#[must_use]
pub(super) fn moment(force: Force, arm: Length) -> Torque {
    newton_metres(in_newtons(force) * arm.get::<meter>())
}

#[must_use]
pub(super) fn force_at(torque: Torque, arm: Length) -> Force {
    newtons(in_newton_metres(torque) / arm.get::<meter>())
}
