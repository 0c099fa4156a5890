//! Torques that are no reading.

use crate::quantity::tolerance::more_than;
use crate::quantity::{Torque, in_newton_metres};

/// Whether a wrench that shows so little shows nothing: zero, or less than its smallest division, where that is known
/// (`specs/rules.md`, "Labels").
pub(crate) fn is_no_reading(on_scale: Torque, division: Option<Torque>) -> bool {
    in_newton_metres(on_scale) <= 0.0 || division.is_some_and(|division| more_than(division, on_scale))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::newton_metres as nm;

    #[test]
    fn nothing_and_less_than_a_division_are_no_reading() {
        for (torque, division, expected) in [
            (0.0, None, true),
            (0.1, None, false),
            (0.1, Some(0.2), true),
            (0.2, Some(0.2), false),
            // A mark may be off by its last binary digit.
            (0.1 + 0.2, Some(0.3), false),
            (0.3, Some(0.1 + 0.2), false),
        ] {
            assert_eq!(is_no_reading(nm(torque), division.map(nm)), expected, "{torque} {division:?}");
        }
    }
}
