//! Readings in and out: values as read, the newest that decide, corrections, twins, all or nothing.

use super::*;
use crate::store::fixture::{at, store_with_joint};

fn store() -> Store {
    store_with_joint(2)
}

fn reading(minute: usize, kind: Kind, value: Option<Value>) -> Reading {
    let at = at("2026-06-01T10:00:00+02:00").later_by_ms(i64::try_from(minute).unwrap() * 60_000);
    Reading { value, who: "Kim".into(), ..Reading::new(at, kind) }
}

fn torque(text: &str) -> Value {
    Value::Torque(quantity::parse_reading(text).unwrap())
}

fn append(store: &mut Store, readings: &[Reading]) -> Vec<i64> {
    let mut appending = store.append().unwrap();
    let ids = readings.iter().map(|new| appending.add(1, new, at("2026-06-02")).unwrap()).collect();
    appending.commit().unwrap();
    ids
}

fn deciding_kinds(store: &Store) -> Vec<Kind> {
    let readings = store.deciding_readings([1].into_iter(), at("2026-06-02")).unwrap();
    readings.into_values().flatten().map(|reading| reading.kind).collect()
}

#[test]
fn a_reading_comes_back_as_it_was_read() {
    let mut store = store();
    for value in [
        None,
        Some(torque("5.10 N·m")),
        Some(torque("44 lbf·in")),
        Some(torque("0 kgf·cm")),
        Some(Value::Measure(Measure::parse("1.70 mm", None).unwrap())),
        Some(Value::Measure(Measure::parse("0.75 %", None).unwrap())),
    ] {
        let kind = if value.is_some() { Kind::Tightened } else { Kind::Skipped };
        let mut new = reading(1, kind, value);
        new.finding = Some(Finding::Creaks);
        new.action = Some(Action::ReLocked);
        let id = append(&mut store, &[new.clone()])[0];
        let log = store.log_of(1).unwrap();
        let found = log.iter().find(|logged| logged.reading.id == id).unwrap();
        assert_eq!(found.reading.at, new.at);
        assert_eq!(found.reading.value.map(shown), value.map(shown));
        assert_eq!((found.reading.finding, found.reading.action), (new.finding, new.action));
        assert_eq!((found.reading.who.as_str(), found.removed, found.reading.corrects), ("Kim", false, None));
    }
}

fn shown(value: Value) -> String {
    match value {
        Value::Torque(read) => format!("{:?} {}", read.number, read.unit),
        Value::Measure(measure) => measure.to_string(),
    }
}

#[test]
fn a_corrected_reading_no_longer_decides_and_is_corrected_once() {
    let mut store = store();
    let first = append(&mut store, &[reading(1, Kind::Tightened, Some(torque("7 N·m")))])[0];
    let correction = Reading { corrects: Some(first), ..reading(1, Kind::Held, Some(torque("5 N·m"))) };
    append(&mut store, std::slice::from_ref(&correction));
    assert_eq!(deciding_kinds(&store), [Kind::Held]);
    let mut appending = store.append().unwrap();
    for corrects in [first, 999] {
        let again = Reading { corrects: Some(corrects), ..correction.clone() };
        assert!(matches!(appending.add(1, &again, at("2026-06-02")), Err(StoreError::NotCorrectable(_))));
    }
    assert_eq!(appending.twin(1, &correction).unwrap(), Some(2));
    assert_eq!(appending.twin(1, &reading(9, Kind::Held, Some(torque("5 N·m")))).unwrap(), None);
}

/// A twin is the same in everything that was read: joint, bolt, moment, kind, value with its unit, finding and action.
#[test]
fn a_line_that_differs_in_anything_read_is_no_twin() {
    let mut store = store();
    let first = reading(1, Kind::Held, Some(torque("5 N·m")));
    let id = append(&mut store, std::slice::from_ref(&first))[0];
    let appending = store.append().unwrap();
    let twin = |change: &dyn Fn(&mut Reading)| {
        let mut other = Reading { who: "Lou".into(), note: "once more".into(), ..first.clone() };
        change(&mut other);
        appending.twin(1, &other).unwrap()
    };
    assert_eq!(twin(&|_| ()), Some(id), "whoever writes it");
    for change in [
        &(|reading: &mut Reading| reading.bolt = 2) as &dyn Fn(&mut Reading),
        &|reading| reading.at = reading.at.later_by_ms(1),
        &|reading| reading.kind = Kind::Moved,
        &|reading| reading.value = Some(torque("5.1 N·m")),
        &|reading| reading.value = Some(torque("5 in-lb")),
        &|reading| reading.value = None,
        &|reading| reading.action = Some(Action::Replaced),
        &|reading| reading.finding = Some(Finding::Creaks),
    ] {
        assert_eq!(twin(change), None);
    }
}

#[test]
fn the_line_written_down_last_tells_when_that_was() {
    let mut store = store();
    for day in ["2026-06-02", "2026-06-03"] {
        let mut appending = store.append().unwrap();
        appending.add(1, &reading(1, Kind::Held, Some(torque("5 N·m"))), at(day)).unwrap();
        appending.commit().unwrap();
    }
    assert_eq!(store.last_recorded().unwrap(), Some(at("2026-06-03")));
}

#[test]
fn what_is_not_committed_is_not_kept() {
    let mut store = store();
    let mut appending = store.append().unwrap();
    appending.add(1, &reading(1, Kind::Tightened, Some(torque("5 N·m"))), at("2026-06-02")).unwrap();
    drop(appending);
    assert_eq!(store.reading_count().unwrap(), 0);
    assert_eq!(store.last_recorded().unwrap(), None);
    append(&mut store, &[reading(1, Kind::Tightened, Some(torque("5 N·m")))]);
    assert_eq!(store.last_recorded().unwrap(), Some(at("2026-06-02")));
}
