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

/// The order of a workshop is its own, whatever its clock said.
#[test]
fn a_clock_that_was_set_back_changes_no_order() {
    let mut here = store_with_joint(2);
    let mut there = copy(&here);
    note(&mut here, 10);
    note(&mut here, 5);
    note(&mut there, 7);
    assert_eq!(here.merge(&there).unwrap(), told(1));
    assert_eq!(here.bicycles(true).unwrap()[0].bicycle.note, "note 5");
}

/// A name that two things had, of which one was called otherwise later, is in nobody's way.
#[test]
fn a_thing_that_waits_for_its_name_is_called_as_it_was_called_later() {
    let mut here = store_with_joint(2);
    let mut there = store_with_joint(2);
    there.sign(Signature { at: at("2026-06-02"), ..Signature::default() });
    let mut changed = there.bicycles(true).unwrap().remove(0);
    changed.bicycle.name = Name::new("loan-8").unwrap();
    there.change_bicycle(&changed).unwrap();
    here.merge(&there).unwrap();
    let mut names: Vec<String> =
        here.bicycles(true).unwrap().into_iter().map(|stored| stored.bicycle.name.to_string()).collect();
    names.sort_unstable();
    assert_eq!(names, ["loan-7", "loan-8"]);
    assert!(here.check_whole().unwrap().faults.is_empty());
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

fn read(store: &mut Store, minutes: &[i64]) {
    for minute in minutes {
        let now = at("2026-06-01").later_by_ms(minute * 60_000);
        store.sign(Signature { at: now, ..Signature::default() });
        let reading = Reading { note: format!("at {minute}"), ..Reading::new(now, Kind::Skipped) };
        let mut appending = store.append().unwrap();
        appending.add(1, &reading, now).unwrap();
        appending.commit().unwrap();
    }
}

/// `#1` that a user was told must not be another reading's without a word.
#[test]
fn every_number_that_changed_is_told_with_what_it_is_now() {
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

/// What both wrote at one moment keeps its number here and gets another one from there.
#[test]
fn of_one_moment_what_is_here_keeps_its_number() {
    let mut here = store_with_joint(2);
    let mut there = copy(&here);
    read(&mut here, &[1]);
    read(&mut there, &[1, 2]);
    let merged = here.merge(&there).unwrap();
    let brought = Renumbered { subject: JournalSubject::Reading, first: 1, last: 2, now: 2 };
    assert_eq!((merged.renumbered, merged.brought), (vec![], vec![brought]));
}
