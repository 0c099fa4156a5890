//! The four forms in which a torque is specified. They are different things and stay different.

use super::tolerance::more_than;
use super::{Torque, newton_metres};

/// A specified torque: a range, a set value, a ceiling or a floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spec {
    /// From `low` to `high`, both allowed.
    Range {
        /// The lowest torque allowed.
        low: Torque,
        /// The highest torque allowed.
        high: Torque,
    },
    /// One number: an instruction to a conforming wrench.
    Set(Torque),
    /// A ceiling (`max`): never a target.
    Ceiling(Torque),
    /// A floor (`min`).
    Floor(Torque),
}

/// Largest torque of a tool, in N·m, for which ISO 6789-1 allows 6 % instead of 4 %.
const SMALL_TOOL_NM: f64 = 10.0;

/// Share of the value that ISO 6789-1 allows a conforming wrench to deviate: 6 % for tools up to
/// 10 N·m, 4 % above (type II class A; limits as quoted by a tool maker's manual, see
/// `tests/published`).
#[must_use]
pub fn permitted_deviation(largest: Torque) -> f64 {
    if more_than(largest, newton_metres(SMALL_TOOL_NM)) { 0.04 } else { 0.06 }
}

impl Spec {
    /// The lowest and highest torque that the form allows, where it says so.
    ///
    /// A set value `v` stands for `v ± p·v` with `p` from [`permitted_deviation`]: who prints one
    /// number allows a wrench that good (`specs/rules.md`, "What a set value allows").
    #[must_use]
    pub fn limits(self) -> (Option<Torque>, Option<Torque>) {
        match self {
            Spec::Range { low, high } => (Some(low), Some(high)),
            Spec::Set(value) => {
                let deviation = value * permitted_deviation(value);
                (Some(value - deviation), Some(value + deviation))
            }
            Spec::Ceiling(max) => (None, Some(max)),
            Spec::Floor(min) => (Some(min), None),
        }
    }

    /// The largest torque that the form names.
    #[must_use]
    pub fn largest(self) -> Torque {
        match self {
            Spec::Range { high, .. } => high,
            Spec::Set(value) | Spec::Ceiling(value) | Spec::Floor(value) => value,
        }
    }

    /// One word for the form: `range`, `set`, `max` or `min`.
    #[must_use]
    pub fn form(self) -> &'static str {
        match self {
            Spec::Range { .. } => "range",
            Spec::Set(_) => "set",
            Spec::Ceiling(_) => "max",
            Spec::Floor(_) => "min",
        }
    }

    /// A range between two torques in N·m.
    #[must_use]
    pub fn range_nm(low: f64, high: f64) -> Spec {
        Spec::Range { low: newton_metres(low), high: newton_metres(high) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::in_newton_metres;
    use approx::assert_relative_eq;

    #[test]
    fn a_set_value_stands_for_what_a_conforming_wrench_may_do() {
        for (value, low, high) in [(5.0, 4.7, 5.3), (10.0, 9.4, 10.6), (12.0, 11.52, 12.48)] {
            let (Some(l), Some(h)) = Spec::Set(newton_metres(value)).limits() else { panic!("no limits") };
            assert_relative_eq!(in_newton_metres(l), low, max_relative = 1e-12);
            assert_relative_eq!(in_newton_metres(h), high, max_relative = 1e-12);
        }
    }

    #[test]
    fn a_ceiling_has_no_low_limit_and_a_floor_no_high_one() {
        assert_eq!(Spec::Ceiling(newton_metres(5.0)).limits(), (None, Some(newton_metres(5.0))));
        assert_eq!(Spec::Floor(newton_metres(12.0)).limits(), (Some(newton_metres(12.0)), None));
    }
}
