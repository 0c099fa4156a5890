//! Comparing torques that came through unit conversions.
//!
//! A value typed in lbf·in and one typed in N·m differ in their last bits, so "at least" and "more
//! than" are taken with a relative slack far below anything a wrench can show.

use crate::quantity::Torque;

/// Relative slack of every comparison.
pub(crate) const SLACK: f64 = 1e-9;

/// Whether `a` is at least `b`, to within the slack of the larger of the two.
pub(crate) fn at_least(a: Torque, b: Torque) -> bool {
    a >= b - a.abs().max(b.abs()) * SLACK
}

/// Whether `a` is beyond `b` by more than the slack: the opposite of "`b` is at least `a`".
pub(crate) fn more_than(a: Torque, b: Torque) -> bool {
    !at_least(b, a)
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
    }
}
