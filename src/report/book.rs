//! The spec book as a whole: its state, and diagnostics about it.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::{Value, json};

use super::{Report, Style, records};
use crate::book::{Diagnostic, Severity};
use crate::words::counted;

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
    pub own: OwnCounts,
}

/// The figures of the workshop's own.
#[derive(Debug, Serialize)]
pub struct OwnCounts {
    pub rows: usize,
    /// Those that count.
    pub counted: usize,
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
            + &style.listed("Own", self.own_text().as_slice())
            + &style.listed("Content", &[&self.content_hash])
    }

    fn rows(&self) -> Vec<Vec<String>> {
        let counts = self.rows.iter().map(|(sheet, n)| vec![format!("rows of {sheet}"), n.to_string()]);
        let states = self.states.iter().map(|(state, n)| vec![format!("entries {state}"), n.to_string()]);
        let own = [("own figures", self.own.rows), ("own figures that count", self.own.counted)];
        let own = own.into_iter().map(|(what, n)| vec![what.to_owned(), n.to_string()]);
        records(&["what", "count"], counts.chain(states).chain(own))
    }
}

impl BookStatus {
    fn own_text(&self) -> Option<String> {
        let OwnCounts { rows, counted } = self.own;
        let text = match rows {
            0 => return None,
            1 => "1 figure of the workshop's own".to_owned(),
            n => format!("{n} figures of the workshop's own"),
        };
        Some(if counted == rows {
            text
        } else {
            format!("{text}, {counted} of them counted: `evenclamp book own`")
        })
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
            text += &style.wrapped("", &diagnostic.to_string());
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
    /// Figures of the workshop's own.
    pub own_rows: usize,
    /// Those of them that were there already.
    pub known_rows: usize,
    pub content_hash: String,
}

impl Report for BookChanged {
    const SHEET: (&'static str, &'static str) = ("", "done,place,rows,own_rows,known_rows,content_hash");

    fn json(&self) -> Value {
        json!(self)
    }

    fn text(&self, _: &Style) -> String {
        let word = if self.done == "loaded" { "from" } else { "to" };
        let place = if self.place == "compiled in" { "the compiled-in copy" } else { &self.place };
        let own = |n: usize| counted(n, "own figure");
        let mut what = match (self.rows, self.own_rows) {
            (0, n) => own(n),
            (rows, 0) => counted(rows, "row"),
            (rows, n) => format!("{} and {}", counted(rows, "row"), own(n)),
        };
        if self.known_rows > 0 {
            what += &format!(" ({} more were there already)", self.known_rows);
        }
        format!("{} {what} {word} {place}\n", self.done)
    }
}
