//! CSV text → checked rows. Every complaint carries table, line and column, and all are listed at
//! once; a row with a complaint is not built.

use std::collections::{HashMap, HashSet};
use std::fmt;

use csv::StringRecord;

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

/// What is wrong in one cell of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Complaint {
    /// File name of the table.
    pub table: &'static str,
    /// Line in the text, from 1.
    pub line: u64,
    /// Column name; empty when the whole line is meant.
    pub column: String,
    /// What is wrong and what would be right.
    pub problem: String,
}

impl fmt::Display for Complaint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, line {}", self.table, self.line)?;
        if !self.column.is_empty() {
            write!(f, ", column {}", self.column)?;
        }
        write!(f, ": {}", self.problem)
    }
}

/// One row under its header; what is wrong with it is collected as its cells are read.
pub(super) struct Row<'a> {
    table: &'static str,
    line: u64,
    columns: &'a HashMap<String, usize>,
    record: &'a StringRecord,
    complaints: Vec<Complaint>,
}

impl Row<'_> {
    /// Notes what is wrong in `column`.
    pub(super) fn complain(&mut self, column: &str, problem: impl Into<String>) {
        let (table, line) = (self.table, self.line);
        self.complaints.push(Complaint { table, line, column: column.to_owned(), problem: problem.into() });
    }

    /// The trimmed text of a cell, which may be empty.
    pub(super) fn text(&self, column: &str) -> String {
        let cell = self.columns.get(column).and_then(|&at| self.record.get(at));
        cell.unwrap_or_default().trim().to_owned()
    }

    /// The text of a cell that must not be empty.
    pub(super) fn required(&mut self, column: &str) -> Option<String> {
        let text = self.text(column);
        if text.is_empty() {
            self.complain(column, "is empty");
            return None;
        }
        Some(text)
    }

    /// The parts of a cell that lists names between semicolons.
    pub(super) fn list(&self, column: &str) -> Vec<String> {
        let text = self.text(column);
        text.split(';').map(str::trim).filter(|part| !part.is_empty()).map(str::to_owned).collect()
    }

    /// A finite number; `None` without complaint when the cell is empty.
    pub(super) fn number_if_any(&mut self, column: &str) -> Option<f64> {
        let text = self.text(column);
        if text.is_empty() {
            return None;
        }
        let number = text.parse::<f64>().ok().filter(|value| value.is_finite());
        if number.is_none() {
            self.complain(column, format!("`{text}` is not a number"));
        }
        number
    }

    /// A number above 0; `None` without complaint when the cell is empty.
    pub(super) fn positive_if_any(&mut self, column: &str) -> Option<f64> {
        let number = self.number_if_any(column)?;
        if number > 0.0 {
            return Some(number);
        }
        self.complain(column, format!("must be above 0, not {number}"));
        None
    }

    /// A number above 0 that must be there.
    pub(super) fn positive(&mut self, column: &str) -> Option<f64> {
        self.required(column)?;
        self.positive_if_any(column)
    }

    /// One of a fixed set of words.
    pub(super) fn choice<T: Copy>(&mut self, column: &str, choices: &[(&str, T)]) -> Option<T> {
        let text = self.required(column)?;
        let found = choices.iter().find(|(name, _)| *name == text).map(|&(_, value)| value);
        if found.is_none() {
            let names: Vec<&str> = choices.iter().map(|&(name, _)| name).collect();
            self.complain(column, format!("`{text}` is none of {}", names.join(", ")));
        }
        found
    }

    /// Complains when `key` was `seen` before; two rows of one key would hide each other.
    pub(super) fn once(&mut self, seen: &mut HashSet<String>, column: &str, key: &str) {
        if !key.is_empty() && !seen.insert(key.to_lowercase()) {
            self.complain(column, format!("`{key}` stands in an earlier row"));
        }
    }

    /// The columns `low` and `high`, in that order.
    pub(super) fn ends(&mut self) -> Option<(f64, f64)> {
        let (low, high) = (self.number_if_any("low"), self.number_if_any("high"));
        let (Some(low), Some(high)) = (low, high) else {
            self.complain("low", "give the low and the high end");
            return None;
        };
        if low > high {
            self.complain("low", format!("{low} is above the high end {high}"));
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

/// Reads every row of `text` by `read_row`; the header must hold exactly `columns`, in any order.
pub(super) fn read<T>(
    table: &'static str,
    text: &str,
    columns: &[&str],
    mut read_row: impl FnMut(&mut Row<'_>) -> Option<T>,
) -> Result<Vec<T>, Vec<Complaint>> {
    let mut reader = csv::ReaderBuilder::new().from_reader(text.as_bytes());
    let header = match reader.headers() {
        Ok(header) => header.clone(),
        Err(error) => return Err(vec![unreadable(table, &error)]),
    };
    let mut complaints = header_complaints(table, &header, columns);
    if !complaints.is_empty() {
        return Err(complaints);
    }
    let places = header.iter().enumerate().map(|(at, name)| (name.trim().to_owned(), at)).collect();
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                complaints.push(unreadable(table, &error));
                continue;
            }
        };
        let line = record.position().map_or(0, csv::Position::line);
        let mut row = Row { table, line, columns: &places, record: &record, complaints: Vec::new() };
        let read = read_row(&mut row);
        if row.complaints.is_empty() {
            rows.extend(read);
        }
        complaints.append(&mut row.complaints);
    }
    if complaints.is_empty() { Ok(rows) } else { Err(complaints) }
}

