//! Rows of a sheet → checked values. A row with a diagnostic is not built, and all diagnostics are
//! listed at once.

use std::collections::HashSet;

use crate::sheet::{Diagnostics, Row, field};

/// How far a figure of a table can be trusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SourceGrade {
    /// Read in the document named.
    Published,
    /// What the trade does, without one document behind it.
    CommonPractice,
    /// Recalled; not seen in a document.
    Memory,
}

impl SourceGrade {
    /// Every grade with its spelling in the tables.
    const NAMES: &[(&str, SourceGrade)] = &[
        ("published", SourceGrade::Published),
        ("common-practice", SourceGrade::CommonPractice),
        ("memory", SourceGrade::Memory),
    ];

    /// The spelling in the tables: `published`, `common-practice` or `memory`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            SourceGrade::Published => "published",
            SourceGrade::CommonPractice => "common-practice",
            SourceGrade::Memory => "memory",
        }
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

impl Basis {
    /// True for an estimate.
    #[must_use]
    pub fn is_estimate(&self) -> bool {
        matches!(self, Basis::Estimated(_))
    }
}

/// The cells of one row as values; what is wrong with them goes to the diagnostics.
pub(super) struct Fields<'a> {
    row: &'a Row,
    diagnostics: &'a mut Diagnostics,
    sound: bool,
}

