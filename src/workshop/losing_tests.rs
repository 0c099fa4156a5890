//! When re-checks show that a bolt loses torque, and when they do not.

use super::*;
use crate::conformity::{Accuracy, Deviation};
use crate::quantity::newton_metres as nm;
use crate::workshop::Action;
use crate::workshop::joint::tests::line;

/// A wrench good to 6 %: U of 4.2 N·m is 0.29 N·m.
fn wrench() -> Instrument {
    Instrument::of_accuracy(Accuracy::given(Deviation::SIX_PERCENT))
}

/// Re-checks of one method, the oldest first.
fn series(method: Kind, values: &[f64]) -> Vec<Reading> {
    values.iter().map(|value| line(1, method, &format!("{value:.3} N·m"))).collect()
}

fn found(oldest_first: &[Reading]) -> Option<Losing> {
    let newest_first: Vec<&Reading> = oldest_first.iter().rev().collect();
    losing(&newest_first, &wrench())
}

/// Of the 720 orders of six values 20 fall in 13 pairs or more and 49 in 12 or more: the coefficients of
/// (1+q)(1+q+q²)…(1+q+…+q⁵), R. Stanley, Enumerative Combinatorics 1, 1.3. So 2.8 % is a trend and 6.8 % none.
#[test]
fn a_fall_that_luck_gives_in_more_than_five_of_a_hundred_series_is_none() {
    let trend = found(&series(Kind::BackToMark, &[4.9, 5.0, 4.5, 4.6, 4.2, 4.1])).unwrap();
    assert!((trend.chance.value() - 20.0 / 720.0).abs() < 1e-12, "{trend:?}");
    assert_eq!((trend.count, trend.first, trend.last), (6, nm(4.9), nm(4.1)));
    assert_eq!(found(&series(Kind::BackToMark, &[4.9, 5.0, 4.5, 4.6, 4.1, 4.2])), None, "6.8 %");
}

#[test]
fn each_method_of_re_check_can_show_it_and_no_other_reading_can() {
    let falling = [5.0, 4.8, 4.5, 4.2];
    for method in Kind::ALL.into_iter().filter(|kind| kind.has_torque()) {
        let shows = [Kind::BackToMark, Kind::Moved, Kind::Loosening].contains(&method);
        let method_found = found(&series(method, &falling)).map(|trend| trend.method);
        assert_eq!(method_found, shows.then_some(method), "{}", method.text());
    }
    let mut mixed = series(Kind::BackToMark, &falling);
    mixed[1].kind = Kind::Moved;
    assert_eq!(found(&mixed), None, "values of two methods are no series");
}

/// The fall is held against U of the last value: 0.29 N·m at 4.2 N·m, where U of the first is 0.31 N·m.
#[test]
fn a_fall_must_be_more_than_the_uncertainty_of_the_last_value() {
    let expanded = crate::quantity::in_newton_metres(wrench().expanded(nm(4.2)));
    let from = |drop: f64| series(Kind::BackToMark, &[4.2 + drop, 4.23, 4.22, 4.2]);
    assert_eq!(found(&from(expanded * 0.99)), None);
    assert!(found(&from(expanded * 1.01)).is_some());
}

#[test]
fn the_newest_fifty_count_and_nothing_from_before_a_new_part() {
    let values: Vec<f64> = (0..60).map(|check| f64::from(100 - check) / 10.0).collect();
    let trend = found(&series(Kind::BackToMark, &values)).unwrap();
    assert_eq!((trend.count, trend.first, trend.last), (50, nm(values[10]), nm(values[59])));
    for action in [Action::Replaced, Action::ReLocked] {
        let mut lines = series(Kind::BackToMark, &[5.0, 4.8, 4.5, 4.2]);
        lines[1].action = Some(action);
        assert_eq!(found(&lines), None, "{action:?}");
    }
    let mut lines = series(Kind::BackToMark, &[5.0, 4.8, 4.5, 4.2]);
    lines[1].action = Some(Action::ReTightened);
    assert!(found(&lines).is_some(), "tightened again is no new part");
}
