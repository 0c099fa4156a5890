//! What the readings of one bolt come to: a clamp marked 4–6 N·m and a wrench good to 6 %, unless said otherwise.

use super::*;
use crate::book::{EventKind, Hand, Scope, ServiceInterval, Trigger};
use crate::conformity::{Doubt, Uncalibrated};
use crate::quantity::newton_metres as nm;
use crate::workshop::due::tests::{event, interval};
use crate::workshop::figures::tests::hardware;
use crate::workshop::joint::tests::{World, at, clamp, line};
use crate::workshop::{JointVerdict, Usage, Value, judge_joint};

fn judged_in(world: &World, joint: &Joint, oldest_first: &[Reading]) -> JointVerdict {
    let mut readings = oldest_first.to_vec();
    readings.sort_by_key(|reading| (reading.bolt, std::cmp::Reverse((reading.at, reading.id))));
    judge_joint(joint, &readings, &world.judging())
}

fn judged(oldest_first: &[Reading]) -> Judgement {
    judged_in(&World::new(), &clamp(1, "4-6 N·m"), oldest_first).worst
}

fn tightened(day: u8, value: &str) -> Reading {
    line(day, Kind::Tightened, value)
}

fn held(day: u8, value: &str) -> Reading {
    line(day, Kind::Held, value)
}

/// A line without a value.
fn noted(day: u8, finding: Option<Finding>, action: Option<Action>) -> Reading {
    Reading { finding, action, ..line(day, Kind::Skipped, "") }
}

#[test]
fn held_proves_the_lower_limit_at_a_setting_within_the_limits_only() {
    for (value, state) in [
        ("3.9 N·m", State::NeverChecked),
        ("4.0 N·m", State::Sound),
        ("6.0 N·m", State::Sound),
        // Above the upper limit there is nothing to look for, by however little.
        ("6.1 N·m", State::TooClose),
        ("6.5 N·m", State::TooClose),
    ] {
        let found = judged(&[held(5, value)]);
        assert_eq!(found.state, state, "{value}: {found:?}");
        assert_eq!(found.at, Some(at("2026-05-05T10:00Z")), "{value}");
    }
    assert_eq!(judged(&[held(5, "3.9 N·m")]).why, Why::HeldTooLow { torque: nm(3.9) });
    assert_eq!(judged(&[held(5, "6.1 N·m")]).why, Why::HeldTooHigh { torque: nm(6.1) });
}

/// The wrench of the workshop measures from 2 N·m, 20 % of its capacity.
#[test]
fn held_with_a_wrench_in_doubt_proves_nothing_and_cures_nothing() {
    let mut world = World::new();
    let passed = crate::wrench::CalibrationResult::Passed;
    world.calibrate(&[(jiff::civil::date(2025, 1, 1), passed)]);
    let lapsed = Doubt::Uncalibrated(Uncalibrated::Lapsed { stood_until: jiff::civil::date(2026, 1, 1) });
    let found = judged_in(&world, &clamp(1, "4-6 N·m"), &[held(5, "4.5 N·m")]).worst;
    assert_eq!(found.state, State::WrenchInDoubt);
    assert!(matches!(&found.why, Why::Held { doubts, .. } if doubts == &[lapsed]), "{found:?}");

    // What was tightened with a wrench that nobody registered is judged; the doubted one adds nothing to it.
    for (value, state) in [
        ("5.0 N·m", State::Sound),
        ("4.1 N·m", State::TooClose),
        ("3.0 N·m", State::Low),
        ("7.0 N·m", State::High),
    ] {
        let before = Reading { wrench: None, ..tightened(1, value) };
        let found = judged_in(&world, &clamp(1, "4-6 N·m"), &[before, held(5, "4.5 N·m")]).worst;
        assert_eq!((found.state, found.at), (state, Some(at("2026-05-01T10:00Z"))), "{value}");
    }
}

#[test]
fn held_cures_a_tightening_with_a_doubted_wrench_unless_that_read_too_much() {
    let mut world = World::new();
    let passed = crate::wrench::CalibrationResult::Passed;
    // Lapsed when it was tightened with, calibrated anew before it was checked with.
    world.calibrate(&[(jiff::civil::date(2025, 4, 1), passed), (jiff::civil::date(2026, 5, 3), passed)]);
    for (value, state) in [
        ("5.0 N·m", State::Sound),
        ("1.5 N·m", State::Sound),
        ("6.0 N·m", State::Sound),
        ("6.1 N·m", State::WrenchInDoubt),
        ("9.0 N·m", State::WrenchInDoubt),
    ] {
        let lines = [tightened(1, value), held(5, "4.5 N·m")];
        assert_eq!(judged_in(&world, &clamp(1, "4-6 N·m"), &lines).state(), state, "{value}");
    }
}

