//! A torque at a time, and a change of torque per time.

use uom::si::f64::Time;
use uom::si::time::day;

use crate::quantity::Torque;

/// A torque observed at a time; times count from any common zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observation {
    /// When.
    pub at: Time,
    /// What.
    pub torque: Torque,
}

impl Observation {
    /// A torque so many days after the common zero.
    #[must_use]
    pub fn after_days(days: f64, torque: Torque) -> Observation {
        Observation { at: Time::new::<day>(days), torque }
    }

    /// The time in days.
    pub(super) fn days(&self) -> f64 {
        self.at.get::<day>()
    }
}

/// A change of torque per time. (The quotient of the two units is a power, which it is not.)
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct TorqueRate {
    per_day: Torque,
}

impl TorqueRate {
    /// A change of so much in a day.
    #[must_use]
    pub fn per_day(change: Torque) -> TorqueRate {
        TorqueRate { per_day: change }
    }

    /// The change in a day.
    #[must_use]
    pub fn in_a_day(self) -> Torque {
        self.per_day
    }
}
