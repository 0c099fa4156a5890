//! What the readings of a joint say: states, precedence, what cures and what does not.

use std::collections::BTreeMap;

use jiff::civil::date;
use jiff::tz::TimeZone;
use proptest::prelude::*;

use super::*;
use crate::book::{EventKind, MeasuredItem, SourcedLimit, Trigger};
use crate::conformity::{Doubt, Kind, Uncalibrated};
use crate::quantity::{Measure, MeasureLimit, in_newton_metres, newton_metres as nm, parse_reading};
use crate::workshop::due::tests::{event, interval};
use crate::workshop::{
    Action, Bicycle, Figure, Finding, LocalInstant, Marking, StoredBicycle, Usage, Value, WorkshopSnapshot,
};
use crate::wrench::{Calibration, CalibrationResult, Line, Operation, Wrench, WrenchKind, WrenchParts};

pub(in crate::workshop) fn at(text: &str) -> LocalInstant {
    LocalInstant::parse(text, &TimeZone::UTC).unwrap()
}

/// A workshop with a 2–10 N·m wrench good to 6 %, calibrated on 1 January 2026.
pub(in crate::workshop) struct World {
    pub workshop: WorkshopSnapshot,
    pub usage: Usage,
}

impl std::ops::Deref for World {
    type Target = WorkshopSnapshot;

    fn deref(&self) -> &WorkshopSnapshot {
        &self.workshop
    }
}

impl std::ops::DerefMut for World {
    fn deref_mut(&mut self) -> &mut WorkshopSnapshot {
        &mut self.workshop
    }
}

impl World {
    pub(in crate::workshop) fn new() -> World {
        let workshop = WorkshopSnapshot {
            now: at("2026-06-10"),
            wrenches: BTreeMap::new(),
            intervals: Vec::new(),
            hand_checks: BTreeMap::new(),
            hardware: BTreeMap::new(),
            catalogue: Some(crate::joint::Catalogue::compiled_in()),
            items: BTreeMap::new(),
        };
        let mut world = World { workshop, usage: Usage::default() };
        world.calibrate(&[(date(2026, 1, 1), CalibrationResult::Passed)]);
        world
    }

    pub(in crate::workshop) fn calibrate(&mut self, on: &[(jiff::civil::Date, CalibrationResult)]) {
        let calibrations = on.iter().map(|&(on, result)| Calibration { on, result }).collect();
        let parts = WrenchParts {
            step: Some(nm(0.1)),
            calibrations,
            ..WrenchParts::new("small", WrenchKind::Click, nm(2.0), nm(10.0))
        };
        self.wrenches.insert("small".into(), Wrench::new(parts, date(2030, 1, 1)).unwrap());
    }

    pub(in crate::workshop) fn judging(&self) -> JudgingContext<'_> {
        self.workshop.judging("hardtail", &self.usage)
    }
}

pub(in crate::workshop) fn clamp(bolts: u16, marking: &str) -> Joint {
    let markings = if marking.is_empty() {
        vec![]
    } else {
        vec![Marking { part: "stem".into(), figure: Figure::read(marking) }]
    };
    Joint {
        place: "stem".into(),
        order: 1,
        entry: "test-clamp".into(),
        bolts,
        figures: Figures { markings, ..Figures::default() },
        ..Joint::named(Name::new("bar-clamp").unwrap())
    }
}

/// A line of the log: day of May 2026, kind, value.
pub(in crate::workshop) fn line(day: u8, kind: Kind, value: &str) -> Reading {
    let value = (!value.is_empty()).then(|| Value::Torque(parse_reading(value).unwrap()));
    let at = at(&format!("2026-05-{day:02}T10:00Z"));
    Reading { id: i64::from(day), value, wrench: Some("small".into()), ..Reading::new(at, kind) }
}

fn found(day: u8, finding: Finding, action: Option<Action>) -> Reading {
    Reading { finding: Some(finding), action, ..line(day, Kind::Skipped, "") }
}

/// The state of a clamp marked 4–6 N·m with these lines, oldest first.
fn state(lines: &[Reading]) -> State {
    judge(&World::new(), &clamp(1, "4-6 N·m"), lines).state()
}

fn judge(world: &World, joint: &Joint, lines: &[Reading]) -> JointVerdict {
    let mut newest_first = lines.to_vec();
    newest_first.sort_by_key(|reading| (reading.bolt, std::cmp::Reverse((reading.at, reading.id))));
    judge_joint(joint, &newest_first, &world.judging())
}

