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

macro_rules! units {
    ($($Quantity:ident in $unit:ident, $name:literal: $given:ident, $number:ident;)+) => {$(
        #[doc = concat!("What is given in ", $name, ".")]
        pub fn $given(value: f64) -> $Quantity {
            $Quantity::new::<$unit>(value)
        }

        #[doc = concat!("The number of ", $name, ", unrounded.")]
        pub fn $number(quantity: $Quantity) -> f64 {
            quantity.get::<$unit>()
        }
    )+};
}

units! {
    Length in millimeter, "mm": millimetres, in_millimetres;
    Force in newton, "N": newtons, in_newtons;
    Pressure in megapascal, "MPa, which is N/mm²": megapascals, in_megapascals;
    Ratio in ratio, "plain numbers, of which 0.9 is 90 %": ratio_of, in_ratio;
}

/// The number of mm² in an area, unrounded.
#[must_use]
pub fn in_square_millimetres(area: Area) -> f64 {
    area.get::<square_millimeter>()
}

pub(super) fn moment(force: Force, arm: Length) -> Torque {
    newton_metres(in_newtons(force) * arm.get::<meter>())
}

pub(super) fn force_at(torque: Torque, arm: Length) -> Force {
    newtons(in_newton_metres(torque) / arm.get::<meter>())
}
