//! The spec book as a whole: its state, and diagnostics about it.

use std::collections::BTreeMap;

use serde::Serialize;

use super::{Report, Style, records, sheet};
use crate::book::{Diagnostic, Severity};

/// What is loaded.
#[derive(Debug, Serialize)]
pub struct BookStatus {
    /// Where the book came from.
    pub origin: String,
    /// Hash of its files.
    pub content_hash: String,
    /// Rows of each sheet.
    pub rows: BTreeMap<&'static str, usize>,
    /// Entries in each state.
    pub states: BTreeMap<&'static str, usize>,
}

impl Report for BookStatus {
    fn text(&self, style: &Style) -> String {
        let count = |counts: &BTreeMap<&'static str, usize>| {
            counts.iter().map(|(word, n)| format!("{n} {word}")).collect::<Vec<_>>().join(", ")
        };
        style.listed("Book", &[&self.origin])
            + &style.listed("Sheets", &[count(&self.rows)])
            + &style.listed("Entries", &[count(&self.states)])
            + &style.listed("Content", &[&self.content_hash])
    }

    fn rows(&self) -> Vec<Vec<String>> {
        let counts = self.rows.iter().map(|(sheet, n)| vec![format!("rows of {sheet}"), n.to_string()]);
        let states = self.states.iter().map(|(state, n)| vec![format!("entries {state}"), n.to_string()]);
        records(&["what", "count"], counts.chain(states))
    }
}

/// What a check of a book found.
#[derive(Debug, Serialize)]
pub struct BookCheck {
    sound: bool,
    #[serde(rename = "complaints")]
    diagnostics: Vec<DiagnosticLine>,
}

#[derive(Debug, Serialize)]
struct DiagnosticLine {
    file: String,
    line: usize,
    column: usize,
    severity: &'static str,
    message: String,
    mend: String,
}

impl BookCheck {
    /// The report of diagnostics; sound when none of them is an error.
    pub fn new(diagnostics: &[Diagnostic]) -> BookCheck {
        BookCheck {
            sound: diagnostics.iter().all(|diagnostic| diagnostic.severity == Severity::Warning),
            diagnostics: diagnostics
                .iter()
                .map(|diagnostic| DiagnosticLine {
                    file: diagnostic.at.file(),
                    line: diagnostic.at.line,
                    column: diagnostic.at.column,
                    severity: match diagnostic.severity {
                        Severity::Error => "error",
                        Severity::Warning => "warning",
                    },
                    message: diagnostic.message.clone(),
                    mend: diagnostic.fix.clone(),
                })
                .collect(),
        }
    }

    /// True when the book can be loaded.
    pub fn is_sound(&self) -> bool {
        self.sound
    }
}

impl Report for BookCheck {
    fn text(&self, style: &Style) -> String {
        let mut text = String::new();
        for c in &self.diagnostics {
            let severity = if c.severity == "warning" { "warning: " } else { "" };
            text += &format!("{}:{}:{}: {severity}{}; {}\n", c.file, c.line, c.column, c.message, c.mend);
        }
        text += &match (self.sound, self.diagnostics.len()) {
            (true, 0) => format!("{}: no complaint\n", style.good("sound")),
            (true, n) => format!("{}: {n} to look at\n", style.good("sound")),
            (false, n) => {
                format!("{}: {n} complaint{}\n", style.bad("not sound"), if n == 1 { "" } else { "s" })
            }
        };
        text
    }

    fn rows(&self) -> Vec<Vec<String>> {
        sheet(self, "complaints", "file,line,column,severity,message,mend")
    }
}

/// A book was loaded or written.
#[derive(Debug, Serialize)]
pub struct BookChanged {
    /// `loaded` or `exported`.
    pub done: &'static str,
    /// From or to where.
    pub place: String,
    /// Rows in all.
    pub rows: usize,
    /// Hash of its files.
    pub content_hash: String,
}

impl Report for BookChanged {
    fn text(&self, _: &Style) -> String {
        let word = if self.done == "loaded" { "from" } else { "to" };
        let place = if self.place == "compiled in" { "the compiled-in copy" } else { &self.place };
        format!("{} {} rows {word} {place}\n", self.done, self.rows)
    }

    fn rows(&self) -> Vec<Vec<String>> {
        sheet(self, "", "done,place,rows,content_hash")
    }
}
