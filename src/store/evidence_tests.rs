//! What decides, read quickly, judges as the whole log does.

use std::cell::RefCell;

use proptest::prelude::*;
use rusqlite::StatementStatus;

use super::*;
use crate::book::{Book, Check, compiled_in};
use crate::conformity::Kind;
use crate::quantity::{Measure, newton_metres, parse_reading};
use crate::store::BookOrigin;
use crate::store::fixture::{at, store_with_joint};
use crate::workshop::{
    Action, Figure, Finding, Joint, JointVerdict, Marking, Name, StoredJoint, Usage, Value, judge_joint,
};
use crate::wrench::{Calibration, CalibrationResult, Wrench, WrenchKind, WrenchParts};

/// One line of a log, by numbers: kind, value, finding, action, minute, and how many lines before it the one stands that
/// it corrects.
type Told = (usize, u8, usize, usize, i64, usize);

fn reading((kind, value, finding, action, minute, _): &Told) -> Reading {
    let kind = Kind::ALL[*kind];
    let torque = |text: String| parse_reading(&text).map(Value::Torque).ok();
    Reading {
        bolt: 1 + u16::try_from(minute % 2).unwrap(),
        value: match value {
            _ if !kind.has_torque() => None,
            0 => None,
            1 => Measure::parse("1.7 mm", None).ok().map(Value::Measure),
            2 => torque("44 in-lb".to_owned()),
            3 => torque("60 N·m".to_owned()),
            value => torque(format!("{}.{value} N·m", 3 + value % 4)),
        },
        finding: Finding::ALL.get(*finding).copied(),
        action: Action::ALL.get(*action).copied(),
        wrench: (value % 3 == 0).then(|| "small".to_owned()),
        ..Reading::new(at("2026-06-01").later_by_ms(minute * 60_000), kind)
    }
}

fn told() -> impl Strategy<Value = Told> {
    // Most lines are of the usual kinds, and say nothing of a finding or an action.
    let kind = prop_oneof![4 => Just(4_usize), 2 => Just(1), 1 => 0..Kind::ALL.len()];
    let word = |of: usize| prop_oneof![12 => Just(99_usize), 1 => 0..of];
    (kind, 0_u8..20, word(Finding::ALL.len()), word(Action::ALL.len()), 0_i64..1200, 0_usize..40)
}

fn workshop() -> Store {
    let mut store = store_with_joint(2);
    store.load_book(&Book::read(&compiled_in()).unwrap(), &BookOrigin::CompiledIn).unwrap();
    let passed = Calibration { on: at("2026-05-01").date(), result: CalibrationResult::Passed };
    let small = WrenchParts {
        calibrations: vec![passed],
        ..WrenchParts::new("small", WrenchKind::Click, newton_metres(2.0), newton_metres(10.0))
    };
    store.add_wrench(&Wrench::new(small, at("2026-06-01").date()).unwrap(), at("2026-06-01").date()).unwrap();
    store
}

fn append(store: &mut Store, joint: i64, log: &[Told]) {
    let mut appending = store.append().unwrap();
    let mut numbers: Vec<i64> = Vec::new();
    for told in log {
        let corrects = told.5.checked_sub(20).and_then(|back| numbers.iter().rev().nth(back).copied());
        let new = Reading { corrects, ..reading(told) };
        // A line is corrected once.
        let plain = |appending: &mut crate::store::Appending<'_>| {
            appending.add(joint, &Reading { corrects: None, ..new.clone() }, at("2026-06-02"))
        };
        let number = appending.add(joint, &new, at("2026-06-02")).or_else(|_| plain(&mut appending)).unwrap();
        numbers.push(number);
    }
    appending.commit().unwrap();
}

/// Every reading that was not corrected, bolt by bolt, newest first.
fn whole_log(store: &Store, joint: i64) -> Vec<Reading> {
    let log = store.log_of(joint).unwrap().into_iter().filter(|logged| logged.corrected_by.is_none());
    let mut readings: Vec<Reading> = log.map(|logged| logged.reading).collect();
    readings.sort_by_key(|reading| (reading.bolt, Reverse(reading.at), Reverse(reading.id)));
    readings
}

fn verdict(store: &Store, joint: &Joint, readings: &[Reading], now: LocalInstant) -> JointVerdict {
    let stored = StoredJoint { id: 1, bicycle: 1, joint: joint.clone() };
    let workshop = store.workshop_snapshot((&[], &[stored]), readings.iter(), now).unwrap();
    judge_joint(joint, readings, &workshop.judging("hardtail", &Usage::default()))
}

