//! The table of what plans assume for each kind of joint, `specs/layouts.csv`.
//!
//! One line a kind: the band of the total loss and the decay as fractions, the ladder in percent,
//! what the kind is, and what the figures rest on. All of them are assumptions; none is published
//! for bicycles.

use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;

use uom::si::f64::Ratio;
use uom::si::ratio::ratio;

use super::{Layout, LossBand, Parameters, Shape};

/// The table as it is compiled in.
const COMPILED_IN: &str = include_str!("../../specs/layouts.csv");

/// The columns of the table, in their order.
const COLUMNS: [&str; 9] =
    ["kind", "loss_low", "loss_nominal", "loss_high", "decay", "ladder", "note", "source", "grade"];

/// What plans assume for one kind of joint.
#[derive(Debug, Clone, PartialEq)]
pub struct Kind {
    /// Key, such as `face-plate`.
    pub kind: String,
    /// Loss, decay and ladder.
    pub parameters: Parameters,
    /// What the kind is.
    pub note: String,
    /// What the figures rest on.
    pub source: String,
    /// How far the figures can be relied on.
    pub grade: String,
}

/// The kinds of joint that plans can be made for, by key.
#[derive(Debug, Clone, PartialEq)]
pub struct Kinds(BTreeMap<String, Kind>);

/// A fault of the table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KindComplaint {
    /// Line, from 1.
    pub line: u64,
    /// Column name; `None` where the line as a whole is wrong.
    pub column: Option<String>,
    /// What is wrong and what would be right.
    pub message: String,
}

impl fmt::Display for KindComplaint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}", self.line)?;
        if let Some(column) = &self.column {
            write!(f, ", {column}")?;
        }
        write!(f, ": {}", self.message)
    }
}

impl Kinds {
    /// The table that is compiled in.
    ///
    /// # Errors
    /// Every fault of the table; a test sees to it that it has none.
    pub fn compiled_in() -> Result<Kinds, Vec<KindComplaint>> {
        Kinds::read(COMPILED_IN)
    }

    /// Reads a table with the columns of `specs/layouts.csv`, in any order.
    ///
    /// # Errors
    /// Every fault of the table, with its line and column.
    pub fn read(text: &str) -> Result<Kinds, Vec<KindComplaint>> {
        let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(text.as_bytes());
        let places = columns(&reader.headers().cloned().unwrap_or_default())?;
        let mut kinds = BTreeMap::new();
        let mut complaints = Vec::new();
        for record in reader.records() {
            let record = match record {
                Ok(record) => record,
                Err(error) => {
                    let line = error.position().map_or(0, csv::Position::line);
                    complaints.push(whole_line(line, "is not CSV text"));
                    continue;
                }
            };
            let mut row = Row {
                line: record.position().map_or(0, csv::Position::line),
                record: &record,
                places: &places,
                complaints: &mut complaints,
            };
            if let Some(kind) = row.kind() {
                let line = row.line;
                if let Some(twice) = kinds.insert(kind.kind.clone(), kind) {
                    complaints.push(in_column(line, "kind", format!("`{}` stands here twice", twice.kind)));
                }
            }
        }
        if complaints.is_empty() { Ok(Kinds(kinds)) } else { Err(complaints) }
    }

    /// The kind with this key.
    #[must_use]
    pub fn get(&self, kind: &str) -> Option<&Kind> {
        self.0.get(kind)
    }

    /// Every kind, by key.
    pub fn iter(&self) -> impl Iterator<Item = &Kind> {
        self.0.values()
    }

    /// The kind to assume where only the layout is known; `None` for a single bolt.
    ///
    /// A ring of four is taken as a face plate: it loses more than a stiff ring, and too many
    /// passes do no harm.
    #[must_use]
    pub fn for_layout(&self, layout: &Layout) -> Option<&Kind> {
        self.get(match layout.shape() {
            Shape::Ring if layout.bolts() == 4 => "face-plate",
            Shape::Ring => "ring",
            Shape::Grid { .. } => "grid",
            Shape::Pair => "pair",
            Shape::Row => "row",
            Shape::Points => "points",
            Shape::Single => return None,
        })
    }
}

