use super::*;
use crate::conformity::Kind;
use crate::sheet::KeptRecord as _;
use crate::store::fixture::{at, store_with_joint};
use crate::workshop::{Bicycle, Name, Reading, Signature};

fn lines(store: &Store) -> Vec<String> {
    let mut lines = Vec::new();
    store
        .journal(|key, line| -> Result<(), StoreError> {
            lines.push(line.fields(key).join("|"));
            Ok(())
        })
        .unwrap();
    lines
}

fn note(store: &mut Store, minute: i64) {
    let signature = Signature { at: at("2026-06-01").later_by_ms(minute * 60_000), ..Signature::default() };
    store.sign(signature);
    let mut changed = store.bicycles(true).unwrap().remove(0);
    changed.bicycle.note = format!("note {minute}");
    store.change_bicycle(&changed).unwrap();
}

fn copy(store: &Store) -> Store {
    let mut copy = Store::in_memory().unwrap();
    assert_eq!(copy.merge(store).unwrap().added, lines(store).len());
    copy
}

/// So many lines, and no number that changed.
fn told(added: usize) -> Merged {
    Merged { added, renumbered: Vec::new(), brought: Vec::new() }
}

#[test]
fn a_journal_taken_into_an_empty_database_is_the_same_line_for_line() {
    let mut store = store_with_joint(3);
    note(&mut store, 1);
    let copy = copy(&store);
    assert_eq!(lines(&copy), lines(&store));
    assert_eq!(copy.bicycles(true).unwrap(), store.bicycles(true).unwrap());
    assert!(copy.check_whole().unwrap().faults.is_empty());
}

/// Two workshops that went on from the same journal: what each wrote counts once, however often it is brought.
#[test]
fn gathered_journals_count_each_line_once_and_the_later_change_holds() {
    let mut here = store_with_joint(2);
    let mut there = copy(&here);
    note(&mut here, 1);
    note(&mut there, 2);
    note(&mut here, 3);
    note(&mut there, 4);
    assert_eq!(here.merge(&there).unwrap(), told(2));
    assert_eq!(here.merge(&there).unwrap(), told(0));
    assert_eq!(here.bicycles(true).unwrap()[0].bicycle.note, "note 4");
    assert_eq!(there.merge(&here).unwrap().added, 2);
    assert_eq!(lines(&there), lines(&here));
    note(&mut here, 5);
    let length = lines(&here).len();
    assert!(here.check_whole().unwrap().faults.is_empty());
    assert_eq!(length, lines(&there).len() + 1);
}

#[test]
fn what_is_newer_than_all_that_is_here_is_put_behind_it() {
    let mut here = store_with_joint(2);
    let mut there = copy(&here);
    note(&mut there, 2);
    assert_eq!(here.merge(&there).unwrap(), told(1));
    assert_eq!(lines(&here), lines(&there));
}

#[test]
fn a_name_that_both_have_given_is_refused_and_nothing_is_taken_in() {
    let mut here = store_with_joint(2);
    let other = store_with_joint(2);
    let before = lines(&here);
    let refused = here.merge(&other);
    assert!(matches!(&refused, Err(StoreError::NameTaken(name)) if name == "loan-7"), "{refused:?}");
    assert_eq!(lines(&here), before);
    note(&mut here, 1);
    let mut third = Store::in_memory().unwrap();
    let bicycle = Bicycle { name: Name::new("loan-8").unwrap(), added: at("2025-01-01"), ..Bicycle::blank() };
    third.add_bicycle(&bicycle, &[]).unwrap();
    assert_eq!(here.merge(&third).unwrap(), told(1), "a bicycle is called by its name");
    assert_eq!(here.bicycles(true).unwrap().len(), 2);
    assert!(here.check_whole().unwrap().faults.is_empty());
}

/// `#1` that a user was told must not be another reading's without a word.
#[test]
fn every_number_that_changed_is_told_with_what_it_is_now() {
    let read = |store: &mut Store, minutes: &[i64]| {
        for minute in minutes {
            let now = at("2026-06-01").later_by_ms(minute * 60_000);
            store.sign(Signature { at: now, ..Signature::default() });
            let reading = Reading { note: format!("at {minute}"), ..Reading::new(now, Kind::Skipped) };
            let mut appending = store.append().unwrap();
            appending.add(1, &reading, now).unwrap();
            appending.commit().unwrap();
        }
    };
    let mut here = store_with_joint(2);
    let mut there = copy(&here);
    read(&mut here, &[1, 2, 5, 6, 9]);
    read(&mut there, &[3, 4, 7]);
    let run = |first, last, now| Renumbered { subject: JournalSubject::Reading, first, last, now };
    let before = here.log_of(1).unwrap();
    let merged = here.merge(&there).unwrap();
    assert_eq!(merged.renumbered, [run(3, 4, 5), run(5, 5, 8)]);
    assert_eq!(merged.brought, [run(1, 2, 3), run(3, 3, 7)]);
    let now = here.log_of(1).unwrap();
    for logged in before {
        let was = logged.reading.id;
        let moved = merged.renumbered.iter().find(|run| (run.first..=run.last).contains(&was));
        let number = moved.map_or(was, |run| was - run.first + run.now);
        let found = now.iter().find(|logged| logged.reading.id == number).unwrap();
        assert_eq!(found.reading.note, logged.reading.note);
    }
}