/// Missing, unknown and doubled columns.
fn header_complaints(table: &'static str, header: &StringRecord, columns: &[&str]) -> Vec<Complaint> {
    let complaint = |column: &str, problem: &str| Complaint {
        table,
        line: 1,
        column: column.to_owned(),
        problem: problem.to_owned(),
    };
    let names: Vec<&str> = header.iter().map(str::trim).collect();
    let missing = columns.iter().filter(|column| !names.contains(column));
    let mut complaints: Vec<Complaint> = missing.map(|column| complaint(column, "is missing")).collect();
    for (at, name) in names.iter().enumerate() {
        if !columns.contains(name) {
            complaints.push(complaint(name, "is not a column of this table"));
        } else if names[..at].contains(name) {
            complaints.push(complaint(name, "stands twice"));
        }
    }
    complaints
}

fn unreadable(table: &'static str, error: &csv::Error) -> Complaint {
    let line = error.position().map_or(1, csv::Position::line);
    Complaint { table, line, column: String::new(), problem: error.to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lengths(text: &str) -> Result<Vec<(String, f64)>, Vec<Complaint>> {
        read("lengths.csv", text, &["name", "length_mm"], |row| {
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
        let complaints = lengths("name,length_mm\n,0\nb,-1\nc,x\nd,1\n").unwrap_err();
        let places: Vec<String> = complaints.iter().map(ToString::to_string).collect();
        assert_eq!(
            places,
            [
                "lengths.csv, line 2, column name: is empty",
                "lengths.csv, line 2, column length_mm: must be above 0, not 0",
                "lengths.csv, line 3, column length_mm: must be above 0, not -1",
                "lengths.csv, line 4, column length_mm: `x` is not a number",
            ]
        );
    }

    #[test]
    fn a_wrong_header_or_a_short_row_is_refused() {
        let header = lengths("name,size,name\n").unwrap_err();
        let columns: Vec<&str> = header.iter().map(|c| c.column.as_str()).collect();
        assert_eq!(columns, ["length_mm", "size", "name"]);
        assert_eq!(lengths("name,length_mm\na\n").unwrap_err()[0].line, 2);
    }

    #[test]
    fn a_row_needs_a_source_and_a_known_grade() {
        let rows = |text: &str| {
            read("t.csv", text, &["source", "grade"], |row| {
                let provenance = row.provenance();
                provenance.filter(|found| !found.source.is_empty())
            })
        };
        assert_eq!(rows("source,grade\nISO 724,published\n").map(|rows| rows.len()), Ok(1));
        assert_eq!(rows("source,grade\n,hearsay\n").unwrap_err().len(), 2);
    }
}
