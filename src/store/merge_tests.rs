use super::*;
use crate::sheet::KeptRecord as _;
use crate::store::fixture::{at, store_with_joint};
use crate::workshop::{Bicycle, Name, Signature};

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
    assert_eq!(here.merge(&there).unwrap(), Merged { added: 2, renumbered: true });
    assert_eq!(here.merge(&there).unwrap(), Merged { added: 0, renumbered: false });
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
    assert_eq!(here.merge(&there).unwrap(), Merged { added: 1, renumbered: false });
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
    assert!(here.merge(&third).unwrap().renumbered, "older lines stand before ours");
    assert_eq!(here.bicycles(true).unwrap().len(), 2);
    assert!(here.check_whole().unwrap().faults.is_empty());
}
