//! Whether a torque can be what it is said to be, by what is specified for it. The factors are this project's own
//! choice: wide enough that no bad tightening is refused, narrow enough that a number in the wrong unit is.

use super::{Label, Limits, slip};
use crate::quantity::tolerance::more_than;
use crate::quantity::{Reading, Spec, Torque, in_newton_metres};

/// Beyond this many times the upper limit no torque was ever read.
const FAR_ABOVE: f64 = 3.0;
/// What a slip of unit would explain is suspect beyond this many times the upper limit,
const SLIP_ABOVE: f64 = 1.5;
/// and below this many times the lower one.
const SLIP_BELOW: f64 = 0.5;
/// A figure beyond this many times the upper end of a band is asked about.
const FAR_FROM_BAND: f64 = 1.25;

/// What speaks against a reading by its limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspicion {
    /// Whether it is too far off to be taken without asking.
    pub implausible: bool,
    /// Slips of unit that would explain it.
    pub slips: Vec<slip::Slip>,
}

/// What speaks against a reading of a bolt that was tightened or checked.
///
/// ```
/// use evenclamp::conformity::{Limits, suspicion};
/// use evenclamp::quantity::{Spec, parse_reading};
/// let limits = Limits::new(Spec::range_nm(4.0, 6.0));
/// assert!(suspicion(&limits, parse_reading("44 N·m").unwrap()).implausible);
/// assert!(!suspicion(&limits, parse_reading("7 N·m").unwrap()).implausible);
/// ```
#[must_use]
pub fn suspicion(limits: &Limits, reading: Reading) -> Suspicion {
    let slips = slip::suspect(limits, reading, Label::High);
    let above = |times: f64| limits.high().is_some_and(|high| reading.torque > high * times);
    let below = |times: f64| limits.low().is_some_and(|low| reading.torque < low * times);
    let explained = !slips.is_empty() && (above(SLIP_ABOVE) || below(SLIP_BELOW));
    Suspicion { implausible: above(FAR_ABOVE) || explained, slips }
}

/// Whether a figure that someone states lies far above a band that is known.
pub fn is_far_above(figure: Spec, band: Spec) -> bool {
    band.limits().1.is_some_and(|high| figure.largest() > high * FAR_FROM_BAND)
}

/// Whether a wrench that shows so little shows nothing: zero, or less than its smallest division, where that is known
/// (`specs/rules.md`, "Labels").
pub(crate) fn is_no_reading(on_scale: Torque, division: Option<Torque>) -> bool {
    in_newton_metres(on_scale) <= 0.0 || division.is_some_and(|division| more_than(division, on_scale))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{newton_metres as nm, parse_reading};

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

    /// Three times 6 N·m is 18 N·m; what no slip explains is taken up to there.
    #[test]
    fn what_is_too_far_off_is_asked_about() {
        let limits = Limits::new(Spec::range_nm(4.0, 6.0));
        let implausible = |text: &str| suspicion(&limits, parse_reading(text).unwrap()).implausible;
        for (reading, asked) in [("5 N·m", false), ("8.9 N·m", false), ("3 N·m", false), ("18.1 N·m", true)]
        {
            assert_eq!(implausible(reading), asked, "{reading}");
        }
    }

    #[test]
    fn a_slip_makes_suspect_what_is_half_as_much_again_too_high_or_half_too_low() {
        let wide = Limits::new(Spec::range_nm(0.001, 50.0));
        let found = suspicion(&wide, parse_reading("76 N·m").unwrap());
        assert!(found.implausible && !found.slips.is_empty(), "{found:?}");
        assert!(!suspicion(&wide, parse_reading("74 N·m").unwrap()).implausible);
        let high = Limits::new(Spec::range_nm(5.0, 50.0));
        assert!(suspicion(&high, parse_reading("2.4 lbf·in").unwrap()).implausible);
        let found = suspicion(&high, parse_reading("2.6 N·m").unwrap());
        assert!(!found.implausible, "{found:?}");
    }

    #[test]
    fn without_an_upper_limit_nothing_is_too_high() {
        let floor = Limits::new(Spec::Floor(nm(12.0)));
        assert!(!suspicion(&floor, parse_reading("1000 N·m").unwrap()).implausible);
    }

    #[test]
    fn a_figure_a_quarter_above_the_band_is_asked_about() {
        let band = Spec::range_nm(4.0, 6.0);
        assert!(!is_far_above(Spec::Set(nm(7.5)), band));
        assert!(is_far_above(Spec::Set(nm(7.51)), band));
        assert!(is_far_above(Spec::range_nm(5.0, 8.0), band));
        assert!(!is_far_above(Spec::Set(nm(100.0)), Spec::Floor(nm(4.0))));
    }
}