#[test]
fn a_tightening_is_judged_by_its_wrench() {
    for (value, expected) in [
        ("5.0 N·m", State::Sound),
        ("5.9 N·m", State::TooClose),
        ("7.0 N·m", State::High),
        ("3.0 N·m", State::Low),
        // Below the usable part of the scale: the wrench settles nothing.
        ("1.5 N·m", State::WrenchInDoubt),
    ] {
        assert_eq!(state(&[line(1, Kind::Tightened, value)]), expected, "{value}");
    }
    assert_eq!(state(&[]), State::NeverChecked);
}

/// A bolt of class 8.8 and M5 bears 4.57 N·m at μ = 0.08 (VDI 2230 Part 1, R7; `tests/published/bolt_strength.rs`).
#[test]
fn what_takes_a_known_bolt_past_yield_is_too_much_for_it_whatever_the_limits_say() {
    let graded =
        |marking, grade: &str| Joint { thread: "M5".into(), grade: grade.into(), ..clamp(1, marking) };
    let of = |joint: &Joint, lines: &[Reading]| judge(&World::new(), joint, lines).worst;
    let six = graded("3-8 N·m", "8.8");
    let found = of(&six, &[line(1, Kind::Tightened, "6 N·m")]);
    assert!(
        (found.state, matches!(found.why, Why::TooMuch { read: true, .. })) == (State::TooMuch, true),
        "{found:?}"
    );
    // What was too much is slackened and tightened anew; a check at too much counts like a tightening.
    let anew = [line(1, Kind::Tightened, "6 N·m"), line(2, Kind::Tightened, "4.3 N·m")];
    assert_eq!(of(&six, &anew).state, State::Sound);
    let checked = [line(1, Kind::Tightened, "4.3 N·m"), line(2, Kind::Held, "6 N·m")];
    assert_eq!(of(&six, &checked).state, State::TooMuch);
    assert_eq!(
        of(&six, &[line(1, Kind::Tightened, "4.3 N·m"), line(2, Kind::Loosening, "6 N·m")]).state,
        State::Moved
    );
    // Even the least of the figure is too much: nothing need be read.
    let found = of(&graded("6-8 N·m", "8.8"), &[]);
    assert_eq!((found.state, found.at), (State::TooMuch, None));
    assert!(matches!(found.why, Why::TooMuch { read: false, .. }), "{found:?}");
    assert_eq!(of(&graded("max 6 N·m", "8.8"), &[]).state, State::NeverChecked, "a ceiling is no target");
    // A class that is only usual gives a remark, not a verdict, and a stronger bolt neither.
    let usual = judge(&World::new(), &graded("5-9 N·m", ""), &[line(1, Kind::Tightened, "7 N·m")]);
    assert_eq!(
        (usual.state(), usual.governing.notes.len()),
        (State::Sound, 1),
        "{:?}",
        usual.governing.notes
    );
    assert_eq!(of(&graded("4-6 N·m", "12.9"), &[line(1, Kind::Tightened, "5 N·m")]).state, State::Sound);
    let replaced = [line(1, Kind::Tightened, "6 N·m"), found_line(2, Action::Replaced)];
    assert_eq!(of(&six, &replaced).state, State::NeverChecked);
}

fn found_line(day: u8, action: Action) -> Reading {
    Reading { action: Some(action), ..line(day, Kind::Skipped, "") }
}

#[test]
fn a_wrench_used_too_often_is_in_doubt_from_that_line_on() {
    let mut world = World::new();
    let too_many = line(5, Kind::Tightened, "5.0 N·m");
    let operation = Operation {
        on: too_many.at.date(),
        line: Line { instant: too_many.at.instant(), number: too_many.id },
    };
    let counted = world.wrenches["small"].clone().counted(|_, _| Ok::<_, ()>(Some(operation)));
    world.wrenches.insert("small".into(), counted.unwrap());
    let verdict = |reading: Reading| judge(&world, &clamp(1, "4-6 N·m"), &[reading]);
    assert_eq!(verdict(line(4, Kind::Tightened, "5.0 N·m")).state(), State::Sound);
    // Of one instant, the line with the lower number comes first.
    assert_eq!(verdict(Reading { id: 4, ..too_many.clone() }).state(), State::Sound);
    for reading in [too_many, line(6, Kind::Tightened, "5.0 N·m"), line(6, Kind::Held, "4.0 N·m")] {
        let found = verdict(reading);
        let (Why::Tightened { doubts, .. } | Why::Held { doubts, .. }) = &found.worst.why else {
            panic!("{found:?}")
        };
        let spent = Doubt::Uncalibrated(Uncalibrated::CyclesSpent { since: date(2026, 5, 5), allowed: 5000 });
        assert_eq!((found.state(), doubts.as_slice()), (State::WrenchInDoubt, &[spent][..]));
    }
}

