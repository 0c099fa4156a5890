//! What the book says beside what its papers print (`published/book_figures.csv`), how many figures were taken in of
//! which document (`book_taken_in.csv`), and what they made of the states (`book_states.csv`; the states were worked
//! out by a second program, which shares no code with this one).

use std::collections::{BTreeMap, BTreeSet};

use evenclamp::book::{Book, Commonness, Entry, Evidence, compiled_in, consensus};
use evenclamp::quantity::{Spec, in_newton_metres};
use evenclamp::store::{BookOrigin, Store};
use serde::Deserialize;

use crate::table;

pub fn entries() -> Vec<(Entry, Vec<Evidence>)> {
    let mut store = Store::in_memory().unwrap();
    store.load_book(&Book::read(&compiled_in()).unwrap(), &BookOrigin::CompiledIn).unwrap();
    store.all_entries().unwrap()
}

/// A row of a paper, as typed in from it.
#[derive(Deserialize)]
struct Figure {
    entry: String,
    issuer: String,
    printed: String,
    low_nm: Option<f64>,
    high_nm: Option<f64>,
    source: String,
    grade: String,
}

fn ends(spec: Spec) -> (Option<f64>, Option<f64>) {
    let (low, high) = match spec {
        Spec::Set(value) => (Some(value), Some(value)),
        other => other.limits(),
    };
    (low.map(in_newton_metres), high.map(in_newton_metres))
}

#[test]
fn the_book_has_what_the_papers_print() {
    let entries = entries();
    for figure in table::rows::<Figure>("book_figures.csv") {
        let (_, evidence) =
            entries.iter().find(|(entry, _)| entry.entry == figure.entry).expect(&figure.entry);
        let is_meant = |value: &&Evidence| {
            value.source.issuer == figure.issuer
                && format!("{} {}", value.printed_value, value.printed_unit) == figure.printed
        };
        let value = evidence.iter().find(is_meant).unwrap_or_else(|| panic!("{}", figure.entry));
        let (low, high) = ends(value.claim.stated.spec);
        for (ours, printed) in [(low, figure.low_nm), (high, figure.high_nm)] {
            let alike = ours.zip(printed).is_some_and(|(a, b)| (a - b).abs() < 0.0006);
            assert!(alike || (ours, printed) == (None, None), "{}: {}", figure.entry, figure.source);
        }
        assert_eq!(value.claim.grade.word(), figure.grade, "{}", figure.entry);
        assert!(value.claim.counted, "{}", figure.entry);
    }
}

#[derive(Deserialize)]
struct TakenIn {
    source: String,
    rows: usize,
    counted: usize,
}

/// How the rows that were recalled say so; older recollections of the book have the word alone.
const RECALLED: &str = "recollection of what makers commonly print";

/// Documents that had spoken before; what was taken in of them speaks of entries of its own, or is recalled.
const SPOKE_BEFORE: [&str; 2] = ["forum-bikeforums-2017", "memory"];

fn was_taken_in(value: &Evidence, documents: &BTreeSet<String>) -> bool {
    let key = value.source.source.as_str();
    if SPOKE_BEFORE.contains(&key) {
        return value.locator.starts_with(RECALLED) || value.entry == "crank-preload-cap-ceramic-bearing";
    }
    documents.contains(key)
}

fn documents() -> (Vec<TakenIn>, BTreeSet<String>) {
    let taken_in = table::rows::<TakenIn>("book_taken_in.csv");
    let keys = taken_in.iter().map(|row| row.source.clone()).collect();
    (taken_in, keys)
}

#[test]
fn as_many_figures_were_taken_in_of_each_document_as_the_list_says() {
    let (taken_in, keys) = documents();
    let entries = entries();
    let values = || entries.iter().flat_map(|(_, evidence)| evidence);
    for TakenIn { source, rows, counted } in &taken_in {
        let of = |value: &&Evidence| value.source.source == *source && was_taken_in(value, &keys);
        assert_eq!(values().filter(of).count(), *rows, "{source}");
        assert_eq!(values().filter(of).filter(|value| value.claim.counted).count(), *counted, "{source}");
    }
    let sum = |of: fn(&TakenIn) -> usize| taken_in.iter().map(of).sum::<usize>();
    assert_eq!((sum(|row| row.rows), sum(|row| row.counted)), (204, 98));
}

#[derive(Deserialize)]
struct Change {
    entry: String,
    before: String,
    after: String,
    by: String,
}

/// How many entries have each state.
fn counts<'a>(states: impl Iterator<Item = &'a String>) -> BTreeMap<&'a str, usize> {
    let mut counts = BTreeMap::new();
    for state in states {
        *counts.entry(state.as_str()).or_default() += 1;
    }
    counts
}

