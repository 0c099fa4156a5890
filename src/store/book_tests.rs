//! The book in the database: load, find, pages, round trip.

use super::*;
use crate::book::{compiled_in, write_sheet};

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

/// The bolts of the loaded book are those of its files.
#[test]
fn the_catalogue_comes_back_as_it_went_in() {
    let read = Catalogue::read(crate::joint::CatalogueText::built_in()).unwrap();
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
fn no_question_breaks_the_search() {
    let store = store();
    for question in ["", "\"", "a\" OR \"b", "NEAR(", "* ^ -", "'; DROP TABLE book_entries; --", "ß☃"] {
        store.find(question).unwrap();
    }
}
