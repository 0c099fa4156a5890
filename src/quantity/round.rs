//! The only rounding of torques, and the rule that says to which digit.
//!
//! A converted figure is rounded to the largest power of ten, in the new unit, that is not coarser
//! than the last digit it came with. This gives 11.0 m for 36 ft (NIST SP 811 (2008), B.7.2) and
//! 36–53 lbf·in for 4–6 N·m. Limits are rounded inward (a workshop manual's rule, see
//! `tests/published/rounding.csv`), readings and set values to nearest.

use super::{Torque, TorqueUnit};

/// Relative slack that keeps the last bits of a product from pushing a value over a step.
const SLACK: f64 = 1e-9;

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

impl Resolution {
    /// The step that leaves `digits` significant digits of `torque` in `unit`.
    #[must_use]
    pub fn significant(torque: Torque, unit: TorqueUnit, digits: i32) -> Resolution {
        let first = unit.value_of(torque).abs().log10().floor();
        Resolution(unit.of(10f64.powf(first - f64::from(digits - 1))))
    }

    /// `torque` in `unit`, rounded to this resolution, as text without the unit.
    #[must_use]
    pub fn text(self, torque: Torque, unit: TorqueUnit, rounding: Rounding) -> String {
        let exponent = self.exponent(unit);
        let step = 10f64.powi(exponent);
        let rounded = to_step(unit.value_of(torque) / step, rounding) * step;
        let decimals = usize::try_from(-exponent).unwrap_or(0);
        format!("{rounded:.decimals$}")
    }

    /// The limits of a range in `unit`, rounded inward; one digit finer where whole steps would
    /// leave nothing between them.
    #[must_use]
    pub fn range_text(self, low: Torque, high: Torque, unit: TorqueUnit) -> (String, String) {
        let mut resolution = self;
        for _ in 0..4 {
            let step = 10f64.powi(resolution.exponent(unit));
            let up = to_step(unit.value_of(low) / step, Rounding::Up);
            let down = to_step(unit.value_of(high) / step, Rounding::Down);
            if up < down || low == high {
                break;
            }
            resolution = Resolution(resolution.0 / 10.0);
        }
        (resolution.text(low, unit, Rounding::Up), resolution.text(high, unit, Rounding::Down))
    }

    /// The exponent of the largest power of ten in `unit` that is not above this resolution.
    fn exponent(self, unit: TorqueUnit) -> i32 {
        let log = unit.value_of(self.0).log10();
        if log.is_finite() {
            #[expect(clippy::cast_possible_truncation, reason = "clamped to a handful of digits")]
            let exponent = (log + SLACK).floor().clamp(-12.0, 12.0) as i32;
            exponent
        } else {
            0
        }
    }
}

/// `value` rounded to a whole number of steps.
fn to_step(value: f64, rounding: Rounding) -> f64 {
    let slack = SLACK * value.abs().max(1.0);
    match rounding {
        Rounding::Up => (value - slack).ceil(),
        Rounding::Down => (value + slack).floor(),
        Rounding::Nearest => round_half_even(value),
    }
}

/// The nearest whole number; a tie goes to the even one, and so does what differs from a tie only
/// in the last bits of a decimal's binary form.
#[must_use]
pub fn round_half_even(value: f64) -> f64 {
    let below = value.floor();
    let over_tie = value - below - 0.5;
    if over_tie.abs() <= SLACK * value.abs().max(1.0) {
        if below % 2.0 == 0.0 { below } else { below + 1.0 }
    } else {
        value.round()
    }
}