#[test]
fn the_figures_taken_in_changed_these_states_and_no_others() {
    let (_, keys) = documents();
    let changes = table::rows::<Change>("book_states.csv");
    let is_new = |entry: &str| changes.iter().any(|change| change.entry == entry && change.before.is_empty());
    let state = |evidence: &[&Evidence]| consensus(evidence).state.word().to_owned();
    let mut before = BTreeMap::new();
    let mut after = BTreeMap::new();
    for (entry, evidence) in entries() {
        let older: Vec<&Evidence> = evidence.iter().filter(|value| !was_taken_in(value, &keys)).collect();
        if is_new(&entry.entry) {
            assert!(older.is_empty(), "{}", entry.entry);
        } else {
            before.insert(entry.entry.clone(), state(&older));
        }
        after.insert(entry.entry.clone(), state(&evidence.iter().collect::<Vec<_>>()));
    }
    let changed: Vec<_> = after
        .iter()
        .map(|(entry, state)| (entry.as_str(), before.get(entry).map_or("", String::as_str), state.as_str()))
        .filter(|(_, before, after)| before != after)
        .collect();
    let expected: Vec<_> = changes
        .iter()
        .map(|change| (change.entry.as_str(), change.before.as_str(), change.after.as_str()))
        .collect();
    assert_eq!(changed, expected);
    for Change { entry, by, before, .. } in &changes {
        assert!(before.is_empty() || by.split(';').all(|source| keys.contains(source)), "{entry}: {by}");
    }
    let told = |states| BTreeMap::from_iter(states);
    assert_eq!(
        counts(before.values()),
        told([("agreed", 8), ("disputed", 3), ("none", 3), ("thin", 101), ("unconfirmed", 30)])
    );
    assert_eq!(
        counts(after.values()),
        told([("agreed", 14), ("disputed", 6), ("none", 49), ("thin", 157), ("unconfirmed", 45)])
    );
}

/// What is rare is called so in `entries.csv`, by which templates are checked and finds are ranked: hardware whose name
/// tells of an era or of a bicycle that few ride.
#[test]
fn what_a_name_tells_to_be_rare_is_called_rare() {
    let told_apart =
        ["early", "2000s", "2022", "old ", "cargo", "trike", "retrofit", "folding", "Italian", "aero "];
    let rare = |entry: &Entry| told_apart.iter().any(|word| entry.name.contains(word));
    for (entry, _) in entries().iter().filter(|(entry, _)| rare(entry)) {
        assert!(entry.ridden.is_rare(), "{}: {}", entry.entry, entry.name);
    }
    let era = |entry: &Entry| ["early", "old "].iter().any(|word| entry.name.contains(word));
    for (entry, _) in entries().iter().filter(|(entry, _)| entry.ridden == Commonness::Era) {
        assert!(era(entry), "{}: {}", entry.entry, entry.name);
    }
}

/// An everyday word leads to hardware of an era only where it leads to some of today as well.
#[test]
fn a_word_that_does_not_tell_of_an_era_leads_to_hardware_of_today_too() {
    let rare: BTreeMap<String, Commonness> =
        entries().into_iter().map(|(entry, _)| (entry.entry, entry.ridden)).collect();
    let mut leads: BTreeMap<String, Vec<Commonness>> = BTreeMap::new();
    for row in csv::Reader::from_path("specs/aliases.csv").unwrap().records().map(|row| row.unwrap()) {
        // A word for what is measured leads to no hardware.
        if let Some(ridden) = rare.get(&row[1]) {
            leads.entry(row[0].to_owned()).or_default().push(*ridden);
        }
    }
    let tells = |alias: &str| ["early", "old", "forged", "welded"].iter().any(|word| alias.contains(word));
    for (alias, led) in leads.iter().filter(|(alias, _)| !tells(alias)) {
        let is_of_an_era = led.iter().all(|ridden| *ridden == Commonness::Era);
        assert!(!is_of_an_era, "`{alias}` leads to nothing of today");
    }
}

/// By the years of the papers, whatever a name says: what is thin and stands on papers of an era alone is no hardware of
/// today. Papers whose year was not seen tell nothing.
#[test]
fn what_only_papers_of_an_era_speak_for_is_called_rare() {
    let of_an_era: Vec<Entry> = entries()
        .into_iter()
        .filter(|(_, evidence)| consensus(evidence).state.word() == "thin")
        .filter(|(_, evidence)| {
            let counted = evidence.iter().filter(|row| row.claim.counted);
            counted
                .map(|row| row.source.year.parse())
                .all(|year: Result<u16, _>| year.is_ok_and(|y| y < 2010))
        })
        .map(|(entry, _)| entry)
        .collect();
    for known in ["seat-collar-metal-post", "shock-mount-bolt", "saddle-clamp-side-nuts"] {
        assert!(of_an_era.iter().any(|entry| entry.entry == known), "{known}: {of_an_era:?}");
    }
    for entry in of_an_era {
        assert!(entry.ridden.is_rare(), "{}", entry.entry);
    }
}
