//! How far the figures of the tables can be trusted.

use crate::sheet::{Cell, Fields};
use crate::words::{is_one_of, words};

words! {
    /// How far a figure of a table can be trusted.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum SourceGrade: name {
        /// Read in the document named.
        Published = "published",
        /// What the trade does, without one document behind it.
        CommonPractice = "common-practice",
        /// Recalled; not seen in a document.
        Memory = "memory",
    }
}

/// Where a row comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Provenance {
    /// The document, and the place in it.
    pub source: String,
    /// How far it can be trusted.
    pub grade: SourceGrade,
}

/// Whether a figure stands in a table or was estimated.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Basis {
    /// A row of a table, with its source.
    Tabulated(String),
    /// An estimate, with the rule by which it was made.
    Estimated(&'static str),
}

/// Whether `text` is the name of a row or one of its other names.
pub(super) fn is_called(text: &str, name: &str, aliases: &[String]) -> bool {
    is_one_of(text, aliases.iter().map(String::as_str).chain([name]))
}

/// Where a row comes from, by its columns `source` and `grade`.
pub(super) fn provenance(source: Cell<'_>, grade: Cell<'_>, fields: &mut Fields<'_>) -> Option<Provenance> {
    let source = fields.filled(source);
    Some(Provenance { source, grade: fields.choice(grade, SourceGrade::WORDS)? })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::field::read;
    use crate::sheet::{Diagnostics, read_sheet, sheet};

    sheet! { static CITED: CitedCells = "cited" { source, grade } }

    #[test]
    fn a_row_needs_a_source_and_a_known_grade() {
        let rows = |text: &str| {
            let mut diagnostics = Diagnostics::default();
            let rows = read_sheet(&CITED, text.as_bytes(), &mut diagnostics);
            let read = read::<CitedCells, _>(&rows, &mut diagnostics, |cells, fields| {
                provenance(cells.source, cells.grade, fields)
            });
            (read.len(), diagnostics.into_sorted().len())
        };
        assert_eq!(rows("source,grade\nISO 724,published\n"), (1, 0));
        assert_eq!(rows("source,grade\n,hearsay\n"), (0, 2));
    }
}
