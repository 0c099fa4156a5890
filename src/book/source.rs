//! The document behind a figure, and how far it can be relied on.

use serde::Serialize;

use super::Diagnostics;
use super::field;
use super::sheet::{Row, Sheet};

/// `specs/sources.csv`.
pub static SOURCES: Sheet = Sheet {
    name: "sources",
    columns: &["source", "title", "issuer", "year", "kind", "url", "note"],
    sort_key: Row::all_texts,
};

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
    /// A source from its row; faults go to `diagnostics`.
    pub fn from_row(row: &Row, diagnostics: &mut Diagnostics) -> Option<Source> {
        field::key(row.cell("source"), diagnostics)?;
        field::not_empty(row.cell("title"), "title", diagnostics)?;
        field::not_empty(row.cell("issuer"), "issuer", diagnostics)?;
        let text = |column| row.text(column).to_owned();
        Some(Source {
            source: text("source"),
            title: text("title"),
            issuer: text("issuer"),
            year: text("year"),
            kind: text("kind"),
            url: text("url"),
            note: text("note"),
        })
    }
}
