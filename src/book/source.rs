//! The document behind a figure, and how far it can be relied on.

use serde::Serialize;

use super::Speaker;
use super::sheet::{Fields, sheet};

sheet! {
    /// `specs/sources.csv`.
    pub static SOURCES: SourceCells = "sources" { source, title, issuer, year, kind, url, note }
}

/// A document that figures were read in.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Source {
    /// Key within the book.
    pub source: String,
    /// Title of the document.
    pub title: String,
    /// Who stands behind it; copies and sister brands of one company carry one issuer.
    pub issuer: String,
    /// Year, where it was seen.
    pub year: String,
    /// Kind of document, such as `owners-manual`.
    pub kind: String,
    /// Address it was read at, where there is one.
    pub url: String,
    /// What else must be known about it.
    pub note: String,
}

impl Source {
    /// Who speaks in it.
    pub(crate) fn speaker(&self) -> Speaker {
        Speaker { issuer: self.issuer.clone(), source: self.source.clone(), year: self.year.clone() }
    }

    pub(crate) fn from_cells(cells: &SourceCells<'_>, fields: &mut Fields<'_>) -> Source {
        Source {
            source: fields.key(cells.source),
            title: fields.filled(cells.title),
            issuer: fields.filled(cells.issuer),
            year: cells.year.owned(),
            kind: cells.kind.owned(),
            url: cells.url.owned(),
            note: cells.note.owned(),
        }
    }
}