#[test]
fn nothing_is_judged_without_a_figure() {
    let world = World::new();
    let verdict = judge(&world, &clamp(1, ""), &[line(1, Kind::Tightened, "5.0 N·m")]);
    assert_eq!(verdict.state(), State::NoValue);
    assert_eq!(judge(&world, &clamp(1, ""), &[]).state(), State::NoValue);
    let moved = judge(&world, &clamp(1, ""), &[line(1, Kind::Moved, "5.0 N·m")]);
    assert_eq!(moved.state(), State::Moved);
}

#[test]
fn the_newest_evidence_decides() {
    let good = || line(1, Kind::Tightened, "5.0 N·m");
    for (newer, expected) in [
        (line(2, Kind::Moved, "4.0 N·m"), State::Moved),
        (line(2, Kind::Loosening, "3.5 N·m"), State::Moved),
        (line(2, Kind::ByHand, ""), State::NeverChecked),
        (line(2, Kind::Skipped, ""), State::Sound),
        (line(2, Kind::Held, "4.0 N·m"), State::Sound),
        (line(2, Kind::Held, "3.0 N·m"), State::Sound),
        (line(2, Kind::BackToMark, "4.8 N·m"), State::Sound),
        (line(2, Kind::Tightened, "7.0 N·m"), State::High),
        (found(2, Finding::Loose, None), State::Fault),
        (found(2, Finding::Fine, None), State::Sound),
        (Reading { action: Some(Action::Replaced), ..line(2, Kind::Skipped, "") }, State::NeverChecked),
    ] {
        assert_eq!(state(&[good(), newer.clone()]), expected, "{newer:?}");
        if expected == State::Moved {
            assert_eq!(state(&[good(), newer, line(3, Kind::Tightened, "5.0 N·m")]), State::Sound);
        }
    }
}

#[test]
fn a_check_that_held_cures_a_doubtful_low_side_and_never_a_high_one() {
    let held = || line(5, Kind::Held, "4.0 N·m");
    for (before, expected) in [
        ("3.0 N·m", State::Sound),
        ("4.1 N·m", State::Sound),
        ("5.9 N·m", State::TooClose),
        ("7.0 N·m", State::High),
    ] {
        assert_eq!(state(&[line(1, Kind::Tightened, before), held()]), expected, "{before}");
    }
    assert_eq!(state(&[held()]), State::Sound);
    assert_eq!(state(&[line(5, Kind::Held, "3.5 N·m")]), State::NeverChecked);
    let ceiling = judge(&World::new(), &clamp(1, "max 6 N·m"), &[held()]);
    assert_eq!(ceiling.state(), State::NeverChecked, "a ceiling leaves nothing to hold at");
}

#[test]
fn a_fault_stays_open_until_it_is_put_right() {
    let tightened = |day| line(day, Kind::Tightened, "5.0 N·m");
    assert_eq!(state(&[found(1, Finding::Loose, None), tightened(2)]), State::Sound);
    assert_eq!(state(&[found(1, Finding::Play, None), found(2, Finding::Fine, None)]), State::NeverChecked);
    for finding in [Finding::Cracked, Finding::Seized, Finding::Worn] {
        assert_eq!(state(&[found(1, finding, None), tightened(2)]), State::Fault, "{finding:?}");
        assert_eq!(state(&[found(1, finding, Some(Action::HandedOver)), tightened(2)]), State::Fault);
        let replaced = found(2, Finding::Fine, Some(Action::Replaced));
        assert_eq!(state(&[found(1, finding, None), replaced, tightened(3)]), State::Sound);
    }
}

