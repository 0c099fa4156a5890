//! What is looked up is exactly what the whole log has of it.

use jiff::civil::date;
use proptest::prelude::*;

use super::*;
use crate::book::{Book, compiled_in};
use crate::conformity::Kind;
use crate::quantity::{newton_metres, parse_reading};
use crate::store::BookOrigin;
use crate::store::fixture::{at, store_with_joint};
use crate::workshop::{Reading, Value};
use crate::wrench::{Wrench, WrenchKind, WrenchParts};

const WRENCHES: [&str; 2] = ["big", "small"];
const PEOPLE: [&str; 3] = ["", "Ada", "Kim"];

/// A log of readings by numbers: wrench, person, bolt, day.
fn store(log: &[(usize, usize, u16, i64)]) -> Store {
    let mut store = store_with_joint(2);
    store.load_book(&Book::read(&compiled_in()).unwrap(), &BookOrigin::CompiledIn).unwrap();
    for name in WRENCHES {
        let parts = WrenchParts::new(name, WrenchKind::Click, newton_metres(2.0), newton_metres(10.0));
        store.add_wrench(&Wrench::new(parts, date(2026, 6, 1)).unwrap(), date(2026, 6, 1)).unwrap();
    }
    let mut appending = store.append().unwrap();
    for (wrench, person, bolt, day) in log {
        let reading = Reading {
            bolt: *bolt,
            wrench: WRENCHES.get(*wrench).map(|name| (*name).to_owned()),
            who: PEOPLE[*person].to_owned(),
            value: parse_reading("5 N·m").map(Value::Torque).ok(),
            ..Reading::new(at("2026-06-01").later_by_ms(day * 86_400_000), Kind::Tightened)
        };
        appending.add(1, &reading, at("2026-07-01")).unwrap();
    }
    appending.commit().unwrap();
    store
}

#[test]
fn all_that_is_asked_for_is_found_and_nothing_else() {
    let log: Vec<(usize, usize, u16, i64)> = (0..60)
        .zip(0..)
        .map(|(line, day)| (line * 7 % 3, line * 5 / 3 % 3, 1 + u16::from(line % 4 == 0), day * 11 % 20))
        .collect();
    let store = store(&log);
    proptest!(ProptestConfig::with_cases(100), |(
        wrench in 0_usize..3, person in 0_usize..3, bolt in 0_u16..3, since in 1_i8..24, until in 1_i8..24,
    )| {
        let asked = LookBack {
            wrench: WRENCHES.get(wrench).map(|name| name.to_uppercase()),
            by: Some(PEOPLE[person].to_uppercase()).filter(|name| !name.is_empty()),
            bolt: Some(bolt).filter(|bolt| *bolt > 0),
            since: Some(since).filter(|day| *day < 20).map(|day| date(2026, 6, day)),
            until: Some(until).filter(|day| *day < 20).map(|day| date(2026, 6, day)),
            ..LookBack::default()
        };
        let fits = |(a_wrench, a_person, a_bolt, day): &(usize, usize, u16, i64)| {
            let day = i8::try_from(*day).unwrap() + 1;
            (wrench == 2 || *a_wrench == wrench) && (person == 0 || *a_person == person)
                && (bolt == 0 || *a_bolt == bolt) && (since >= 20 || day >= since) && (until >= 20 || day <= until)
        };
        let found = store.look_back(&asked, at("2026-07-02")).unwrap();
        let mut numbers: Vec<i64> = found.iter().map(|one| one.logged.reading.id).collect();
        numbers.sort_unstable();
        let wanted: Vec<i64> = (1..).zip(&log).filter(|(_, told)| fits(told)).map(|(id, _)| id).collect();
        prop_assert_eq!(numbers, wanted);
        let place = |one: &Recalled| (one.logged.reading.bolt, one.logged.reading.at, one.logged.reading.id);
        prop_assert!(found.iter().map(place).is_sorted());
    });
}
