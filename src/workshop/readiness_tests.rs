//! The truth table of the bicycle verdict: joint states × critical or not × age × wrench state.

use super::*;
use crate::book::{EventKind, ServiceInterval, Trigger};
use crate::conformity::Kind;
use crate::workshop::due::tests::{event, interval};
use crate::workshop::joint::tests::{World, at, clamp, line};
use crate::workshop::{Judgement, Reading, Usage, governing, judge_joint};
use crate::wrench::CalibrationResult;
use jiff::civil::date;

fn joint(critical: bool) -> Joint {
    Joint { critical, ..clamp(1, "4-6 N·m") }
}

fn in_state(critical: bool, state: State, why: Why) -> (Joint, JointVerdict) {
    let joint = joint(critical);
    let worst = Judgement { state, why, bolt: 1, at: None };
    let governing = governing(&joint, None);
    (joint, JointVerdict { worst, bolts_without: vec![], governing, wear: None })
}

/// What one joint in a state makes of a bicycle whose other joints are sound.
fn expected(critical: bool, state: State) -> Fitness {
    match (critical, state) {
        (_, State::Sound) => Fitness::Fit,
        (false, _) => Fitness::FitWithConditions,
        (true, State::Losing | State::Moved | State::Low | State::High | State::TooMuch | State::Fault) => {
            Fitness::Unfit
        }
        (
            true,
            State::Due | State::NeverChecked | State::NoValue | State::TooClose | State::WrenchInDoubt,
        ) => Fitness::Unproven,
    }
}

#[test]
fn one_joint_in_each_state_decides_as_the_contract_says() {
    for critical in [true, false] {
        for state in State::ALL {
            let joints =
                [in_state(true, State::Sound, Why::Nothing), in_state(critical, state, Why::Nothing)];
            let verdict = judge_bicycle(&joints, Fitness::Fit);
            assert_eq!(verdict.fitness, expected(critical, state), "critical {critical}, {state:?}");
            let open: &[usize] = if state == State::Sound { &[] } else { &[1] };
            assert_eq!(verdict.deciding, open, "every open joint is listed");
        }
    }
}

#[test]
fn of_two_joints_the_worse_decides_and_a_missing_one_is_never_outweighed() {
    for first_critical in [true, false] {
        for second_critical in [true, false] {
            for first in State::ALL {
                for second in State::ALL {
                    let joints = [
                        in_state(first_critical, first, Why::Nothing),
                        in_state(second_critical, second, Why::Nothing),
                    ];
                    let verdict = judge_bicycle(&joints, Fitness::Fit);
                    let worse = expected(first_critical, first).max(expected(second_critical, second));
                    assert_eq!(verdict.fitness, worse, "{first:?} with {second:?}");
                    let missing = (first_critical && first == State::NeverChecked)
                        || (second_critical && second == State::NeverChecked);
                    assert!(!missing || verdict.fitness >= Fitness::Unproven);
                }
            }
        }
    }
}

#[test]
fn a_bicycle_without_joints_is_unproven_and_a_crack_decides_anywhere() {
    assert_eq!(judge_bicycle(&[], Fitness::Fit).fitness, Fitness::Unproven);
    let cracked = in_state(false, State::Fault, Why::Found(Finding::Cracked));
    assert_eq!(judge_bicycle(&[cracked], Fitness::Fit).fitness, Fitness::Unfit);
}

/// Who has little time reads the first line: what decides safety and is worst, then the way round.
#[test]
fn what_decides_is_listed_with_the_worst_first() {
    let placed = |order, critical, state| {
        let (joint, verdict) = in_state(critical, state, Why::Nothing);
        (Joint { order, ..joint }, verdict)
    };
    let joints = [
        placed(5, true, State::NeverChecked),
        placed(4, false, State::Fault),
        placed(3, true, State::Sound),
        placed(2, true, State::Low),
        placed(1, true, State::NeverChecked),
        placed(6, true, State::High),
        placed(0, false, State::Due),
    ];
    let verdict = judge_bicycle(&joints, Fitness::Fit);
    assert_eq!((verdict.fitness, verdict.deciding.as_slice()), (Fitness::Unfit, &[5, 3, 4, 0, 1, 6][..]));
}