#[test]
fn the_wrench_of_the_newest_evidence_counts() {
    let lines = [line(10, Kind::Tightened, "5.0 N·m")];
    let joint = clamp(1, "4-6 N·m");
    let passed = CalibrationResult::Passed;
    let failed = CalibrationResult::Failed;
    for (calibrations, expected) in [
        (&[][..], State::Sound),
        (&[(date(2026, 1, 1), passed)], State::Sound),
        (&[(date(2025, 5, 10), passed)], State::Sound),
        (&[(date(2025, 5, 9), passed)], State::WrenchInDoubt),
        (&[(date(2026, 1, 1), failed)], State::WrenchInDoubt),
        (&[(date(2026, 1, 1), passed), (date(2026, 6, 1), failed)], State::WrenchInDoubt),
        (&[(date(2026, 1, 1), passed), (date(2026, 6, 1), passed)], State::Sound),
    ] {
        let mut world = World::new();
        world.calibrate(calibrations);
        assert_eq!(judge(&world, &joint, &lines).state(), expected, "{calibrations:?}");
    }
    let mut unknown = lines.to_vec();
    unknown[0].wrench = None;
    assert_eq!(judge(&World::new(), &joint, &unknown).state(), State::Sound, "accuracy assumed, and said so");
}

#[test]
fn a_clockwise_wrench_settles_nothing_on_a_left_hand_thread() {
    let left = Joint { hand: Some(Hand::Left), ..clamp(1, "4-6 N·m") };
    let verdict = judge(&World::new(), &left, &[line(1, Kind::Tightened, "5.0 N·m")]);
    assert_eq!(verdict.state(), State::WrenchInDoubt);
}

#[test]
fn a_falling_trend_of_re_checks_is_losing() {
    let checks = |values: &[&str]| -> Vec<Reading> {
        let mut lines = vec![line(1, Kind::Tightened, "5.0 N·m")];
        lines.extend((2..).zip(values).map(|(day, value)| line(day, Kind::BackToMark, value)));
        lines
    };
    // Four falling values reach p = 1/24 (exact Mann–Kendall, Gilbert 1987 Table A18); three cannot.
    assert_eq!(state(&checks(&["5.0 N·m", "4.8 N·m", "4.5 N·m", "4.2 N·m"])), State::Losing);
    assert_eq!(state(&checks(&["5.0 N·m", "4.6 N·m", "4.2 N·m"])), State::Sound);
    // A fall within U is none: U of 4.8 N·m at 6 % is 0.33 N·m.
    assert_eq!(state(&checks(&["5.0 N·m", "4.9 N·m", "4.85 N·m", "4.8 N·m"])), State::Sound);
    assert_eq!(state(&checks(&["5.0 N·m", "4.2 N·m", "4.8 N·m", "4.5 N·m"])), State::Sound);
    let mut locked = checks(&["5.0 N·m", "4.8 N·m", "4.5 N·m", "4.2 N·m"]);
    locked.push(Reading { action: Some(Action::ReLocked), ..line(20, Kind::Tightened, "5.0 N·m") });
    assert_eq!(state(&locked), State::Sound, "locked anew begins anew");
}

#[test]
fn found_values_may_fall_although_the_bolt_is_put_right_each_time() {
    let mut lines = Vec::new();
    for (visit, value) in (0..).zip(["4.9 N·m", "4.6 N·m", "4.3 N·m", "4.0 N·m"]) {
        lines.push(line(1 + visit * 3, Kind::Moved, value));
        lines.push(line(2 + visit * 3, Kind::Tightened, "5.0 N·m"));
    }
    assert_eq!(state(&lines), State::Losing);
}

#[test]
fn the_worst_bolt_decides_and_missing_ones_are_named() {
    let of_bolt = |bolt, value| Reading { bolt, ..line(1, Kind::Tightened, value) };
    let world = World::new();
    let joint = clamp(4, "4-6 N·m");
    let verdict =
        judge(&world, &joint, &[of_bolt(1, "5.0 N·m"), of_bolt(2, "5.0 N·m"), of_bolt(4, "5.0 N·m")]);
    assert_eq!((verdict.state(), verdict.bolts_without.as_slice()), (State::NeverChecked, &[3][..]));
    let all: Vec<Reading> = [(1, "5.0 N·m"), (2, "3.0 N·m"), (3, "5.9 N·m"), (4, "5.0 N·m")]
        .map(|(bolt, value)| of_bolt(bolt, value))
        .to_vec();
    let verdict = judge(&world, &joint, &all);
    assert_eq!((verdict.state(), verdict.worst.bolt), (State::Low, 2));
}

#[test]
fn readings_dated_after_now_do_not_count() {
    let mut world = World::new();
    world.now = at("2026-05-10");
    let joint = clamp(1, "4-6 N·m");
    assert_eq!(judge(&world, &joint, &[line(20, Kind::Tightened, "5.0 N·m")]).state(), State::NeverChecked);
    let both = [line(5, Kind::Tightened, "3.0 N·m"), line(20, Kind::Tightened, "5.0 N·m")];
    assert_eq!(judge(&world, &joint, &both).state(), State::Low);
}

