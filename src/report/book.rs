//! The spec book as a whole: its state, and diagnostics about it.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::{Value, json};

use super::{Report, Style, records};
use crate::book::{Diagnostic, Severity};

/// What is loaded.
#[derive(Debug, Serialize)]
pub struct BookStatus {
    /// Where the book came from.
    pub origin: String,
    pub content_hash: String,
    /// Rows of each sheet.
    pub rows: BTreeMap<&'static str, usize>,
    /// Entries in each state.
    pub states: BTreeMap<&'static str, usize>,
}

impl Report for BookStatus {
    fn json(&self) -> Value {
        json!(self)
    }

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
pub struct BookCheck(pub Vec<Diagnostic>);

impl BookCheck {
    /// True when the book can be loaded: none of the diagnostics is an error.
    pub fn is_sound(&self) -> bool {
        self.0.iter().all(|diagnostic| diagnostic.severity == Severity::Warning)
    }
}

impl Report for BookCheck {
    const SHEET: (&'static str, &'static str) = ("complaints", "file,line,column,severity,message,mend");

    fn json(&self) -> Value {
        let complaint = |diagnostic: &Diagnostic| {
            json!({
                "file": diagnostic.at.file(),
                "line": diagnostic.at.line,
                "column": diagnostic.at.column,
                "severity": if diagnostic.severity == Severity::Warning { "warning" } else { "error" },
                "message": diagnostic.message,
                "mend": diagnostic.fix,
            })
        };
        let complaints: Vec<Value> = self.0.iter().map(complaint).collect();
        json!({ "sound": self.is_sound(), "complaints": complaints })
    }

    fn text(&self, style: &Style) -> String {
        let mut text = String::new();
        for diagnostic in &self.0 {
            text += &format!("{diagnostic}\n");
        }
        text += &match (self.is_sound(), self.0.len()) {
            (true, 0) => format!("{}: no complaint\n", style.good("sound")),
            (true, n) => format!("{}: {n} to look at\n", style.good("sound")),
            (false, n) => {
                format!("{}: {n} complaint{}\n", style.bad("not sound"), if n == 1 { "" } else { "s" })
            }
        };
        text
    }
}

/// A book was loaded or written.
#[derive(Debug, Serialize)]
pub struct BookChanged {
    /// `loaded` or `exported`.
    pub done: &'static str,
    /// From or to where.
    pub place: String,
    pub rows: usize,
    pub content_hash: String,
}

impl Report for BookChanged {
    const SHEET: (&'static str, &'static str) = ("", "done,place,rows,content_hash");

    fn json(&self) -> Value {
        json!(self)
    }

    fn text(&self, _: &Style) -> String {
        let word = if self.done == "loaded" { "from" } else { "to" };
        let place = if self.place == "compiled in" { "the compiled-in copy" } else { &self.place };
        format!("{} {} rows {word} {place}\n", self.done, self.rows)
    }
}