/// A part that only has to be replaced some day is no crack.
#[test]
fn of_findings_at_a_joint_that_does_not_decide_safety_only_a_crack_decides() {
    for finding in [Finding::Loose, Finding::Play, Finding::Seized, Finding::Worn, Finding::Creaks] {
        let found = in_state(false, State::Fault, Why::Found(finding));
        assert_eq!(judge_bicycle(&[found], Fitness::Fit).fitness, Fitness::FitWithConditions, "{finding:?}");
    }
}

/// What is known of the wrench of the reading.
const WRENCHES: [(&str, bool); 5] = [
    ("calibrated", true),
    ("lapsed", false),
    ("failed later", false),
    ("never calibrated", true),
    ("not named", true),
];
/// What has happened since the reading.
const AGES: [(&str, bool); 4] =
    [("fresh", true), ("interval passed", false), ("crash since", false), ("crash before", true)];
/// A reading, the state it gives while it is fresh and its wrench is to be believed, and whether its
/// wrench matters to it.
const READINGS: [(&str, Kind, &str, State, bool); 7] = [
    ("none", Kind::Skipped, "", State::NeverChecked, false),
    ("inside", Kind::Tightened, "5.0 N·m", State::Sound, true),
    ("too close", Kind::Tightened, "5.9 N·m", State::TooClose, true),
    ("low", Kind::Tightened, "3.0 N·m", State::Low, true),
    ("high", Kind::Tightened, "7.0 N·m", State::High, true),
    ("held", Kind::Held, "4.0 N·m", State::Sound, true),
    ("moved", Kind::Moved, "4.0 N·m", State::Moved, false),
];

#[test]
fn state_by_critical_by_age_by_wrench() {
    let mut rows = 0;
    for critical in [true, false] {
        for (wrench, believed) in WRENCHES {
            for (age, current) in AGES {
                for (reading, kind, value, fresh, by_wrench) in READINGS {
                    let state = world(wrench, age, |world| {
                        let mut line = line(10, kind, value);
                        if wrench == "not named" {
                            line.wrench = None;
                        }
                        let lines: &[Reading] = if reading == "none" { &[] } else { &[line] };
                        let joint = joint(critical);
                        let verdict = judge_joint(&joint, lines, &world.judging());
                        (verdict.state(), judge_bicycle(&[(joint, verdict)], Fitness::Fit).fitness)
                    });
                    let wanted = match (fresh, by_wrench && !believed, current) {
                        (_, true, _) => State::WrenchInDoubt,
                        (State::Sound, false, false) => State::Due,
                        (state, ..) => state,
                    };
                    let row = format!("{reading}, critical {critical}, {age}, wrench {wrench}");
                    assert_eq!(state, (wanted, expected(critical, wanted)), "{row}");
                    rows += 1;
                }
            }
        }
    }
    assert_eq!(rows, 2 * 5 * 4 * 7);
}

/// A workshop whose wrench is in a state, at an age of the reading of 10 May 2026.
fn world<T>(wrench: &str, age: &str, ask: impl FnOnce(&World) -> T) -> T {
    let (passed, failed) = (CalibrationResult::Passed, CalibrationResult::Failed);
    let mut world = World::new();
    match wrench {
        "calibrated" | "not named" => world.calibrate(&[(date(2026, 1, 1), passed)]),
        "lapsed" => world.calibrate(&[(date(2025, 5, 9), passed)]),
        "failed later" => world.calibrate(&[(date(2026, 1, 1), passed), (date(2026, 6, 1), failed)]),
        _ => world.calibrate(&[]),
    }
    world.intervals = vec![
        ServiceInterval { days: Some(365.0), ..interval(Trigger::Every) },
        interval(Trigger::After(EventKind::Crash)),
    ];
    let crash = |day| Usage::new(vec![event(EventKind::Crash, day)]);
    match age {
        "interval passed" => world.now = at("2027-05-11"),
        "crash since" => world.usage = crash("2026-05-20"),
        "crash before" => world.usage = crash("2026-05-01"),
        _ => {}
    }
    ask(&world)
}
