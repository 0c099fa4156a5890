//! The count against the rule as it is spoken, in a log of every kind of line; and what it costs.

use jiff::civil::{Date, date};

use super::*;
use crate::quantity::{Measure, newton_metres as nm, parse_reading};
use crate::store::fixture::{at, store_with_joint};
use crate::workshop::{Reading, Value};
use crate::wrench::{Calibration, CalibrationResult, Interval, Wrench, WrenchKind, WrenchParts};

const TODAY: Date = date(2026, 6, 30);

/// A store with one joint and the wrenches `small`, allowed three operations, and `other`, both calibrated
/// on 1 June.
fn store() -> Store {
    let mut store = store_with_joint(4);
    for name in ["small", "other"] {
        let good = Calibration { on: date(2026, 6, 1), result: CalibrationResult::Passed };
        let parts = WrenchParts {
            calibrations: vec![good],
            interval: Interval::new(12, 3).unwrap(),
            ..WrenchParts::new(name, WrenchKind::Click, nm(2.0), nm(10.0))
        };
        let wrench = Wrench::new(parts, TODAY).unwrap();
        store.add_wrench(&wrench, TODAY).unwrap();
    }
    store
}

fn with(wrench: &str, taken_at: &str) -> Reading {
    let value = Some(Value::Torque(parse_reading("5 N·m").unwrap()));
    Reading { value, wrench: Some(wrench.to_owned()), ..Reading::new(at(taken_at), Kind::Tightened) }
}

fn append(store: &mut Store, readings: &[Reading]) -> Vec<i64> {
    let mut appending = store.append().unwrap();
    let ids = readings.iter().map(|new| appending.add(1, new, at("2026-06-30")).unwrap()).collect();
    appending.commit().unwrap();
    ids
}

fn cycles(store: &Store, wrench: &str) -> Option<u32> {
    store.cycles(&store.wrench(wrench).unwrap().unwrap()).unwrap()
}

/// Lines of a wrench that are in doubt for the number of its operations.
fn spent(store: &Store, wrench: &str) -> Vec<i64> {
    let registered = store.wrench(wrench).unwrap().unwrap();
    let mut readings: Vec<Reading> =
        store.log_of(1).unwrap().into_iter().map(|logged| logged.reading).collect();
    readings.retain(|reading| {
        let line = Line { instant: reading.at.instant(), number: reading.id };
        let standing = registered.wrench.history().standing(reading.at.date(), Some(line));
        reading.wrench.as_deref() == Some(wrench) && standing.is_err()
    });
    readings.into_iter().map(|reading| reading.id).collect()
}

#[test]
fn readings_count_in_the_order_in_which_they_were_taken_whenever_they_were_written_down() {
    let mut store = store();
    let days = ["2026-06-05T10:00Z", "2026-06-04T10:00Z", "2026-06-03T10:00Z", "2026-06-02T10:00Z"];
    append(&mut store, &days.map(|day| with("small", day))[..3]);
    assert_eq!((cycles(&store, "small"), spent(&store, "small")), (Some(3), vec![]));
    append(&mut store, &[with("small", days[3])]);
    assert_eq!((cycles(&store, "small"), spent(&store, "small")), (Some(4), vec![1]));
    assert_eq!((cycles(&store, "other"), spent(&store, "other")), (Some(0), vec![]));
}

#[test]
fn the_bolts_of_one_instant_count_one_by_one() {
    let mut store = store();
    append(&mut store, &[1, 2, 3, 4].map(|bolt| Reading { bolt, ..with("small", "2026-06-02T10:00Z") }));
    assert_eq!((cycles(&store, "small"), spent(&store, "small")), (Some(4), vec![4]));
}

#[test]
fn what_is_no_operation_does_not_count() {
    let mut store = store();
    let plain = with("small", "2026-06-02T10:00Z");
    let none = |kind, value| Reading { kind, value, ..plain.clone() };
    let torque = plain.value;
    append(
        &mut store,
        &[
            none(Kind::Skipped, None),
            none(Kind::ByHand, None),
            none(Kind::ByHand, torque),
            none(Kind::Tightened, Some(Value::Measure(Measure::parse("1.7 mm", None).unwrap()))),
            Reading { wrench: None, ..plain.clone() },
            with("other", "2026-06-02T10:00Z"),
            // The day before the calibration, though the instant lies in its day elsewhere.
            with("small", "2026-05-31T23:30-05:00"),
        ],
    );
    assert_eq!((cycles(&store, "small"), cycles(&store, "other")), (Some(0), Some(1)));
    let others = [Kind::Held, Kind::Moved, Kind::Loosening, Kind::BackToMark].map(|kind| none(kind, torque));
    append(&mut store, &others);
    append(&mut store, &[with("small", "2026-06-01T00:10+14:00")]);
    assert_eq!(
        cycles(&store, "small"),
        Some(5),
        "kinds with a torque, and the day of the calibration itself"
    );
    for unit in TorqueUnit::ALL {
        let read = parse_reading(&format!("5 {}", unit.symbol())).unwrap();
        append(&mut store, &[none(Kind::Tightened, Some(Value::Torque(read)))]);
    }
    assert_eq!(cycles(&store, "small"), Some(5 + u32::try_from(TorqueUnit::ALL.len()).unwrap()));
}

