use super::*;
use crate::book::{EventKind, OwnFigure, Round};
use crate::conformity::{Deviation, Kind};
use crate::quantity::{newton_metres, parse_reading};
use crate::sheet::KeptRecord as _;
use crate::store::fixture::{at, store_with_joint};
use crate::workshop::{Event, Figure, Marking, Reading, Signature, Value};
use crate::wrench::{Calibration, CalibrationResult, StatedAccuracy, Wrench, WrenchKind, WrenchParts};
use proptest::prelude::*;

/// One of the things that change a workshop, by number, signed with its minute.
fn change(store: &mut Store, what: u8, minute: u32) {
    let now = at("2026-06-01").later_by_ms(i64::from(minute) * 60_000);
    store.sign(Signature { at: now, who: "Kim".into(), why: format!("change {minute}") });
    let bicycle = store.bicycles(true).unwrap().remove(0);
    let joints = store.joints(Some(bicycle.id)).unwrap();
    let wrench = format!("w{}", what % 2);
    match what {
        0 => {
            let mut joint = joints[0].joint.clone();
            joint.name = crate::workshop::Name::new(&format!("j{minute}")).unwrap();
            store.add_joints(bicycle.id, &[joint]).unwrap();
        }
        1 => {
            let mut changed = joints[0].clone();
            let figure = Figure::read(&format!("max {minute} N·m"));
            changed.joint.figures.markings = vec![Marking { part: "bar".into(), figure }];
            changed.joint.bolts = 2 + u16::from(what);
            store.change_joints(&[changed]).unwrap();
        }
        2 if joints.len() > 1 => store.remove_joint(joints[1].id, minute.is_multiple_of(2)).unwrap(),
        3 => {
            let mut changed = bicycle;
            changed.bicycle.note = format!("note {minute}");
            changed.bicycle.retired = minute.is_multiple_of(2).then_some(now);
            store.change_bicycle(&changed).unwrap();
        }
        4 => {
            let event = Event { kind: EventKind::Ride, at: now, km: Some(0.1), ..Event::blank() };
            store.add_event(&[bicycle.id], &event, now).unwrap();
        }
        5 => match store.open_visit(bicycle.id).unwrap() {
            None => store.start_visit(bicycle.id, now, Round::Before).unwrap(),
            Some(_) => store.end_visit(bicycle.id, now).unwrap(),
        },
        6 | 7 => add_wrench(store, &wrench, (now, minute)),
        8 => {
            let failed = Calibration { on: now.date(), result: CalibrationResult::Failed };
            store.calibrate_wrench(&wrench, failed, "fell").unwrap();
        }
        9 => {
            store.retire_wrench(&wrench, now.date()).unwrap();
        }
        _ => change_lists(store, what, (joints[0].id, now, minute)),
    }
}

/// A name is given once: the second time it is refused.
fn add_wrench(store: &mut Store, name: &str, (now, minute): (LocalInstant, u32)) {
    let length = uom::si::f64::Length::new::<uom::si::length::millimeter>(f64::from(minute) / 3.0);
    let parts = WrenchParts {
        adapters: vec![length],
        accuracy: StatedAccuracy::Percent(Deviation::percent(7.0 / f64::from(minute)).unwrap()),
        lever: Some(length),
        calibrations: vec![Calibration { on: now.date(), result: CalibrationResult::Passed }],
        ..WrenchParts::new(name, WrenchKind::Click, newton_metres(2.0), newton_metres(20.0 / 3.0))
    };
    let known = store.wrench(name).unwrap().is_some();
    let wrench = Wrench::new(parts, now.date()).unwrap();
    assert_eq!(store.add_wrench(&wrench, now.date()).is_err(), known);
}

/// The same of what is appended to a list.
fn change_lists(store: &mut Store, what: u8, (joint, now, minute): (i64, LocalInstant, u32)) {
    match what {
        10 => {
            let figure =
                OwnFigure { entry: format!("e{minute}"), grade: "marking".into(), ..OwnFigure::default() };
            store.take_in(None, &[figure]).unwrap();
        }
        11 => {
            let number = store.own_rows().unwrap().first().map_or(7, |row| row.number);
            store.remove_own(number).unwrap();
        }
        _ => {
            let wrench = store.wrenches().unwrap().first().map(|known| known.wrench.name().to_owned());
            let newest = store.log_of(joint).unwrap().into_iter().rfind(|log| log.corrected_by.is_none());
            let reading = Reading {
                value: parse_reading(&format!("{minute}.50 in-lb")).map(Value::Torque).ok(),
                wrench,
                note: "a \"note\",\nof two lines".into(),
                corrects: newest.filter(|_| what == 13).map(|log| log.reading.id),
                ..Reading::new(now, Kind::Tightened)
            };
            let mut appending = store.append().unwrap();
            appending.add(joint, &reading, now).unwrap();
            appending.commit().unwrap();
        }
    }
}

