//! The workshop's own figures in the database, beside the book and untouched by its loads.

use std::collections::HashMap;

use rusqlite::Connection;

use super::book::fill_book;
use super::{BookOrigin, Store, StoreError, record};
use crate::book::{Book, Evidence, OwnFault, OwnFigure, OwnRow, Voices};
use crate::sheet::named_fields;
use crate::workshop::{Content, Deed, JournalSubject};

/// What was taken in of the figures that were brought.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct TakenIn {
    /// The numbers of those that are new.
    pub(crate) added: Vec<i64>,
    /// How many were there already.
    pub(crate) known: usize,
}

/// The workshop's own figures, read.
#[derive(Debug, Default)]
pub(crate) struct OwnEvidence {
    /// Those that can be read, in the order in which they were brought in.
    pub(crate) sound: Vec<Evidence>,
    /// Why the others cannot.
    pub(crate) faults: Vec<OwnFault>,
}

impl OwnEvidence {
    /// The sound ones by entry.
    pub(super) fn by_entry(self) -> HashMap<String, Vec<Evidence>> {
        super::grouped(self.sound.into_iter().map(|evidence| (evidence.entry.clone(), evidence)))
    }
}

impl Store {
    /// The workshop's own figures as they were typed, in the order in which they were brought in.
    pub(crate) fn own_rows(&self) -> Result<Vec<OwnRow>, StoreError> {
        own_rows(&self.connection)
    }

    /// The same as evidence, each with the voice that it speaks with.
    pub(crate) fn own_evidence(&self) -> Result<OwnEvidence, StoreError> {
        let rows = self.own_rows()?;
        let mut own = OwnEvidence::default();
        if rows.is_empty() {
            return Ok(own);
        }
        let sql = "SELECT issuer, title, kind FROM book_sources ORDER BY rowid";
        let sources = self.rows(sql, [], |row| Ok([row.get(0)?, row.get(1)?, row.get::<_, String>(2)?]))?;
        let mut voices = Voices::of(sources.iter().map(|texts| texts.each_ref().map(String::as_str)));
        for row in rows {
            match row.evidence(&mut voices) {
                Ok(evidence) => own.sound.push(evidence),
                Err(fault) => own.faults.push(fault),
            }
        }
        Ok(own)
    }

    /// Takes in figures and, where one is given, a book, all or nothing. A figure that is there already is not taken
    /// in again.
    pub(crate) fn take_in(
        &mut self,
        book: Option<(&Book, &BookOrigin)>,
        figures: &[OwnFigure],
    ) -> Result<TakenIn, StoreError> {
        let writing = self.write()?;
        if let Some((book, origin)) = book {
            fill_book(&writing, book, origin)?;
        }
        let mut there: Vec<OwnFigure> = own_rows(&writing)?.into_iter().map(|row| row.figure).collect();
        let mut taken = TakenIn::default();
        for figure in figures {
            if there.iter().any(|known| known.says_same(figure)) {
                taken.known += 1;
            } else {
                let id = record::insert(&writing, "own_evidence", &[], figure)?;
                writing.added((JournalSubject::Figure, id), None, Content::of(named_fields(figure)))?;
                taken.added.push(id);
                there.push(figure.clone());
            }
        }
        writing.commit()?;
        Ok(taken)
    }

    /// Figures of entries that the loaded book does not have.
    pub(crate) fn own_without_entry(&self) -> Result<Vec<OwnRow>, StoreError> {
        let rows = self.own_rows()?;
        let keys: Vec<String> = rows.iter().map(|row| row.figure.entry.clone()).collect();
        let entries = self.entries(&keys)?;
        let is_known = |row: &OwnRow| entries.iter().any(|(entry, _)| entry.entry == row.figure.entry);
        Ok(rows.into_iter().filter(|row| !is_known(row)).collect())
    }

    /// The issuers of the loaded book, each once.
    pub(crate) fn issuers(&self) -> Result<Vec<String>, StoreError> {
        self.rows("SELECT DISTINCT issuer FROM book_sources ORDER BY issuer", [], |row| Ok(row.get(0)?))
    }

    /// Takes a figure out again; none where there is no figure of that number.
    pub(crate) fn remove_own(&mut self, number: i64) -> Result<Option<OwnRow>, StoreError> {
        let writing = self.write()?;
        let row = own_rows(&writing)?.into_iter().find(|row| row.number == number);
        if row.is_some() {
            writing.execute("DELETE FROM own_evidence WHERE id = ?1", [number])?;
            writing.altered(Deed::Removed, (JournalSubject::Figure, number), Content::default())?;
        }
        writing.commit()?;
        Ok(row)
    }
}

fn own_rows(connection: &Connection) -> Result<Vec<OwnRow>, StoreError> {
    let sql = format!("SELECT id, {} FROM own_evidence ORDER BY id", record::columns::<OwnFigure>());
    let mut statement = connection.prepare_cached(&sql)?;
    let rows = statement
        .query_and_then([], |row| Ok(OwnRow { number: row.get(0)?, figure: record::read(row, 1)? }))?;
    rows.collect()
}

#[cfg(test)]
#[path = "own_tests.rs"]
mod tests;
