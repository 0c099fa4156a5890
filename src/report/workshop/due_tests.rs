//! One interval over several joints: the soonest says when the next is, the ones that are due are named. What is due
//! is decided elsewhere; here is only what is said of it.

use super::*;
use crate::book::{ServiceInterval, Trigger};
use crate::workshop::DueWhy;

fn interval() -> ServiceInterval {
    let (interval, name) = ("play".into(), "Play".into());
    ServiceInterval { interval, name, ..ServiceInterval::to_test(Trigger::Every) }
}

fn left(interval: &ServiceInterval, days: f64, hours: Option<f64>) -> Due<'_> {
    Due { interval, why: None, days_left: Some(days), hours_left: hours, km_left: None, hires_left: None }
}

fn passed(interval: &ServiceInterval, days: f64) -> Due<'_> {
    Due { why: Some(DueWhy::Days { passed: days, allowed: 30.0 }), ..left(interval, 30.0 - days, None) }
}

#[test]
fn the_soonest_joint_says_when_the_next_is() {
    let interval = interval();
    let mut line = DueLine::new(&left(&interval, 20.0, None), None);
    line.take(&left(&interval, 20.0, None), "stem", None);
    line.take(&left(&interval, 12.0, Some(7.0)), "seat", None);
    line.take(&left(&interval, 15.0, Some(9.0)), "bar", None);
    assert_eq!((line.days_left, line.hours_left, line.km_left), (Some(12.0), Some(7.0), None));
    assert_eq!(line.next(), "in 7 h of riding or 12 days");
    assert!(!line.due && line.joints.is_empty() && line.reason.is_empty());
}

#[test]
fn joints_that_are_due_are_named_with_the_reason_of_the_first() {
    let interval = interval();
    let mut line = DueLine::new(&left(&interval, 20.0, None), None);
    line.take(&left(&interval, 20.0, None), "stem", None);
    line.take(&passed(&interval, 40.0), "seat", None);
    line.take(&passed(&interval, 50.0), "bar", None);
    assert_eq!((line.due, line.joints.join(" ")), (true, "seat bar".to_owned()));
    assert_eq!(line.reason, "40 days, 30 are allowed");
    assert_eq!(line.joints_text(), " (seat, bar)");
}

#[test]
fn more_than_six_joints_are_counted() {
    let interval = interval();
    let mut line = DueLine::new(&passed(&interval, 40.0), None);
    for joint in ["a", "b", "c", "d", "e", "f"] {
        line.take(&passed(&interval, 40.0), joint, None);
    }
    assert_eq!(line.joints_text(), " (a, b, c, d, e, f)");
    line.take(&passed(&interval, 40.0), "g", None);
    assert_eq!(line.joints_text(), " (7 joints)");
}

#[test]
fn what_is_past_is_not_told_as_less_than_nothing() {
    let interval = interval();
    let line = DueLine::new(&left(&interval, -3.0, Some(-0.7)), None);
    assert_eq!(line.next(), "in 0 h of riding or 0 days");
}

#[test]
fn an_interval_without_an_end_says_nothing_until_it_is_due() {
    let interval = interval();
    let event = Due { days_left: None, ..left(&interval, 0.0, None) };
    let line = DueLine::new(&event, None);
    assert!(!line.says_something() && line.next().is_empty() && line.joints_text().is_empty());
    assert!(DueLine::new(&Due { km_left: Some(1.0), ..event }, None).says_something());
}

#[test]
fn a_fleet_has_one_header() {
    let interval = interval();
    let report = |bike: &str| DueReport {
        bike: bike.into(),
        lines: vec![DueLine::new(&left(&interval, 12.34, None), None)],
        never_checked: vec![],
        unreadable: vec![],
        wearing: vec![],
    };
    let rows = vec![report("a"), report("b")].rows();
    assert_eq!(rows.iter().map(|row| row[0].as_str()).collect::<Vec<_>>(), ["bike", "a", "b"]);
    assert_eq!((rows[0][6].as_str(), rows[1][6].as_str()), ("days_left", "12.3"));
    assert!(Vec::<DueReport>::new().rows().is_empty());
}
