//! Whether the workshop book is whole.

use serde::Serialize;
use serde_json::{Value, json};

use super::{Report, Style};

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
        let lines = if self.lines == 1 { "1 line".to_owned() } else { format!("{} lines", self.lines) };
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
