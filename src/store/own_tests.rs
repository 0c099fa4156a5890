//! The workshop's own figures: properties that hold for whatever is brought in.

use std::cell::RefCell;

use proptest::prelude::*;
use proptest::sample::{Index, select};

use super::*;
use crate::book::{Consensus, Diagnostics, compiled_in, consensus, write_sheet};
use crate::sheet::{read_placed_records, record_fields, record_header};

thread_local! {
    /// Stores with the compiled-in book and no figures of their own, each with what it says so; loading takes long.
    static STORE: RefCell<Untouched> = RefCell::new(Untouched::new());
    static OTHER: RefCell<Store> = RefCell::new(fresh());
}

struct Untouched {
    store: Store,
    amounts: Vec<(String, Consensus)>,
    exported: Vec<Vec<u8>>,
    /// Entry and issuer of every row that counts.
    speakers: Vec<(String, String)>,
}

impl Untouched {
    fn new() -> Untouched {
        let store = fresh();
        let entries = store.all_entries().unwrap();
        let counted =
            entries.iter().flat_map(|(_, evidence)| evidence.iter().filter(|row| row.claim.counted));
        let speakers = counted.map(|row| (row.entry.clone(), row.source.issuer.clone())).collect();
        Untouched { amounts: amounts(&store), exported: exported(&store), speakers, store }
    }
}

fn fresh() -> Store {
    let mut store = Store::in_memory().unwrap();
    store.load_book(&Book::read(&compiled_in()).unwrap(), &BookOrigin::CompiledIn).unwrap();
    store
}

/// What the evidence for each entry amounts to.
fn amounts(store: &Store) -> Vec<(String, Consensus)> {
    let entries = store.all_entries().unwrap().into_iter();
    entries.map(|(entry, evidence)| (entry.entry, consensus(&evidence))).collect()
}

fn exported(store: &Store) -> Vec<Vec<u8>> {
    store.book_rows().unwrap().into_iter().map(|(sheet, rows)| write_sheet(sheet, &rows).unwrap()).collect()
}

/// Figures written as a sheet and read from it.
fn read_back(figures: &[OwnFigure]) -> Vec<OwnFigure> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(record_header::<OwnFigure>(None)).unwrap();
    for figure in figures {
        writer.write_record(record_fields(None, figure)).unwrap();
    }
    let mut diagnostics = Diagnostics::default();
    let bytes = writer.into_inner().unwrap();
    let read = read_placed_records::<OwnFigure>("own", None, &bytes, &mut diagnostics);
    assert!(diagnostics.into_sorted().is_empty());
    read.into_iter().map(|(_, figure, _)| figure).collect()
}

/// A figure of an entry that an index picks.
#[derive(Debug, Clone)]
struct Brought {
    entry: Index,
    value: String,
    issuer: String,
    grade: &'static str,
}

impl Brought {
    fn figure(&self, amounts: &[(String, Consensus)]) -> OwnFigure {
        of_bench(&self.entry.get(amounts).0, &self.value, &self.issuer, self.grade)
    }
}

fn of_bench(entry: &str, value: &str, issuer: &str, grade: &str) -> OwnFigure {
    OwnFigure {
        entry: entry.to_owned(),
        value: value.to_owned(),
        issuer: issuer.to_owned(),
        source: "a part on the bench".to_owned(),
        locator: "beside the bolt".to_owned(),
        grade: grade.to_owned(),
        ..OwnFigure::default()
    }
}

fn brought() -> impl Strategy<Value = Brought> {
    let value = prop_oneof![
        (2u32..60).prop_map(|n| format!("{n} N·m")),
        (2u32..60).prop_map(|n| format!("max {n} N·m")),
        (2u32..60, 1u32..9).prop_map(|(n, more)| format!("{n}-{} N·m", n + more)),
        (20u32..300).prop_map(|n| format!("{n} lbf·in")),
    ];
    let issuer = prop_oneof![
        select(vec!["Nordwind", "Halm", "shimano", "SRAM LLC", "Trek bikes", "maker not stated"])
            .prop_map(str::to_owned),
        "[A-Z][a-z]{2,7}",
    ];
    let grade = select(vec!["marking", "published", "secondhand"]);
    (any::<Index>(), value, issuer, grade).prop_map(|(entry, value, issuer, grade)| Brought {
        entry,
        value,
        issuer,
        grade,
    })
}