/// A re-check proves a least torque and no more (practice of re-checking by a set wrench): of a range narrower than 2U
/// both sides are in doubt, and 5.0 N·m shows no more of 4.8 to 5.2 for having held at 4.9.
#[test]
fn held_does_not_settle_a_range_that_the_wrench_cannot() {
    for value in ["5.0 N·m", "4.9 N·m", "5.1 N·m"] {
        let lines = [tightened(1, value), held(5, "4.9 N·m")];
        let found = judged_in(&World::new(), &clamp(1, "4.8-5.2 N·m"), &lines).worst;
        assert_eq!(found.state, State::TooClose, "{value}");
        assert!(matches!(found.why, Why::Tightened { narrow: true, .. }), "{value}: {found:?}");
    }
}

#[test]
fn a_setting_that_held_too_high_or_too_low_leaves_the_tightening_as_it_was() {
    for (value, state) in [("5.0 N·m", State::Sound), ("3.0 N·m", State::Low), ("7.0 N·m", State::High)] {
        for setting in ["3.5 N·m", "6.5 N·m"] {
            let found = judged(&[tightened(1, value), held(5, setting)]);
            assert_eq!((found.state, found.at), (state, Some(at("2026-05-01T10:00Z"))), "{value}, {setting}");
        }
    }
}

#[test]
fn the_newest_setting_that_held_since_the_last_tightening_counts() {
    assert_eq!(judged(&[held(1, "4.5 N·m"), held(2, "3.0 N·m")]).state, State::NeverChecked);
    let found = judged(&[tightened(1, "3.0 N·m"), held(2, "4.5 N·m"), tightened(3, "3.0 N·m")]);
    assert_eq!(found.state, State::Low, "a check before the tightening says nothing of it");
}

#[test]
fn a_fault_is_put_right_by_what_was_done_about_it() {
    let loose = |action| noted(1, Some(Finding::Loose), action);
    for (action, state) in [
        (None, State::Fault),
        (Some(Action::None), State::Fault),
        (Some(Action::HandedOver), State::Fault),
        (Some(Action::ReTightened), State::NeverChecked),
        (Some(Action::ReLocked), State::NeverChecked),
        (Some(Action::Replaced), State::NeverChecked),
    ] {
        let found = judged(&[loose(action)]);
        assert_eq!(found.state, state, "{action:?}");
        assert_eq!(found.why == Why::Found(Finding::Loose), state == State::Fault, "{action:?}");
    }
    let later = |reading: Reading| judged(&[loose(None), reading]).state;
    assert_eq!(later(held(2, "4.5 N·m")), State::Fault, "to look is not to put right");
    assert_eq!(
        later(noted(2, None, Some(Action::ReTightened))),
        State::Fault,
        "nor is a word without a value"
    );
    assert_eq!(later(noted(2, Some(Finding::Fine), None)), State::NeverChecked);
    assert_eq!(later(tightened(2, "5.0 N·m")), State::Sound);
}

#[test]
fn only_a_new_part_cures_what_needs_one_and_the_newest_fault_is_told() {
    let cracked = || noted(1, Some(Finding::Cracked), None);
    let locked = noted(2, None, Some(Action::ReLocked));
    assert_eq!(judged(&[cracked(), locked, tightened(3, "5.0 N·m")]).state, State::Fault);
    assert_eq!(judged(&[cracked(), noted(2, Some(Finding::Fine), None)]).state, State::Fault);
    let found = judged(&[cracked(), noted(2, Some(Finding::Play), None)]);
    assert_eq!((found.why, found.at), (Why::Found(Finding::Play), Some(at("2026-05-02T10:00Z"))));
    let crack_of_new_part = Reading { action: Some(Action::Replaced), ..tightened(2, "5.0 N·m") };
    assert_eq!(judged(&[cracked(), crack_of_new_part]).state, State::Sound);
}

#[test]
fn a_new_part_or_a_bolt_set_by_hand_ends_what_was_known_unless_it_comes_with_a_value() {
    let before = || tightened(1, "5.0 N·m");
    let by_hand = |finding| Reading { finding, ..line(2, Kind::ByHand, "") };
    for (reading, why) in [
        (noted(2, None, Some(Action::Replaced)), Some(Why::NoTorque(Kind::Skipped))),
        (noted(2, None, Some(Action::ReLocked)), Some(Why::NoTorque(Kind::Skipped))),
        (by_hand(None), Some(Why::NoTorque(Kind::ByHand))),
        (by_hand(Some(Finding::Fine)), None),
        (Reading { action: Some(Action::ReTightened), ..by_hand(Some(Finding::Loose)) }, None),
        (noted(2, Some(Finding::Fine), Some(Action::ReLocked)), None),
        (noted(2, None, Some(Action::ReTightened)), None),
        (Reading { action: Some(Action::Replaced), ..tightened(2, "5.0 N·m") }, None),
    ] {
        let found = judged(&[before(), reading.clone()]);
        let state = if why.is_some() { State::NeverChecked } else { State::Sound };
        assert_eq!(found.state, state, "{reading:?}");
        if let Some(why) = why {
            assert_eq!((found.why, found.at), (why, Some(at("2026-05-02T10:00Z"))));
        }
    }
}

