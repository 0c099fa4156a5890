use super::*;
use crate::quantity::{Spec, newton_metres as nm};
use crate::wrench::{Calibration, CalibrationResult, Line, Operation, WrenchKind, WrenchParts};
use jiff::civil::{Date, date};

const TODAY: Date = date(2026, 6, 1);

fn wrench(name: &str, low: f64, high: f64, step: f64, calibrated: Option<Date>) -> Wrench {
    let result = CalibrationResult::Passed;
    let calibrations = calibrated.map(|on| Calibration { on, result }).into_iter().collect();
    let parts = WrenchParts::new(name, WrenchKind::Click, nm(low), nm(high));
    Wrench::new(WrenchParts { step: Some(nm(step)), calibrations, ..parts }, TODAY).unwrap()
}

fn names(wrenches: &[Wrench], spec: Spec) -> Vec<(String, bool)> {
    let limits = Limits::new(spec);
    rank(wrenches, &limits, &Use::on(TODAY))
        .into_iter()
        .map(|candidate| (candidate.wrench.name().to_owned(), candidate.serves()))
        .collect()
}

fn told(expected: &[(&str, bool)]) -> Vec<(String, bool)> {
    expected.iter().map(|&(name, serves)| (name.to_owned(), serves)).collect()
}

#[test]
fn the_wrench_that_serves_comes_first_and_the_rest_say_why_not() {
    let fresh = Some(date(2026, 1, 10));
    let wrenches = [
        wrench("large", 40.0, 200.0, 1.0, fresh),
        wrench("overdue", 2.0, 10.0, 0.1, Some(date(2024, 1, 10))),
        wrench("small", 2.0, 10.0, 0.1, fresh),
        wrench("middle", 5.0, 25.0, 0.5, fresh),
    ];
    let ranked = names(&wrenches, Spec::range_nm(4.0, 6.0));
    assert_eq!(ranked, told(&[("small", true), ("middle", true), ("overdue", false), ("large", false)]));
    let ranked = names(&wrenches, Spec::range_nm(35.0, 50.0));
    assert_eq!(ranked[0], ("large".to_owned(), true));
    assert!(names(&wrenches, Spec::range_nm(0.2, 0.4)).iter().all(|(_, serves)| !serves));
}

#[test]
fn cycles_spent_and_a_left_hand_thread_count_against_a_wrench() {
    let small = wrench("small", 2.0, 10.0, 0.1, Some(date(2026, 1, 10)));
    let limits = Limits::new(Spec::range_nm(4.0, 6.0));
    let serves = |wrench: &Wrench, usage: &Use<'_>| rank([wrench], &limits, usage)[0].serves();
    assert!(serves(&small, &Use::on(TODAY)));
    assert!(!serves(&small, &Use { left_hand_thread: true, ..Use::on(TODAY) }));
    let one_too_many =
        Operation { on: TODAY, line: Line { instant: jiff::Timestamp::UNIX_EPOCH, number: 1 } };
    let worn = small.clone().counted(|_, _| Ok::<_, ()>(Some(one_too_many))).unwrap();
    assert!(!serves(&worn, &Use::on(TODAY)));
    assert!(serves(&worn, &Use::on(TODAY.yesterday().unwrap())));
    assert_eq!(rank([&worn, &small], &limits, &Use::on(TODAY))[0].wrench, &small);
}

#[test]
fn the_place_on_the_scale_is_a_share_of_the_capacity() {
    let small = wrench("small", 2.0, 10.0, 0.5, Some(date(2026, 1, 10)));
    let limits = Limits::new(Spec::range_nm(4.0, 6.0));
    let ranked = rank([&small], &limits, &Use::on(TODAY));
    assert!((ranked[0].place().unwrap().value - 0.5).abs() < 1e-12);
    let high = Limits::new(Spec::range_nm(35.0, 50.0));
    let ranked = rank([&small], &high, &Use::on(TODAY));
    assert_eq!((ranked[0].place(), ranked[0].aim), (None, Err(NoAim::ScaleTooLow)));
}