/// Every row of every table that follows from the journal.
fn dump(store: &Store) -> Vec<String> {
    let rows = TABLES.iter().flat_map(|table| {
        let sql = format!("SELECT * FROM {table} ORDER BY 1, 2");
        let mut query = store.connection.prepare(&sql).unwrap();
        let columns = query.column_count();
        let rows = query.query_map([], |row| {
            let cells = (0..columns).map(|column| Ok(format!("{:?}", row.get_ref(column)?)));
            Ok(format!("{table} {}", cells.collect::<Result<Vec<_>, rusqlite::Error>>()?.join("|")))
        });
        rows.unwrap().map(Result::unwrap).collect::<Vec<_>>()
    });
    rows.collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Whatever is done, the tables are those that the journal gives, and so they were at every earlier moment.
    #[test]
    fn the_past_is_what_it_was(changes in proptest::collection::vec(0_u8..14, 1..40)) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("book.db");
        let mut store = Store::open(&path).unwrap();
        store.restore_from(&store_with_joint(2));
        let mut dumps = Vec::new();
        for (minute, what) in (1..).zip(changes) {
            change(&mut store, what, minute);
            dumps.push((minute, dump(&store)));
        }
        for (minute, then) in dumps.iter().step_by(5).chain(dumps.last()) {
            let moment = at("2026-06-01").later_by_ms(i64::from(*minute) * 60_000);
            let past = Store::open(&path).unwrap().known_at(moment).unwrap();
            prop_assert_eq!(&dump(&past), then, "after {} changes", minute);
        }
        let found = store.check_whole().unwrap();
        prop_assert!(found.faults.is_empty(), "{:?}", found.faults);
        prop_assert!(found.lines >= 2);
    }
}

impl Store {
    /// The workshop of another store, by way of a backup.
    fn restore_from(&mut self, other: &Store) {
        let folder = tempfile::tempdir().unwrap();
        let backup = folder.path().join("backup.db");
        other.back_up(&backup).unwrap();
        self.restore(&backup).unwrap();
    }
}

fn worked() -> Store {
    let mut store = store_with_joint(2);
    for (minute, what) in (1..).zip([6, 12, 13, 12, 4, 5, 1, 10]) {
        change(&mut store, what, minute);
    }
    store
}

#[test]
fn the_journal_is_only_added_to() {
    let store = worked();
    let before = dump(&store);
    for change in [
        "UPDATE journal SET who = 'x'",
        "DELETE FROM journal",
        "REPLACE INTO journal SELECT * FROM journal WHERE number = 3",
        "REPLACE INTO event SELECT * FROM event",
        "REPLACE INTO calibration SELECT * FROM calibration",
    ] {
        assert!(store.connection.execute_batch(change).is_err(), "{change}");
    }
    assert_eq!(dump(&store), before);
    assert!(store.check_whole().unwrap().faults.is_empty());
}

#[test]
fn what_was_changed_behind_the_programs_back_is_seen() {
    for (damage, said) in [
        ("DROP TRIGGER reading_is_kept; UPDATE reading SET value = 3 WHERE id = 1", "reading table"),
        ("DROP TRIGGER reading_stays; DELETE FROM reading WHERE id = 3", "reading table"),
        ("UPDATE marking SET figure = 'max 9 N·m'", "marking table"),
        ("UPDATE bicycle SET owner = 'me'", "bicycle table"),
        ("DROP TRIGGER journal_is_kept; UPDATE journal SET who = 'me' WHERE number = 2", "line 2"),
        (
            "DROP TRIGGER journal_is_kept; UPDATE journal SET recorded_at = '2026-05-01' WHERE number = 4",
            "line 4",
        ),
        ("DROP TRIGGER journal_stays; DELETE FROM journal WHERE number = 3", "before line 3"),
        (
            "INSERT INTO event (bicycle, kind, at, what, note, recorded_at) VALUES (1, 'wash', '2026-06-01', '', '', '')",
            "event table",
        ),
    ] {
        let store = worked();
        store.connection.execute_batch(damage).unwrap();
        let faults = store.check_whole().unwrap().faults.join("; ");
        assert!(faults.contains(said), "{damage}: {faults}");
    }
}

#[test]
fn a_change_that_changes_nothing_is_no_line() {
    let mut store = worked();
    let joints = store.joints(None).unwrap();
    let lines = |store: &Store| {
        store.connection.query_row("SELECT count(*) FROM journal", [], |row| row.get::<_, i64>(0)).unwrap()
    };
    let before = lines(&store);
    store.change_joints(&joints).unwrap();
    assert_eq!(lines(&store), before);
}