#[test]
fn a_bolt_that_turned_or_was_loosened_is_told_with_its_newest_line() {
    let found = judged(&[
        tightened(1, "5.0 N·m"),
        line(2, Kind::Moved, "4.5 N·m"),
        line(3, Kind::Loosening, "4.0 N·m"),
    ]);
    assert_eq!((found.why, found.at), (Why::Loosened, Some(at("2026-05-03T10:00Z"))));
    let found =
        judged(&[line(2, Kind::Loosening, "4.0 N·m"), line(3, Kind::Moved, "4.5 N·m"), held(4, "4.5 N·m")]);
    assert_eq!((found.state, found.why), (State::Moved, Why::Moved { torque: Some(nm(4.5)) }));
}

/// A measured value in a log by mistake, or none at all, tightens nothing.
#[test]
fn a_line_without_a_torque_is_no_tightening() {
    let moved = || line(2, Kind::Moved, "4.5 N·m");
    let value = Some(Value::Measure(quantity::Measure::parse("5 mm", None).unwrap()));
    for reading in [line(3, Kind::Tightened, ""), Reading { value, ..line(3, Kind::Tightened, "") }] {
        assert_eq!(judged(&[moved(), reading.clone()]).state, State::Moved, "{reading:?}");
        assert_eq!(judged(&[reading]).state, State::NeverChecked);
    }
}

/// A bad reading stays what it is; what is merely open or sound is overtaken by a trend.
#[test]
fn a_trend_never_hides_that_the_bolt_is_low_or_high() {
    let falling = |last: &str| {
        let checks = (1..).zip(["5.0 N·m", "4.8 N·m", "4.5 N·m", "4.2 N·m"]);
        let mut lines: Vec<Reading> = checks.map(|(day, value)| line(day, Kind::BackToMark, value)).collect();
        lines.push(tightened(9, last));
        judged(&lines)
    };
    for (last, state) in [
        ("5.0 N·m", State::Losing),
        ("5.9 N·m", State::Losing),
        ("3.0 N·m", State::Low),
        ("7.0 N·m", State::High),
    ] {
        assert_eq!(falling(last).state, state, "{last}");
    }
    assert_eq!(falling("5.0 N·m").at, Some(at("2026-05-09T10:00Z")));
}

/// The evidence is as old as the last look that left the bolt as it was found.
#[test]
fn a_check_back_to_its_mark_makes_sound_evidence_younger_and_open_evidence_not() {
    let look = || line(20, Kind::BackToMark, "5.0 N·m");
    assert_eq!(judged(&[tightened(1, "5.0 N·m"), look()]).at, Some(at("2026-05-20T10:00Z")));
    assert_eq!(judged(&[tightened(1, "5.9 N·m"), look()]).at, Some(at("2026-05-01T10:00Z")));
    assert_eq!(judged(&[look(), tightened(25, "5.0 N·m")]).at, Some(at("2026-05-25T10:00Z")));
    assert_eq!(
        judged(&[tightened(1, "5.0 N·m"), look(), held(22, "4.5 N·m")]).at,
        Some(at("2026-05-22T10:00Z"))
    );
    assert_eq!(
        judged(&[tightened(1, "5.0 N·m"), held(10, "4.5 N·m"), look()]).at,
        Some(at("2026-05-20T10:00Z"))
    );
}

#[test]
fn of_bolts_in_one_state_the_oldest_evidence_decides_and_the_reading_of_this_moment_counts() {
    let mut world = World::new();
    world.now = at("2026-05-20T10:00Z");
    let of_bolt = |bolt, day| Reading { bolt, ..tightened(day, "5.0 N·m") };
    let verdict = judged_in(&world, &clamp(3, "4-6 N·m"), &[of_bolt(1, 5), of_bolt(2, 2), of_bolt(3, 20)]);
    assert_eq!(
        (verdict.state(), verdict.worst.bolt, verdict.worst.at),
        (State::Sound, 2, Some(at("2026-05-02T10:00Z")))
    );
    assert!(verdict.bolts_without.is_empty());
    let low = Reading { bolt: 1, ..tightened(5, "3.0 N·m") };
    let verdict = judged_in(&world, &clamp(2, "4-6 N·m"), &[low, of_bolt(2, 2)]);
    assert_eq!((verdict.state(), verdict.worst.bolt), (State::Low, 1), "age decides among equals only");
    let verdict = judged_in(&world, &clamp(2, ""), &[]);
    assert_eq!((verdict.state(), verdict.bolts_without.len()), (State::NoValue, 0));
    let verdict = judged_in(&world, &clamp(3, "4-6 N·m"), &[of_bolt(2, 2)]);
    assert_eq!((verdict.worst.bolt, verdict.bolts_without), (1, vec![1, 3]));
}