/// Where each of the table's columns stands in a line.
fn columns(header: &csv::StringRecord) -> Result<BTreeMap<&'static str, usize>, Vec<KindComplaint>> {
    let mut complaints = Vec::new();
    let mut places = BTreeMap::new();
    for column in COLUMNS {
        let mut found = header.iter().enumerate().filter(|(_, name)| *name == column);
        match (found.next(), found.next()) {
            (Some((place, _)), None) => _ = places.insert(column, place),
            (None, _) => complaints.push(in_column(1, column, "the column is missing".to_owned())),
            (Some(_), Some(_)) => {
                complaints.push(in_column(1, column, "the column stands here twice".to_owned()));
            }
        }
    }
    for other in header.iter().filter(|name| !COLUMNS.contains(name)) {
        complaints.push(in_column(1, other, format!("not a column; columns are {}", COLUMNS.join(", "))));
    }
    if complaints.is_empty() { Ok(places) } else { Err(complaints) }
}

/// One line of the table and what is wrong with it.
struct Row<'a> {
    line: u64,
    record: &'a csv::StringRecord,
    places: &'a BTreeMap<&'static str, usize>,
    complaints: &'a mut Vec<KindComplaint>,
}

impl Row<'_> {
    /// The kind that the line describes.
    fn kind(&mut self) -> Option<Kind> {
        if self.record.len() != COLUMNS.len() {
            let message = format!("has {} fields instead of {}", self.record.len(), COLUMNS.len());
            self.complaints.push(whole_line(self.line, &message));
            return None;
        }
        // Every field is read before any is given up, so that all faults are listed at once.
        let texts = ["kind", "note", "source", "grade"].map(|column| self.text(column));
        let numbers = ["loss_low", "loss_nominal", "loss_high"].map(|column| self.number(column));
        let decay = self.number("decay");
        let ladder = self.parsed("ladder");
        let [Some(low), Some(nominal), Some(high)] = numbers else { return None };
        let losses = match LossBand::new(low, nominal, high) {
            Ok(losses) => losses,
            Err(error) => return self.complain("loss_nominal", error.to_string()),
        };
        let decay = decay?;
        if !(0.0..=1.0).contains(&decay.get::<ratio>()) {
            return self.complain("decay", "is not from 0 to 1".to_owned());
        }
        let [Some(kind), Some(note), Some(source), Some(grade)] = texts else { return None };
        Some(Kind { kind, parameters: Parameters { losses, decay, ladder: ladder? }, note, source, grade })
    }

    /// A field that may not be empty.
    fn text(&mut self, column: &'static str) -> Option<String> {
        let text =
            self.places.get(column).and_then(|&place| self.record.get(place)).unwrap_or_default().trim();
        if text.is_empty() { self.complain(column, "is empty".to_owned()) } else { Some(text.to_owned()) }
    }

    /// A field that holds a fraction.
    fn number(&mut self, column: &'static str) -> Option<Ratio> {
        let text = self.text(column)?;
        match text.parse::<f64>() {
            Ok(value) if value.is_finite() => Some(Ratio::new::<ratio>(value)),
            _ => self.complain(column, format!("`{text}` is not a fraction such as 0.15")),
        }
    }

    /// A field of another form.
    fn parsed<T: FromStr<Err: fmt::Display>>(&mut self, column: &'static str) -> Option<T> {
        let text = self.text(column)?;
        text.parse().map_or_else(|error: T::Err| self.complain(column, error.to_string()), Some)
    }

    /// Notes a fault of one field.
    fn complain<T>(&mut self, column: &str, message: String) -> Option<T> {
        self.complaints.push(in_column(self.line, column, message));
        None
    }
}

/// A fault of one field.
fn in_column(line: u64, column: &str, message: String) -> KindComplaint {
    KindComplaint { line, column: Some(column.to_owned()), message }
}

/// A fault of a line as a whole.
fn whole_line(line: u64, message: &str) -> KindComplaint {
    KindComplaint { line, column: None, message: message.to_owned() }
}

#[cfg(test)]
#[path = "kinds_tests.rs"]
mod tests;