#[test]
fn what_is_checked_by_hand_is_proven_by_a_finding_only() {
    let joint = Joint { check: Check::Function, ..clamp(1, "") };
    let world = World::new();
    for (lines, expected) in [
        (vec![], State::NeverChecked),
        (vec![found(1, Finding::Fine, None)], State::Sound),
        (vec![found(1, Finding::Fine, None), found(2, Finding::Play, None)], State::Fault),
        (vec![found(1, Finding::Play, None), found(2, Finding::Fine, None)], State::Sound),
        (vec![line(1, Kind::ByHand, "")], State::NeverChecked),
    ] {
        assert_eq!(judge(&world, &joint, &lines).state(), expected, "{lines:?}");
    }
}

#[test]
fn a_measured_value_stands_on_the_same_footing() {
    let limit = |text: &str| SourcedLimit {
        variant: "any".into(),
        measured: "thickness".into(),
        limit: MeasureLimit::parse(text).unwrap(),
        plausible: MeasureLimit::parse("0.5-3 mm").ok(),
        source: "test".into(),
        locator: String::new(),
        grade: crate::book::Grade::Published,
    };
    let mut world = World::new();
    let limits = vec![limit("min 1.5 mm"), limit("min 1.8 mm")];
    world.items.insert("rotor".into(), MeasuredItem { item: "rotor".into(), name: "Rotor".into(), limits });
    let joint = |marking| Joint { check: Check::Measure, entry: "rotor".into(), ..clamp(1, marking) };
    let read = |value: &str| {
        let value = Some(Value::Measure(Measure::parse(value, None).unwrap()));
        [Reading { value, ..line(1, Kind::Tightened, "") }]
    };
    for (marking, value, expected) in [
        ("", "1.9 mm", State::Sound),
        ("", "1.6 mm", State::NoValue),
        ("", "1.4 mm", State::Low),
        ("min 1.55 mm", "1.6 mm", State::Sound),
        ("min 1.55 mm", "0.060 in", State::Low),
        ("min 1.55 parsec", "1.6 mm", State::NoValue),
    ] {
        assert_eq!(judge(&world, &joint(marking), &read(value)).state(), expected, "{marking} {value}");
    }
}

#[test]
fn sound_evidence_is_overtaken_by_an_event() {
    let mut world = World::new();
    let crash = |day| event(EventKind::Crash, day);
    world.intervals = vec![interval(Trigger::After(EventKind::Crash))];
    let joint = clamp(1, "4-6 N·m");
    let lines = [line(10, Kind::Tightened, "5.0 N·m")];
    world.usage = Usage::new(vec![crash("2026-05-05")]);
    assert_eq!(judge(&world, &joint, &lines).state(), State::Sound);
    world.usage = Usage::new(vec![crash("2026-05-15")]);
    assert_eq!(judge(&world, &joint, &lines).state(), State::Due);
    let bad = [line(10, Kind::Tightened, "3.0 N·m")];
    assert_eq!(judge(&world, &joint, &bad).state(), State::Low, "a bad joint stays bad");
}

#[test]
fn a_figure_that_cannot_be_read_is_refused_by_the_name_of_its_column() {
    let bad = || Figure::read("5 Nx");
    let marking = |figure| Marking { part: "stem".into(), figure };
    let good = || marking(Figure::read("5 N·m"));
    let none = Figures::default;
    for (column, figures) in [
        ("marking", Figures { markings: vec![marking(bad()), good()], ..none() }),
        ("second_marking", Figures { markings: vec![good(), marking(bad())], ..none() }),
        ("part_maker", Figures { part_maker: Some(bad()), shop: Some(bad()), ..none() }),
        ("bicycle_maker", Figures { bicycle_maker: Some(bad()), markings: vec![good()], ..none() }),
        ("shop", Figures { shop: Some(bad()), ..none() }),
    ] {
        let refused = Joint { figures, ..clamp(1, "") }.refused().unwrap();
        assert_eq!(refused.column, column);
        assert!(refused.why.contains("Nx"), "{}", refused.why);
    }
    assert!(clamp(1, "4-6 N·m").refused().is_none() && clamp(1, "").refused().is_none());
    assert!(clamp(1, "min 1.5 mm").refused().is_some(), "a limit of a measured value is no torque");
    let measured = Joint { check: Check::Measure, ..clamp(1, "min 1.5 mm") };
    assert!(measured.refused().is_none());
}