#[test]
fn the_side_that_the_joint_names_counts_before_that_of_its_entry() {
    let mut world = World::new();
    let mut left = hardware(None);
    left.hand = Hand::Left;
    world.hardware.insert("test-clamp".into(), left);
    let judged =
        |hand| judged_in(&world, &Joint { hand, ..clamp(1, "4-6 N·m") }, &[tightened(1, "5.0 N·m")]).worst;
    assert!(matches!(judged(None).why, Why::Tightened { doubts, .. } if doubts == [Doubt::WrongDirection]));
    assert_eq!(judged(Some(Hand::Right)).state, State::Sound);
    assert_eq!(judged(Some(Hand::Either)).state, State::Sound, "taken for a right-hand thread");
}

#[test]
fn nothing_judges_a_measured_check_that_the_book_does_not_have() {
    let joint = Joint { check: Check::Measure, ..clamp(1, "min 1.5 mm") };
    let world = World::new();
    assert_eq!(judged_in(&world, &joint, &[]).state(), State::NeverChecked);
    let value = Some(Value::Measure(quantity::Measure::parse("1.4 mm", None).unwrap()));
    let found = judged_in(&world, &joint, &[Reading { value, ..line(1, Kind::Tightened, "") }]).worst;
    assert_eq!(
        (found.state, found.why, found.at),
        (State::NoValue, Why::NoFigure, Some(at("2026-05-01T10:00Z")))
    );
}

/// A limit with two ends, in the unit in which it is compared: what lies beneath it is low, what lies above it high.
#[test]
fn a_measure_is_low_or_high_by_the_end_that_it_passes() {
    let limit = crate::book::SourcedLimit {
        variant: "any".into(),
        measured: "thickness".into(),
        limit: quantity::MeasureLimit::parse("1.5-2.3 mm").unwrap(),
        plausible: None,
        source: "test".into(),
        locator: String::new(),
        grade: crate::book::Grade::Published,
    };
    let item = crate::book::MeasuredItem { item: "rotor".into(), name: "Rotor".into(), limits: vec![limit] };
    let mut world = World::new();
    world.items.insert("rotor".into(), item);
    for (marking, value, state) in [
        ("", "1.4 mm", State::Low),
        ("", "1.5 mm", State::Sound),
        ("", "2.3 mm", State::Sound),
        ("", "2.4 mm", State::High),
        ("", "0.1 in", State::High),
        ("max 2.0 mm", "2.1 mm", State::High),
        ("max 2.0 mm", "1.4 mm", State::Sound),
        ("min 1.8 mm", "1.7 mm", State::Low),
    ] {
        let joint = Joint { check: Check::Measure, entry: "rotor".into(), ..clamp(1, marking) };
        let value = Some(Value::Measure(quantity::Measure::parse(value, None).unwrap()));
        let found = judged_in(&world, &joint, &[Reading { value, ..line(1, Kind::Measured, "") }]).worst;
        assert_eq!(found.state, state, "{marking} {value:?}");
        assert!(matches!(found.why, Why::Measured { .. }), "{found:?}");
    }
}

#[test]
fn a_joint_is_due_by_the_intervals_that_decide_and_are_meant_for_it() {
    let due = |change: fn(&mut ServiceInterval)| {
        let mut after_crash = interval(Trigger::After(EventKind::Crash));
        change(&mut after_crash);
        let mut world = World::new();
        world.usage = Usage::new(vec![event(EventKind::Crash, "2026-05-15")]);
        world.intervals = vec![after_crash];
        judged_in(&world, &clamp(1, "4-6 N·m"), &[tightened(10, "5.0 N·m")]).state() == State::Due
    };
    assert!(due(|_| {}));
    assert!(!due(|interval| interval.decides = false), "advice does not decide");
    assert!(!due(|interval| interval.kinds = vec!["road".into()]), "the bicycle is a hardtail");
    assert!(due(|interval| interval.kinds = vec!["road".into(), "hardtail".into()]));
    assert!(!due(|interval| interval.scope = Scope::Some(vec!["other-clamp".into()])));
    assert!(due(|interval| interval.scope = Scope::Some(vec!["test-clamp".into()])));
    assert!(!due(|interval| interval.scope = Scope::Bicycle));
}