/// The joint, checked by each means, with and without a thread and a figure of its own.
fn joints(store: &Store) -> Vec<Joint> {
    let plain = store.joints(Some(1)).unwrap().remove(0).joint;
    let mut marked = Joint { thread: "M5".into(), grade: "8.8".into(), ..plain.clone() };
    marked.figures.markings = vec![Marking { part: "stem".into(), figure: Figure::read("4-6 N·m") }];
    let by_hand = Joint { check: Check::Function, entry: String::new(), ..plain.clone() };
    let measured = Joint { check: Check::Measure, entry: "rotor-thickness".into(), ..plain.clone() };
    vec![plain, marked, by_hand, measured]
}

/// Whatever the log holds and whenever it is asked, the readings that decide give the verdict that the whole log gives.
#[test]
fn what_decides_judges_as_the_whole_log_does() {
    // The book is loaded once; each case has a joint of its own.
    let shop = RefCell::new((workshop(), 1));
    proptest!(ProptestConfig::with_cases(200), |(
        log in proptest::collection::vec(told(), 1..260), asked in 0_i64..1300,
    )| {
        let (store, joint) = &mut *shop.borrow_mut();
        *joint += 1;
        store.add_joints(1, &[Joint::named(Name::new(&format!("j{joint}")).unwrap())]).unwrap();
        append(store, *joint, &log);
        let now = at("2026-06-01").later_by_ms(asked * 60_000);
        let whole = whole_log(store, *joint);
        let quick = store.deciding_readings([*joint].into_iter(), now).unwrap().remove(joint).unwrap();
        for joint in joints(store) {
            prop_assert_eq!(verdict(store, &joint, &quick, now), verdict(store, &joint, &whole, now));
        }
        let future = |readings: &[Reading]| readings.iter().filter(|reading| reading.at > now).count();
        prop_assert_eq!(future(&quick), future(&whole));
    });
}

fn plain(kind: usize, minute: i64) -> Told {
    (kind, 5, 99, 99, minute * 2, 0)
}

fn kinds(store: &Store) -> Vec<Kind> {
    let found = store.deciding_readings([1].into_iter(), at("2026-06-30")).unwrap();
    found.into_values().flatten().map(|reading| reading.kind).collect()
}

/// A log of so many lines, of which every seventh is a re-check.
fn long_log(lines: i64) -> Store {
    let mut store = workshop();
    let log: Vec<Told> =
        (0..lines).map(|minute| plain(if minute % 7 == 0 { 4 } else { 0 }, minute)).collect();
    append(&mut store, 1, &log);
    store
}

#[test]
fn of_a_long_log_little_is_read() {
    let steps = |lines| {
        let store = long_log(lines);
        assert_eq!(kinds(&store).len(), TREND_LOOKS_AT + 1, "{lines} lines");
        let mut search = store.search(at("2026-06-30")).unwrap();
        search.of_joint(1).unwrap();
        search.by_sort.get_status(StatementStatus::VmStep)
    };
    assert_eq!(steps(1000), steps(4000), "work of SQLite");
}

/// A crack that a new part has put right stays so, however many checks follow; read only as far as a number of lines, the
/// new part was forgotten and the crack was not.
#[test]
fn what_put_a_fault_right_is_not_forgotten() {
    let mut store = workshop();
    let cracked = Finding::ALL.iter().position(|finding| *finding == Finding::Cracked).unwrap();
    let replaced = Action::ALL.iter().position(|action| *action == Action::Replaced).unwrap();
    let mut log = vec![(6, 0, cracked, 99, 0, 0), (6, 0, 99, replaced, 2, 0), plain(0, 2)];
    log.extend((3..103).map(|minute| plain(1, minute)));
    append(&mut store, 1, &log);
    let joint = joints(&store).remove(1);
    let quick = store.deciding_readings([1].into_iter(), at("2026-06-30")).unwrap().remove(&1).unwrap();
    let said = verdict(&store, &joint, &quick, at("2026-06-30"));
    assert_ne!(said.state(), crate::workshop::State::Fault, "{said:?}");
}

/// A torque that no bolt stands was given to it at a check before others: a tightening after the moment asked about does
/// not end what was read since the last one before it.
#[test]
fn a_tightening_of_later_hides_no_check() {
    let mut store = workshop();
    let too_much = (1, 3, 99, 99, 2, 0);
    let log = [plain(0, 0), too_much, plain(1, 2), plain(1, 3), plain(0, 500)];
    append(&mut store, 1, &log);
    let joint = joints(&store).remove(1);
    let now = at("2026-06-01").later_by_ms(60 * 60_000);
    let quick = store.deciding_readings([1].into_iter(), now).unwrap().remove(&1).unwrap();
    let said = verdict(&store, &joint, &quick, now);
    assert_eq!(said.state(), crate::workshop::State::TooMuch, "{said:?}");
}
