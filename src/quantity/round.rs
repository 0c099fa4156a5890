//! The only rounding of torques, and the rule that says to which digit.
//!
//! A converted figure is rounded to the largest power of ten, in the new unit, that is not coarser
//! than the last digit it came with. This gives 11.0 m for 36 ft (NIST SP 811 (2008), B.7.2) and
//! 36–53 lbf·in for 4–6 N·m. Where that step is more than a twentieth of the figure, one digit more
//! is kept, so that rounding costs less than a wrench's accuracy. Limits are rounded inward (a
//! workshop manual's rule, see `tests/published/rounding.rs`), readings and set values to nearest.

use super::tolerance::{TOLERANCE, tolerance_of, whole_above, whole_below};
use super::{Torque, TorqueUnit};

/// Which way a figure is rounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rounding {
    /// A lower limit: never below the true value.
    Up,
    /// An upper limit: never above the true value.
    Down,
    /// A reading or set value; ties go to the even digit (SP 811, B.7.1).
    Nearest,
}

/// The step to which a figure is known, as a torque.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resolution(pub Torque);

/// A step of more than this part of a figure would cost more than a wrench's accuracy.
const COARSEST_STEP: f64 = 0.05;

impl Resolution {
    /// The step that leaves `digits` significant digits of `torque` in `unit`.
    pub(crate) fn significant(torque: Torque, unit: TorqueUnit, digits: i32) -> Resolution {
        let first = unit.value_of(torque).abs().log10().floor();
        Resolution(unit.of(10f64.powf(first - f64::from(digits - 1))))
    }

    /// `torque` in `unit`, rounded to this resolution, as text without the unit.
    #[must_use]
    pub fn text(self, torque: Torque, unit: TorqueUnit, rounding: Rounding) -> String {
        let value = unit.value_of(torque);
        text_with(value, self.exponent(unit, value), rounding)
    }

    /// The limits of a range in `unit`, rounded inward, with one digit more where whole steps would
    /// leave nothing between them. Limits that are one figure come out as one figure twice.
    #[must_use]
    pub fn range_text(self, low: Torque, high: Torque, unit: TorqueUnit) -> (String, String) {
        let (low, high) = (unit.value_of(low), unit.value_of(high));
        if high - low <= TOLERANCE * high.abs() {
            // One figure: no torque above it is allowed.
            let text = text_with(high, self.exponent(unit, high), Rounding::Down);
            return (text.clone(), text);
        }
        let mut exponent = self.exponent(unit, if low > 0.0 { low } else { high });
        for _ in 0..6 {
            let step = 10f64.powi(exponent);
            if to_step(low / step, Rounding::Up) < to_step(high / step, Rounding::Down) {
                break;
            }
            exponent -= 1;
        }
        (text_with(low, exponent, Rounding::Up), text_with(high, exponent, Rounding::Down))
    }

    /// The exponent of the largest power of ten in `unit` that is not above this resolution, nor, for
    /// a converted figure, above [`COARSEST_STEP`] of `value`.
    fn exponent(self, unit: TorqueUnit, value: f64) -> i32 {
        let step = unit.value_of(self.0);
        // A step that is a power of ten already is that of the unit the figure came in.
        let as_printed = (step.log10() - step.log10().round()).abs() < TOLERANCE;
        let step = if value > 0.0 && !as_printed { step.min(value * COARSEST_STEP) } else { step };
        let log = step.log10();
        if log.is_finite() {
            #[expect(clippy::cast_possible_truncation, reason = "clamped to a handful of digits")]
            let exponent = (log + TOLERANCE).floor().clamp(-12.0, 12.0) as i32;
            exponent
        } else {
            0
        }
    }
}

fn text_with(value: f64, exponent: i32, rounding: Rounding) -> String {
    let step = 10f64.powi(exponent);
    // Adding 0 turns a negative zero into zero.
    let rounded = to_step(value / step, rounding) * step + 0.0;
    let decimals = usize::try_from(-exponent).unwrap_or(0);
    format!("{rounded:.decimals$}")
}

fn to_step(value: f64, rounding: Rounding) -> f64 {
    match rounding {
        Rounding::Up => whole_above(value),
        Rounding::Down => whole_below(value),
        Rounding::Nearest => round_half_even(value),
    }
}

/// The nearest whole number; a tie, or what differs from one only in its last binary digits, goes to even.
#[must_use]
pub fn round_half_even(value: f64) -> f64 {
    let below = value.floor();
    let over_tie = value - below - 0.5;
    if over_tie.abs() <= tolerance_of(value) {
        if below % 2.0 == 0.0 { below } else { below + 1.0 }
    } else {
        value.round()
    }
}
