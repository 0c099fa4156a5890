//! Who changed what on a bicycle or a joint, and why.

use serde_json::{Value, json};

use super::event::event_words;
use crate::report::{Report, Style, columns, records};
use crate::sheet::record_of_fields;
use crate::workshop::{Deed, Event, JournalChange, JournalSubject};

/// The changes of a bicycle, a joint or a wrench.
pub struct ChangesReport<'a> {
    /// The bicycle, the joint as BIKE/JOINT, or the wrench.
    pub of: String,
    /// The changes, oldest first.
    pub changes: &'a [JournalChange],
}

impl Report for ChangesReport<'_> {
    const SHEET: (&'static str, &'static str) = ("changes", "at,who,what,change,why,key");

    fn json(&self) -> Value {
        let change = |change: &JournalChange| {
            let signature = &change.line.signature;
            json!({
                "at": signature.at.to_string(),
                "who": signature.who,
                "what": what(change),
                "change": self.said(change),
                "why": signature.why,
                "key": change.key,
            })
        };
        json!({ "of": self.of, "changes": self.changes.iter().map(change).collect::<Vec<_>>() })
    }

    fn text(&self, style: &Style) -> String {
        let rows = self.changes.iter().map(|change| {
            let signature = &change.line.signature;
            let why =
                if signature.why.is_empty() { String::new() } else { format!(" (why: {})", signature.why) };
            let who =
                if signature.who.is_empty() { "nobody named".to_owned() } else { signature.who.clone() };
            vec![signature.at.short(), who, what(change), self.said(change) + &why]
        });
        style.strong(&self.of) + "\n" + &columns(&records(&["when", "who", "what", "change"], rows), style)
    }
}

impl ChangesReport<'_> {
    /// What was done, and of a line that strikes another what that was.
    fn said(&self, change: &JournalChange) -> String {
        let fields = change.line.content.fields().unwrap_or_default();
        let Some((_, key)) = fields.iter().find(|(column, key)| column == "strikes" && !key.is_empty())
        else {
            return done(change);
        };
        let Some(struck) = self.changes.iter().find(|earlier| earlier.key == *key) else {
            return "struck: an earlier line".to_owned();
        };
        let fields = struck.line.content.fields().unwrap_or_default();
        let event = record_of_fields::<Event>(&fields).ok();
        let event = event.filter(|_| struck.line.subject == JournalSubject::Event);
        let told = event.map_or_else(|| done(struck), |event| event_words(&event));
        format!("{} struck: {told}", what(struck))
    }
}

/// What was changed: the joint by its name, events and calibrations by the number that strikes them.
fn what(change: &JournalChange) -> String {
    let subject = change.line.subject;
    match subject {
        JournalSubject::Joint => change.name.clone(),
        JournalSubject::Bicycle | JournalSubject::Wrench => subject.text().to_owned(),
        _ => format!("{} {}", subject.text(), change.number),
    }
}

/// What was done to a thing, but for taking it back.
fn done(change: &JournalChange) -> String {
    let line = &change.line;
    match line.deed {
        Deed::Added => {
            let fields = line.content.fields().unwrap_or_default();
            let fields = fields.into_iter().filter(|(column, _)| tells(line.subject, column));
            let said: Vec<String> = fields.map(|(column, text)| format!("{column} {text}")).collect();
            format!("added: {}", said.join(", ")).trim_end_matches(": ").to_owned()
        }
        Deed::Changed => {
            let changes = line.content.changes().unwrap_or_default();
            let shown = |text: &str| if text.is_empty() { "nothing".to_owned() } else { text.to_owned() };
            let said = changes
                .iter()
                .map(|change| format!("{}: {} → {}", change.column, shown(&change.from), shown(&change.to)));
            said.collect::<Vec<_>>().join(", ")
        }
        Deed::Removed if line.content.changes().is_ok_and(|changes| !changes.is_empty()) => {
            "taken off: not fitted".to_owned()
        }
        Deed::Removed => "taken off".to_owned(),
    }
}

/// Whether a field of a thing that was added tells more than its name.
fn tells(subject: JournalSubject, column: &str) -> bool {
    match subject {
        JournalSubject::Joint => {
            ["entry", "bolts", "marking", "second_marking", "shop", "part_maker"].contains(&column)
        }
        JournalSubject::Bicycle => column == "kind" || column == "owner",
        JournalSubject::Wrench => column != "wrench",
        _ => true,
    }
}