/// 200 of each, or as many as `PROPTEST_CASES` asks for.
fn cases() -> u32 {
    std::env::var("PROPTEST_CASES").ok().map_or(200, |asked| asked.parse().unwrap())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases()))]

    #[test]
    fn what_is_added_changes_its_own_entries_alone_and_leaves_no_trace_when_removed(
        brought in proptest::collection::vec(brought(), 1..4)
    ) {
        STORE.with_borrow_mut(|Untouched { store, amounts: before, exported: book, .. }| {
            let figures: Vec<OwnFigure> = brought.iter().map(|one| one.figure(before)).collect();
            let taken = store.take_in(None, &figures).unwrap();
            let during = amounts(store);
            prop_assert_eq!(before.len(), during.len());
            for (before, during) in before.iter().zip(&during) {
                let touched = figures.iter().any(|figure| figure.entry == before.0);
                prop_assert!(touched || before == during, "{before:?} {during:?}");
                prop_assert_eq!(during.1.own > 0, touched);
            }
            prop_assert_eq!(&exported(store), &*book);
            for number in taken.added {
                prop_assert_eq!(store.remove_own(number).unwrap().map(|row| row.number), Some(number));
            }
            prop_assert_eq!(&amounts(store), &*before);
            prop_assert_eq!(&exported(store), &*book);
            Ok(())
        })?;
    }

    /// Its name in other letters, without the form of the company, or twice.
    #[test]
    fn an_issuer_that_speaks_already_does_not_count_twice(
        brought in brought(), pick in any::<Index>(), upper in any::<bool>()
    ) {
        STORE.with_borrow_mut(|Untouched { store, amounts, speakers, .. }| {
            let (entry, name) = pick.get(speakers);
            let issuer = if upper { name.to_uppercase() } else { name.replace(" Inc.", "") };
            let before: Vec<_> = amounts.iter().filter(|(key, _)| key == entry).cloned().collect();
            let figure = OwnFigure { issuer, ..brought.figure(&before) };
            let again = OwnFigure { value: "7 N·m".to_owned(), ..figure.clone() };
            let taken = store.take_in(None, &[figure, again]).unwrap();
            let after = store.page(entry).unwrap().unwrap().consensus();
            for number in taken.added {
                store.remove_own(number).unwrap();
            }
            prop_assert_eq!((after.issuers, after.own), (before[0].1.issuers, 1));
            Ok(())
        })?;
    }

    #[test]
    fn another_database_that_takes_them_in_says_the_same(
        brought in proptest::collection::vec(brought(), 1..6)
    ) {
        let (before, kept, said) = STORE.with_borrow_mut(|Untouched { store, amounts: before, .. }| {
            let figures: Vec<OwnFigure> = brought.iter().map(|one| one.figure(before)).collect();
            let taken = store.take_in(None, &figures).unwrap();
            let kept: Vec<OwnFigure> = store.own_rows().unwrap().into_iter().map(|row| row.figure).collect();
            let said = amounts(store);
            taken.added.iter().for_each(|number| drop(store.remove_own(*number).unwrap()));
            (before.clone(), kept, said)
        });
        let kept = read_back(&kept);
        OTHER.with_borrow_mut(|store| {
            let taken = store.take_in(None, &kept).unwrap();
            let (rows, also_said) = (store.own_rows().unwrap(), amounts(store));
            // Taken in twice it counts once.
            let again = store.take_in(None, &kept).unwrap();
            taken.added.iter().for_each(|number| drop(store.remove_own(*number).unwrap()));
            prop_assert_eq!(also_said, said);
            prop_assert_eq!((again.added.len(), again.known), (0, kept.len()));
            prop_assert_eq!(rows.into_iter().map(|row| row.figure).collect::<Vec<_>>(), kept);
            prop_assert_eq!(&amounts(store), &before);
            Ok(())
        })?;
    }
}

fn figure(entry: &str, issuer: &str, value: &str) -> OwnFigure {
    of_bench(entry, value, issuer, "marking")
}

/// A number that was taken out is not given to another figure.
#[test]
fn no_number_is_used_twice() {
    let mut store = fresh();
    let figures = [figure("general-m5", "Nordwind", "5 N·m"), figure("general-m5", "Halm", "5 N·m")];
    assert_eq!(store.take_in(None, &figures).unwrap().added, [1, 2]);
    store.remove_own(2).unwrap();
    assert_eq!(store.remove_own(2).unwrap(), None);
    assert_eq!(store.take_in(None, &figures).unwrap(), TakenIn { added: vec![3], known: 1 });
}

/// Bare entries, which an audit judges by, hear of them too.
#[test]
fn bare_entries_hold_own_figures() {
    let mut store = fresh();
    let key = "crank-pinch-bolts";
    store.take_in(None, &[figure(key, "Nordwind", "13 N·m")]).unwrap();
    let bare = store.bare_entries().unwrap().into_iter().find(|bare| bare.entry == key).unwrap();
    assert_eq!(consensus(&bare.claims), store.page(key).unwrap().unwrap().consensus());
    assert_eq!(consensus(&bare.claims).own, 1);
}