impl Fields<'_> {
    /// Notes what is wrong in `column`, and what would be right.
    pub(super) fn report(&mut self, column: &str, message: impl Into<String>, fix: impl Into<String>) {
        self.sound = false;
        self.diagnostics.error(&self.row.cell(column).at, message, fix);
    }

    /// `found`, with the row marked as faulty where a check of a cell has found nothing.
    fn noted<T>(&mut self, found: Option<T>) -> Option<T> {
        self.sound &= found.is_some();
        found
    }

    /// The trimmed text of a cell, which may be empty.
    pub(super) fn text(&self, column: &str) -> String {
        self.row.text(column).trim().to_owned()
    }

    /// The text of a cell that must not be empty.
    pub(super) fn required(&mut self, column: &str) -> Option<String> {
        let filled = field::not_empty(self.row.cell(column), column, self.diagnostics);
        self.noted(filled)?;
        Some(self.text(column))
    }

    /// The parts of a cell that lists names between semicolons.
    pub(super) fn list(&self, column: &str) -> Vec<String> {
        let text = self.row.text(column);
        text.split(';').map(str::trim).filter(|part| !part.is_empty()).map(str::to_owned).collect()
    }

    /// A finite number; `None` without diagnostic when the cell is empty.
    pub(super) fn number_if_any(&mut self, column: &str) -> Option<f64> {
        let text = self.text(column);
        if text.is_empty() {
            return None;
        }
        let number = text.parse::<f64>().ok().filter(|value| value.is_finite());
        if number.is_none() {
            let fix = "write digits with a decimal point, without a unit";
            self.report(column, format!("{column} `{text}` is not a number"), fix);
        }
        number
    }

    /// A number above 0; `None` without diagnostic when the cell is empty.
    pub(super) fn positive_if_any(&mut self, column: &str) -> Option<f64> {
        let number = self.number_if_any(column)?;
        if number > 0.0 {
            return Some(number);
        }
        self.report(column, format!("{column} is {number}"), "it must be above 0");
        None
    }

    /// The one of two columns that is filled in; exactly one must be.
    pub(super) fn one_filled(&mut self, columns: [&'static str; 2]) -> Option<&'static str> {
        let [first, second] = columns;
        match (self.text(first).is_empty(), self.text(second).is_empty()) {
            (false, true) => Some(first),
            (true, false) => Some(second),
            _ => {
                let message = format!("one of {first} and {second} is needed");
                self.report(first, message, "fill in one, and leave the other empty");
                None
            }
        }
    }

    /// A number above 0 that must be there.
    pub(super) fn positive(&mut self, column: &str) -> Option<f64> {
        self.required(column)?;
        self.positive_if_any(column)
    }

    /// One of a fixed set of words.
    pub(super) fn choice<T: Copy>(&mut self, column: &str, choices: &[(&str, T)]) -> Option<T> {
        let found = field::one_of(self.row.cell(column), column, choices, self.diagnostics);
        self.noted(found)
    }

    /// Complains when `key` was `seen` before; two rows of one key would hide each other.
    pub(super) fn once(&mut self, seen: &mut HashSet<String>, column: &str, key: &str) {
        if !key.is_empty() && !seen.insert(key.to_lowercase()) {
            self.report(column, format!("`{key}` stands in another row already"), "keep one of them");
        }
    }

    /// The numbers of `low` and `high`, in order; the outer `None` means that the row is refused.
    pub(super) fn ends(&mut self) -> Option<(f64, f64)> {
        self.required("low")?;
        self.required("high")?;
        let (low, high) = (self.number_if_any("low")?, self.number_if_any("high")?);
        if low > high {
            self.report("low", format!("low {low} is above high {high}"), "swap them");
            return None;
        }
        Some((low, high))
    }

    /// The columns `source` and `grade`.
    pub(super) fn provenance(&mut self) -> Option<Provenance> {
        let source = self.required("source");
        let grade = self.choice("grade", SourceGrade::NAMES);
        Some(Provenance { source: source?, grade: grade? })
    }
}

/// The values of all rows that have no fault.
pub(super) fn read<T>(
    rows: &[Row],
    diagnostics: &mut Diagnostics,
    mut read_row: impl FnMut(&mut Fields<'_>) -> Option<T>,
) -> Vec<T> {
    let mut values = Vec::new();
    for row in rows {
        let mut fields = Fields { row, diagnostics, sound: true };
        let value = read_row(&mut fields);
        if fields.sound {
            values.extend(value);
        }
    }
    values
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::{Diagnostic, Sheet, read_sheet};

    static LENGTHS: Sheet =
        Sheet { name: "lengths", columns: &["name", "length_mm"], sort_key: Row::all_texts };
    static CITED: Sheet = Sheet { name: "cited", columns: &["source", "grade"], sort_key: Row::all_texts };

    fn values<T>(
        sheet: &'static Sheet,
        text: &str,
        read_row: impl FnMut(&mut Fields<'_>) -> Option<T>,
    ) -> Result<Vec<T>, Vec<Diagnostic>> {
        let mut diagnostics = Diagnostics::default();
        let rows = read_sheet(sheet, text.as_bytes(), &mut diagnostics);
        let values = read(&rows, &mut diagnostics, read_row);
        if diagnostics.has_errors() { Err(diagnostics.into_sorted()) } else { Ok(values) }
    }

    fn lengths(text: &str) -> Result<Vec<(String, f64)>, Vec<Diagnostic>> {
        values(&LENGTHS, text, |row| {
            let name = row.required("name");
            let length = row.positive("length_mm");
            Some((name?, length?))
        })
    }

    #[test]
    fn columns_are_found_by_name_in_any_order() {
        assert_eq!(lengths("length_mm,name\n4.5,a\n"), Ok(vec![("a".to_owned(), 4.5)]));
    }

    #[test]
    fn every_complaint_of_every_row_is_listed_with_its_place() {
        let diagnostics = lengths("name,length_mm\n,0\nb,-1\nc,x\nd,1\n").unwrap_err();
        let places: Vec<String> = diagnostics.iter().map(ToString::to_string).collect();
        assert_eq!(
            places,
            [
                "lengths.csv:2:1: `name` is empty; fill it in",
                "lengths.csv:2:2: length_mm is 0; it must be above 0",
                "lengths.csv:3:3: length_mm is -1; it must be above 0",
                "lengths.csv:4:3: length_mm `x` is not a number; write digits with a decimal point, without a unit",
            ]
        );
    }

    #[test]
    fn a_faulty_row_is_not_built_and_the_others_are() {
        let mut diagnostics = Diagnostics::default();
        let rows = read_sheet(&LENGTHS, b"name,length_mm\na,1\n,2\n", &mut diagnostics);
        let built = read(&rows, &mut diagnostics, |row| {
            let _ = row.required("name");
            row.positive("length_mm")
        });
        assert_eq!(built, [1.0]);
        assert!(diagnostics.has_errors());
    }

    #[test]
    fn a_row_needs_a_source_and_a_known_grade() {
        let rows = |text: &str| {
            values(&CITED, text, |row| row.provenance().filter(|found| !found.source.is_empty()))
        };
        assert_eq!(rows("source,grade\nISO 724,published\n").map(|rows| rows.len()), Ok(1));
        assert_eq!(rows("source,grade\n,hearsay\n").unwrap_err().len(), 2);
    }
}