#[test]
fn readings_of_later_are_counted_and_left_out_where_a_bicycle_is_judged() {
    let world = World::new();
    let bicycle = Bicycle { kind: "hardtail".into(), ..Bicycle::blank() };
    let reading = |at| Reading { at, ..line(1, Kind::Tightened, "5.0 N·m") };
    let lines = vec![reading(world.now.later_by_ms(1)), reading(world.now)];
    let joints =
        [(clamp(1, "4-6 N·m"), lines), (clamp(1, "4-6 N·m"), vec![reading(world.now.later_by_ms(9))])];
    let stored = StoredBicycle { id: 1, bicycle };
    let judged =
        world.judge(stored, Usage::default(), joints.into_iter(), crate::workshop::Before::default());
    let states: Vec<State> = judged.joints.iter().map(|(_, verdict)| verdict.state()).collect();
    assert_eq!((judged.in_future, states), (2, vec![State::Sound, State::NeverChecked]));
    assert_eq!(judged.verdict.deciding, [1]);
}

/// The torque in N·m of 90 % of yield of an M5 bolt with a socket head at μ = 0.08, by VDI 2230 Part 1: the load of an
/// equivalent stress of 0.9 of yield, times P/2π + d2·μ/√3 + D_Km·μ/2 (ISO 724, ISO 4762, ISO 273).
fn m5_bears(yield_stress: f64) -> f64 {
    let (pitch, d2, d3, mu) = (0.8, 4.480, 4.019, 0.08);
    let d0 = f64::midpoint(d2, d3);
    let torsion = 1.5 * d2 / d0 * (pitch / (std::f64::consts::PI * d2) + 2.0 / 3.0_f64.sqrt() * mu);
    let stress = 0.9 * yield_stress / (1.0 + 3.0 * torsion * torsion).sqrt();
    let arm = pitch / (2.0 * std::f64::consts::PI) + d2 * mu / 3.0_f64.sqrt() + (8.03 + 5.5) / 4.0 * mu;
    stress * std::f64::consts::PI / 4.0 * d0 * d0 * arm / 1000.0
}

proptest! {
    /// Whatever is marked and read, no bolt of a known class is sound past what it bears, and no wrench is set to more.
    #[test]
    fn no_bolt_past_yield_is_sound_and_none_is_set_to_it(
        class in 0..4_usize,
        form in 0..4_usize,
        (low, width) in (1.0..9.0_f64, 0.0..6.0_f64),
        torques in prop::collection::vec((0..3_usize, 0.5..14.0_f64), 1..5),
    ) {
        // Yield of ISO 898-1.
        let (grade, yield_stress) = [("4.6", 240.0), ("8.8", 640.0), ("10.9", 940.0), ("12.9", 1100.0)][class];
        let bears = m5_bears(yield_stress);
        let high = low + width;
        let marking = [
            format!("{low:.1}-{high:.1} N·m"), format!("{low:.1} N·m"), format!("max {high:.1} N·m"),
            format!("min {low:.1} N·m"),
        ];
        let joint = Joint { thread: "M5".into(), grade: grade.into(), ..clamp(1, &marking[form]) };
        let kinds = [Kind::Tightened, Kind::Held, Kind::BackToMark];
        let lines: Vec<Reading> = (1..).zip(&torques).map(|(day, (kind, torque))| {
            line(day, kinds[*kind], &format!("{torque:.1} N·m"))
        }).collect();
        let world = World::new();
        let found = judge(&world, &joint, &lines);
        // The newest tightening and what was checked since.
        let since = torques.iter().rposition(|(kind, _)| *kind == 0).unwrap_or(0);
        let past = torques[since..].iter().any(|(_, torque)| *torque > bears * 1.01 + 0.05);
        prop_assert!(!past || found.state() == State::TooMuch, "{lines:?}: {found:?}");
        prop_assert!(found.state() != State::Sound || torques[since].1 < bears * 1.01 + 0.05, "{found:?}");
        let wrench = &world.wrenches["small"];
        if let Some(Ok(aim)) = found.governing.setting_on(wrench) {
            prop_assert!(in_newton_metres(aim.on_scale) < bears * 1.01, "{}: {aim:?}", marking[form]);
        }
    }
}
