//! Comparing and counting what came through unit conversions.
//!
//! A value typed in lbf·in and one typed in N·m differ in their last bits, so "at least", "more than" and
//! "whole steps" are taken with a relative tolerance far below anything a wrench can show.

use super::Torque;

/// Relative tolerance of every comparison.
pub(crate) const TOLERANCE: f64 = 1e-9;

/// Whether `a` is at least `b`, to within the tolerance of the larger of the two.
pub(crate) fn at_least(a: Torque, b: Torque) -> bool {
    a >= b - a.abs().max(b.abs()) * TOLERANCE
}

/// Whether `a` is beyond `b` by more than the tolerance: the opposite of "`b` is at least `a`".
pub(crate) fn more_than(a: Torque, b: Torque) -> bool {
    !at_least(b, a)
}

/// The whole number that `count` reaches, the last bits forgiven.
pub(crate) fn whole_below(count: f64) -> f64 {
    (count + tolerance_of(count)).floor()
}

/// The whole number that `count` needs, the last bits forgiven.
pub(crate) fn whole_above(count: f64) -> f64 {
    (count - tolerance_of(count)).ceil()
}

/// What a count of steps may be off by; for less than one step no less than for one.
pub(crate) fn tolerance_of(count: f64) -> f64 {
    TOLERANCE * count.abs().max(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::newton_metres;

    #[test]
    fn the_last_bits_do_not_count() {
        let a = newton_metres(0.1) + newton_metres(0.2);
        let b = newton_metres(0.3);
        assert!(at_least(a, b) && at_least(b, a));
        assert!(!more_than(a, b) && !more_than(b, a));
        assert!(more_than(newton_metres(0.300001), b));
        assert!(!more_than(newton_metres(0.3 * (1.0 + 0.9e-9)), b));
        assert!(more_than(newton_metres(0.3 * (1.0 + 1.1e-9)), b));
    }

    #[test]
    fn whole_steps_are_counted_as_a_person_counts_them() {
        for (count, below, above) in [
            (3.0, 3.0, 3.0),
            (0.3 / 0.1, 3.0, 3.0),
            (0.7 / 0.1, 7.0, 7.0),
            (2.5, 2.0, 3.0),
            (-0.5, -1.0, 0.0),
            (1e-10, 0.0, 0.0),
            (1e6 - 1e-4, 1e6, 1e6),
            (1e6 - 1e-2, 1e6 - 1.0, 1e6),
        ] {
            assert_eq!((whole_below(count), whole_above(count)), (below, above + 0.0), "{count}");
        }
    }
}
