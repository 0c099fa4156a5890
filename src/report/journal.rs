//! The journal of the workshop: whether it is whole, and what was taken in of another one.

use serde::Serialize;
use serde_json::{Value, json};

use super::{Report, Style};
use crate::words::counted;
use crate::workshop::Renumbered;

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
pub struct JournalImport {
    /// Lines that it has.
    pub lines: usize,
    /// Those that were not here yet.
    pub added: usize,
    /// What was here and has another number now.
    pub renumbered: Vec<Renumbered>,
    /// What has another number here than in the workshop that it comes from.
    pub brought: Vec<Renumbered>,
}

impl Report for JournalImport {
    const SHEET: (&'static str, &'static str) = ("", "lines,added,renumbered");

    fn json(&self) -> Value {
        let list = |moved: &[Renumbered]| {
            let one = |moved: &Renumbered| {
                let last_now = moved.now + moved.last - moved.first;
                json!({ "what": moved.subject.text(), "from": moved.first, "to": moved.last, "now_from": moved.now, "now_to": last_now })
            };
            moved.iter().map(one).collect::<Vec<_>>()
        };
        json!({
            "lines": self.lines,
            "added": self.added,
            "renumbered": !self.renumbered.is_empty(),
            "numbers_here": list(&self.renumbered),
            "numbers_brought": list(&self.brought),
        })
    }

    fn text(&self, style: &Style) -> String {
        let known = self.lines - self.added;
        let said = format!("{}: {} taken in, {known} here already", counted(self.lines, "line"), self.added);
        let mut text = style.wrapped("", &said);
        if !self.renumbered.is_empty() {
            text +=
                &style.wrapped("", "Numbers are in the order of time, so some that were here have changed:");
            text += &style.listed("Now", &self.renumbered.iter().map(moved_text).collect::<Vec<_>>());
        }
        if !self.brought.is_empty() {
            text += &style.wrapped("", "Numbers of the other workshop that are others here:");
            text += &style.listed("Here", &self.brought.iter().map(moved_text).collect::<Vec<_>>());
        }
        text
    }
}

/// What numbers were and are.
fn moved_text(moved: &Renumbered) -> String {
    let Renumbered { subject, first, last, now } = moved;
    if first == last {
        return format!("{} {first} is {now}", subject.text());
    }
    format!("{}s {first} to {last} are {now} to {}", subject.text(), now + last - first)
}
