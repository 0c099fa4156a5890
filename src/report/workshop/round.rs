//! How a round ended: at most ten lines, the verdict first.

use serde_json::{Value, json};

use super::ready::ReadyReport;
use crate::book::Round;
use crate::report::{Report, Style};

/// Lines that the end of a round takes on a screen.
const LINES: usize = 10;

/// What was answered of a round.
pub struct RoundTally {
    pub items: usize,
    pub answered: usize,
}

/// The end of a round.
pub struct RoundReport<'a> {
    pub ready: ReadyReport<'a>,
    pub round: Round,
    pub tally: RoundTally,
}

impl RoundReport<'_> {
    fn answered(&self) -> String {
        let RoundTally { items, answered } = self.tally;
        let open = items.saturating_sub(answered);
        let left = if open == 0 { String::new() } else { format!(", {open} left out or not reached") };
        format!("{} round: {answered} of {items} answered{left}", self.round)
    }
}

impl Report for RoundReport<'_> {
    fn json(&self) -> Value {
        let mut said = self.ready.json();
        said["round"] = json!({
            "round": self.round.text(),
            "items": self.tally.items,
            "answered": self.tally.answered,
        });
        said
    }

    fn text(&self, style: &Style) -> String {
        let head = self.ready.head(style, true) + &style.wrapped("", &self.answered());
        let foot = self.ready.rest(style);
        let room = LINES.saturating_sub(lines(&head) + lines(&foot));
        head + &self.ready.first(style, room) + &foot
    }

    fn rows(&self) -> Vec<Vec<String>> {
        self.ready.rows()
    }
}

fn lines(text: &str) -> usize {
    text.lines().count()
}