#[test]
fn a_correction_takes_the_place_of_what_it_corrects() {
    let mut store = store();
    append(&mut store, &[2, 3, 4, 5].map(|day| with("small", &format!("2026-06-0{day}T10:00Z"))));
    assert_eq!(spent(&store, "small"), [4]);
    let corrects = Some(2);
    // The second was read with the other wrench.
    append(&mut store, &[Reading { corrects, ..with("other", "2026-06-03T10:00Z") }]);
    assert_eq!((cycles(&store, "small"), spent(&store, "small")), (Some(3), vec![]));
    assert_eq!(cycles(&store, "other"), Some(1));
    // The third had another value: it is still one operation.
    append(&mut store, &[Reading { corrects: Some(3), ..with("small", "2026-06-04T10:00Z") }]);
    assert_eq!((cycles(&store, "small"), spent(&store, "small")), (Some(3), vec![]));
}

#[test]
fn a_calibration_begins_anew() {
    let mut store = store();
    let days = [2, 3, 4, 5, 15, 16, 17, 18, 19];
    append(&mut store, &days.map(|day| with("small", &format!("2026-06-{day:02}T10:00Z"))));
    assert_eq!((cycles(&store, "small"), spent(&store, "small")), (Some(9), vec![4, 5, 6, 7, 8, 9]));
    let calibrate = |store: &mut Store, day, result| {
        let calibration = Calibration { on: date(2026, 6, day), result };
        assert!(store.calibrate_wrench("small", calibration, "").unwrap());
    };
    calibrate(&mut store, 15, CalibrationResult::Passed);
    assert_eq!((cycles(&store, "small"), spent(&store, "small")), (Some(5), vec![4, 8, 9]));
    calibrate(&mut store, 30, CalibrationResult::Failed);
    assert_eq!(cycles(&store, "small"), Some(5), "a failed calibration begins no count");
    calibrate(&mut store, 30, CalibrationResult::Passed);
    assert_eq!(cycles(&store, "small"), Some(0));
}

#[test]
fn what_was_read_on_the_day_of_the_next_calibration_counts_after_that_one_alone() {
    let mut store = store();
    let again = Calibration { on: date(2026, 6, 15), result: CalibrationResult::Passed };
    store.calibrate_wrench("small", again, "").unwrap();
    append(&mut store, &[2, 3, 4, 15].map(|day| with("small", &format!("2026-06-{day:02}T10:00Z"))));
    assert_eq!((cycles(&store, "small"), spent(&store, "small")), (Some(1), vec![]));
}

#[test]
fn a_wrench_that_was_never_calibrated_has_no_count() {
    let mut store = store();
    let parts = WrenchParts::new("new", WrenchKind::Click, nm(2.0), nm(10.0));
    store.add_wrench(&Wrench::new(parts, TODAY).unwrap(), TODAY).unwrap();
    append(&mut store, &[with("new", "2026-06-02T10:00Z")]);
    assert_eq!(cycles(&store, "new"), None);
}

/// Counting looks at the index alone, and sorts nothing.
#[test]
fn the_index_answers() {
    let store = store();
    let sql = format!(
        "EXPLAIN QUERY PLAN SELECT r.id FROM reading r WHERE {}
           ORDER BY substr(r.taken_at, 1, 10), r.instant, r.id LIMIT 1 OFFSET 3",
        store.operations(1).unwrap()
    );
    let mut query = store.connection.prepare(&sql).unwrap();
    let plan: Vec<String> = query
        .query_map(params![1, "2026-06-01", AFTER_EVERY_DAY], |row| row.get(3))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    assert!(plan[0].contains("COVERING INDEX reading_by_wrench"), "{plan:?}");
    assert!(!plan.iter().any(|step| step.contains("SCAN") || step.contains("TEMP B-TREE")), "{plan:?}");
}
