//! The book in the database: load, find, pages, round trip.

use super::*;
use crate::book::{compiled_in, consensus, word_of_band, write_sheet};

fn store() -> Store {
    let mut store = Store::in_memory().unwrap();
    let book = Book::read(&compiled_in()).unwrap();
    store.load_book(&book, &BookOrigin::CompiledIn).unwrap();
    store
}

#[test]
fn rows_out_are_rows_in() {
    let store = store();
    for (sheet, rows) in store.book_rows().unwrap() {
        assert_eq!(
            write_sheet(sheet, &rows).unwrap(),
            compiled_in().get(&sheet.file()).unwrap(),
            "{}",
            sheet.name
        );
    }
}

#[test]
fn every_entry_has_a_page() {
    let store = store();
    for (entry, _) in store.all_entries().unwrap() {
        let key = entry.entry;
        let page = store.page(&key).unwrap().unwrap();
        assert_eq!(page.entry.entry, key);
        assert!(!page.steps.is_empty(), "{key} has no procedure");
    }
    assert!(store.page("no-such-entry").unwrap().is_none());
}

/// Bands that come of bare claims are those that come of the evidence.
#[test]
fn bare_entries_are_the_entries() {
    let store = store();
    let (bare, whole) = (store.bare_entries().unwrap(), store.all_entries().unwrap());
    assert_eq!(bare.len(), whole.len());
    for (bare, (entry, evidence)) in bare.into_iter().zip(whole) {
        assert_eq!((&bare.entry, &bare.thread, bare.hand), (&entry.entry, &entry.thread, entry.hand));
        let (by_claims, by_evidence) = (consensus(&bare.claims), consensus(&evidence));
        assert_eq!(by_claims, by_evidence, "{}", entry.entry);
        let word = word_of_band(&entry.entry, &evidence, &by_evidence);
        assert_eq!(word_of_band(&bare.entry, &bare.claims, &by_claims), word);
    }
}

/// The bolts of the loaded book are those of its files.
#[test]
fn the_catalogue_comes_back_as_it_went_in() {
    let read = Catalogue::compiled_in();
    assert_eq!(store().catalogue().unwrap(), read);
}

#[test]
fn a_second_load_replaces_the_first() {
    let mut store = store();
    let before = store.book_rows().unwrap().iter().map(|(_, rows)| rows.len()).sum::<usize>();
    let book = Book::read(&compiled_in()).unwrap();
    store.load_book(&book, &BookOrigin::Folder("/tmp/book".into())).unwrap();
    let after = store.book_rows().unwrap().iter().map(|(_, rows)| rows.len()).sum::<usize>();
    assert_eq!(before, after);
    assert_eq!(
        store.loaded_book().unwrap(),
        Some((book.content_hash, BookOrigin::Folder("/tmp/book".into())))
    );
}

#[test]
fn the_book_that_is_carried_is_known_as_such() {
    let carried = Book::read(&compiled_in()).unwrap().content_hash;
    assert_eq!(store().loaded_book().unwrap(), Some((carried, BookOrigin::CompiledIn)));
    assert_eq!(Store::in_memory().unwrap().loaded_book().unwrap(), None);
}

#[test]
fn no_question_breaks_the_search() {
    let store = store();
    for question in ["", "\"", "a\" OR \"b", "NEAR(", "* ^ -", "'; DROP TABLE book_entries; --", "ß☃"] {
        store.find(question).unwrap();
    }
}
