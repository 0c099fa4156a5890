//! The journal of the workshop: whether it is whole, and what was taken in of another one.

use serde::Serialize;
use serde_json::{Value, json};

use super::{Report, Style};
use crate::words::counted;

/// What a check of the workshop book found.
#[derive(Debug, Serialize)]
pub struct VerifyReport {
    /// Lines of the journal.
    pub lines: usize,
    /// The key of its newest line; empty where it has none.
    pub newest: String,
    /// What is damaged.
    pub faults: Vec<String>,
}

impl Report for VerifyReport {
    const SHEET: (&'static str, &'static str) = ("faults", "fault");

    fn json(&self) -> Value {
        json!({
            "whole": self.faults.is_empty(),
            "lines": self.lines,
            "newest": self.newest,
            "faults": self.faults.iter().map(|fault| json!({ "fault": fault })).collect::<Vec<_>>(),
        })
    }

    fn text(&self, style: &Style) -> String {
        let lines = counted(self.lines, "line");
        if self.faults.is_empty() {
            let newest = if self.newest.is_empty() {
                String::new()
            } else {
                format!("; the newest is {}", self.newest)
            };
            return style.wrapped("", &format!("whole: the journal has {lines}{newest}"));
        }
        let mut text = style.strong("DAMAGED") + "\n";
        text += &style.listed("Fault", &self.faults);
        text += &style.listed(
            "Now",
            &["keep a copy of this file, bring back the newest backup that verifies (`evenclamp verify --db \
               BACKUP`, `evenclamp restore BACKUP`), and read again what was recorded since"
                .to_owned()],
        );
        text
    }
}

/// What was taken in of the journal of a workshop.
#[derive(Debug, Serialize)]
pub struct JournalImport {
    /// Lines that it has.
    pub lines: usize,
    /// Those that were not here yet.
    pub added: usize,
    /// Whether readings that were here have other numbers now.
    pub renumbered: bool,
}

impl Report for JournalImport {
    const SHEET: (&'static str, &'static str) = ("", "lines,added,renumbered");

    fn json(&self) -> Value {
        json!(self)
    }

    fn text(&self, style: &Style) -> String {
        let known = self.lines - self.added;
        let mut said =
            format!("{}: {} taken in, {known} here already", counted(self.lines, "line"), self.added);
        if self.renumbered {
            said += "; readings have other numbers than before, for they stand in the order of time";
        }
        style.wrapped("", &said)
    }
}
