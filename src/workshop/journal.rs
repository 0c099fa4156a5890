//! The journal: every change of the workshop as a line that is only ever appended.
//!
//! A line says who did what to which thing, when it was written down and why. It is known by its key, a hash of all
//! that it says and of the key of the line before it of the same workshop: the lines of a workshop are a chain, in which
//! no line can be changed, left out or put in between without being seen. A thing is known by the key of the line that
//! added it, in every database that the line reaches.

use std::fmt;

use jiff::tz::TimeZone;

use super::LocalInstant;
use crate::words::words;
use crate::wrench::Calibration;

words! {
    /// What a line of the journal is about.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum JournalSubject: text {
        Bicycle = "bicycle",
        Joint = "joint",
        /// A reading or finding.
        Reading = "reading",
        /// A ride, a crash, work done.
        Event = "event",
        Wrench = "wrench",
        Calibration = "calibration",
        Visit = "visit",
        /// A figure of the workshop's own.
        Figure = "figure",
    }
}

words! {
    /// What was done.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Deed: text {
        Added = "added",
        Changed = "changed",
        /// Taken off, or out of use.
        Removed = "removed",
    }
}

/// Who writes in the journal, when, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Signature {
    pub at: LocalInstant,
    /// Empty where nobody is named.
    pub who: String,
    /// Empty where no reason is given.
    pub why: String,
}

impl Default for Signature {
    fn default() -> Signature {
        Signature { at: LocalInstant::BLANK, who: String::new(), why: String::new() }
    }
}

/// One line of the journal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JournalLine {
    /// The name of the chain: the workshop's database that wrote the line.
    pub workshop: String,
    pub signature: Signature,
    pub deed: Deed,
    pub subject: JournalSubject,
    /// The key of the line that added the subject; empty in that line itself.
    pub of: String,
    /// In a line that adds a part: the key of the line that added what it is a part of.
    pub whole: String,
    /// What was added, or what was changed.
    pub content: Content,
    /// The key of the line before of the same workshop; empty in its first.
    pub before: String,
}

impl JournalLine {
    /// The key: 128 bits of the BLAKE3 hash of all that the line says, its length before each field.
    #[must_use]
    pub fn key(&self) -> String {
        let mut hasher = blake3::Hasher::new();
        for field in [
            &self.workshop,
            &self.signature.at.to_string(),
            &self.signature.who,
            self.deed.text(),
            self.subject.text(),
            &self.of,
            &self.whole,
            &self.content.0,
            &self.signature.why,
            &self.before,
        ] {
            hasher.update(&(field.len() as u64).to_le_bytes());
            hasher.update(field.as_bytes());
        }
        hasher.finalize().to_hex().get(..32).unwrap_or_default().to_owned()
    }
}

/// The columns of a journal in a file.
pub const JOURNAL_COLUMNS: [&str; 11] =
    ["key", "workshop", "recorded_at", "who", "deed", "subject", "of", "whole", "content", "why", "before"];

impl JournalLine {
    /// Its fields in a file, in the order of [`JOURNAL_COLUMNS`].
    pub(crate) fn fields(&self, key: &str) -> [String; JOURNAL_COLUMNS.len()] {
        [
            key.to_owned(),
            self.workshop.clone(),
            self.signature.at.to_string(),
            self.signature.who.clone(),
            self.deed.text().to_owned(),
            self.subject.text().to_owned(),
            self.of.clone(),
            self.whole.clone(),
            self.content.to_string(),
            self.signature.why.clone(),
            self.before.clone(),
        ]
    }

    /// The key and the line of such fields. Says what is wrong with one that cannot be read.
    pub(crate) fn of_fields<'a>(
        mut fields: impl Iterator<Item = &'a str>,
    ) -> Result<(String, JournalLine), String> {
        let mut next = || fields.next().unwrap_or_default().to_owned();
        let (key, workshop, at, who) = (next(), next(), next(), next());
        let (deed, subject, of, whole) = (next(), next(), next(), next());
        let (content, why, before) = (next(), next(), next());
        let at = LocalInstant::parse(&at, &TimeZone::UTC).map_err(|error| error.to_string())?;
        let line = JournalLine {
            workshop,
            signature: Signature { at, who, why },
            deed: Deed::parse(&deed).ok_or_else(|| format!("unknown deed `{deed}`"))?,
            subject: JournalSubject::parse(&subject).ok_or_else(|| format!("unknown subject `{subject}`"))?,
            of,
            whole,
            content: Content::kept(content),
            before,
        };
        Ok((key, line))
    }
}

/// What a line added or changed, as a JSON object: for a thing that was added `{"column": "text"}` of the columns
/// that say something, for a change `{"column": ["from", "to"]}`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Content(String);

impl Default for Content {
    fn default() -> Content {
        Content("{}".to_owned())
    }
}

/// A line of the journal with what its subject is called here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JournalChange {
    /// The key of the line.
    pub key: String,
    /// The number of the subject among its like, in this database.
    pub number: i64,
    /// The name of a joint; else empty.
    pub name: String,
    pub line: JournalLine,
}

/// Numbers of what was here before other journals were taken in, and what they are since.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Renumbered {
    pub subject: JournalSubject,
    /// The first and the last of the numbers they had, without a gap.
    pub first: i64,
    pub last: i64,
    /// The number of the first now; the others follow it.
    pub now: i64,
}

/// A calibration of a wrench that was taken back.
#[derive(Debug, Clone, PartialEq)]
pub struct StruckCalibration {
    /// Its number in this database.
    pub number: i64,
    pub done: Calibration,
    pub note: String,
    /// When it was taken back.
    pub at: LocalInstant,
    /// Who did it, or empty.
    pub who: String,
    pub why: String,
}

/// What a column held and holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColumnChange {
    pub column: String,
    pub from: String,
    pub to: String,
}

/// A content that is not what a line of its kind holds.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not what the journal writes of it")]
pub struct ContentError(String);

impl Content {
    /// The columns that say something.
    pub(crate) fn of<'a>(fields: impl IntoIterator<Item = (&'a str, String)>) -> Content {
        let said = fields.into_iter().filter(|(_, text)| !text.is_empty());
        let object: serde_json::Map<String, serde_json::Value> =
            said.map(|(column, text)| (column.to_owned(), text.into())).collect();
        Content(serde_json::Value::Object(object).to_string())
    }

    /// The columns that differ; none where nothing does.
    pub(crate) fn between<'a>(
        columns: impl IntoIterator<Item = (&'a str, String, String)>,
    ) -> Option<Content> {
        let differ = columns.into_iter().filter(|(_, from, to)| from != to);
        let object: serde_json::Map<String, serde_json::Value> =
            differ.map(|(column, from, to)| (column.to_owned(), serde_json::json!([from, to]))).collect();
        (!object.is_empty()).then(|| Content(serde_json::Value::Object(object).to_string()))
    }

    /// A content as it is kept; what it says is asked for later.
    pub(crate) fn kept(text: String) -> Content {
        Content(text)
    }

    /// The fields of a thing that was added.
    ///
    /// # Errors
    /// [`ContentError`] where it is another object or none.
    pub fn fields(&self) -> Result<Vec<(String, String)>, ContentError> {
        let fields: serde_json::Map<String, serde_json::Value> = self.object()?;
        let field = |(column, value): (String, serde_json::Value)| match value {
            serde_json::Value::String(text) => Ok((column, text)),
            _ => Err(self.wrong()),
        };
        fields.into_iter().map(field).collect()
    }

    /// What was changed.
    ///
    /// # Errors
    /// [`ContentError`] where it is another object or none.
    pub fn changes(&self) -> Result<Vec<ColumnChange>, ContentError> {
        let change = |(column, value): (String, serde_json::Value)| {
            let (from, to) = serde_json::from_value(value).map_err(|_| self.wrong())?;
            Ok(ColumnChange { column, from, to })
        };
        self.object()?.into_iter().map(change).collect()
    }

    fn object(&self) -> Result<serde_json::Map<String, serde_json::Value>, ContentError> {
        serde_json::from_str(&self.0).map_err(|_| self.wrong())
    }

    fn wrong(&self) -> ContentError {
        ContentError(self.0.clone())
    }
}

impl fmt::Display for Content {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Where a journal is not whole.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ChainError {
    /// A line that says another thing than its key.
    #[error("line {line} of the journal was changed: its key is that of another text")]
    Changed {
        /// Its number, from 1.
        line: usize,
    },
    /// A line whose line before is not there.
    #[error("a line is missing before line {line} of the journal")]
    Missing {
        /// Its number, from 1.
        line: usize,
    },
}

/// Checks the chains of a journal, line after line in its order.
#[derive(Debug, Default)]
pub struct ChainCheck {
    lines: usize,
    /// Every key that was met, for the lines that follow.
    keys: std::collections::HashSet<String>,
}

impl ChainCheck {
    /// Takes the next line with the key that is kept beside it.
    ///
    /// # Errors
    /// [`ChainError`] where the key is not that of the line, or the line before it was not met.
    pub fn take(&mut self, line: &JournalLine, key: &str) -> Result<(), ChainError> {
        self.lines += 1;
        let follows = line.before.is_empty() || self.keys.contains(&line.before);
        // The lines behind one at fault hang on the key that is kept: what was done to it is told once.
        self.keys.insert(key.to_owned());
        if line.key() != key {
            return Err(ChainError::Changed { line: self.lines });
        }
        if follows { Ok(()) } else { Err(ChainError::Missing { line: self.lines }) }
    }

    /// How many lines were met.
    #[must_use]
    pub fn lines(&self) -> usize {
        self.lines
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn line(note: &str, before: &str) -> JournalLine {
        JournalLine {
            workshop: "w".into(),
            signature: Signature { who: "Kim".into(), ..Signature::default() },
            deed: Deed::Added,
            subject: JournalSubject::Event,
            of: String::new(),
            whole: "bike".into(),
            content: Content::of([
                ("kind", "crash".to_owned()),
                ("note", note.to_owned()),
                ("km", String::new()),
            ]),
            before: before.into(),
        }
    }

    #[test]
    fn a_key_hangs_on_everything_that_a_line_says() {
        let first = line("a", "");
        let mut others = vec![first.clone(); 9];
        others[0].workshop.push('x');
        others[1].signature.who.push('x');
        others[2].signature.why.push('x');
        others[3].signature.at = others[3].signature.at.later_by_ms(1);
        others[4].deed = Deed::Removed;
        others[5].subject = JournalSubject::Visit;
        others[6].of.push('x');
        others[7].whole.push('x');
        others[8].content = Content::of([]);
        others.push(line("a", "x"));
        // A field that ends where another one begins is another line.
        others.push(JournalLine { of: "bike".into(), whole: String::new(), ..first.clone() });
        for other in others {
            assert_ne!(other.key(), first.key(), "{other:?}");
        }
        assert_eq!(first.key().len(), 32);
    }

    /// BLAKE3's published test vector for the empty input.
    #[test]
    fn the_hash_is_blake3() {
        let hash = blake3::hash(b"").to_hex();
        assert_eq!(hash.as_str(), "af1349b9f5f9a1a6a0404dea36dcc9499bcb25c9adc112b7cc9a93cae41f3262");
    }

    #[test]
    fn a_chain_shows_what_was_changed_left_out_and_put_in() {
        let lines =
            ["a", "b", "c"].into_iter().fold(Vec::<(JournalLine, String)>::new(), |mut lines, note| {
                let before = lines.last().map(|(_, key)| key.clone()).unwrap_or_default();
                let next = line(note, &before);
                let key = next.key();
                lines.push((next, key));
                lines
            });
        let check = |lines: &[(JournalLine, String)]| {
            let mut check = ChainCheck::default();
            lines.iter().try_for_each(|(line, key)| check.take(line, key))
        };
        assert_eq!(check(&lines), Ok(()));
        assert_eq!(check(&[lines[0].clone(), lines[2].clone()]), Err(ChainError::Missing { line: 2 }));
        let mut changed = lines.clone();
        changed[1].0.content = Content::of([("note", "x".to_owned())]);
        assert_eq!(check(&changed), Err(ChainError::Changed { line: 2 }));
        // What hangs on it is not at fault, and is not told again.
        let told = |lines: &[(JournalLine, String)]| {
            let mut check = ChainCheck::default();
            lines.iter().filter(|(line, key)| check.take(line, key).is_err()).count()
        };
        assert_eq!(told(&changed), 1);
        assert_eq!(told(&[lines[0].clone(), lines[2].clone()]), 1);
        changed[1].1 = changed[1].0.key();
        assert_eq!(check(&changed), Err(ChainError::Missing { line: 3 }));
    }

    #[test]
    fn a_content_of_another_form_is_refused() {
        for text in ["", "[]", "{\"a\":1}", "{\"a\":[\"x\"]}", "{"] {
            let content = Content::kept(text.to_owned());
            assert!(content.fields().is_err(), "{text}");
            assert!(content.changes().is_err(), "{text}");
        }
    }

    proptest! {
        #[test]
        fn a_content_says_what_was_put_in(from in "\\PC*", to in "\\PC{1,9}") {
            let content = Content::of([("a", from.clone()), ("b", to.clone())]);
            let said: Vec<(String, String)> = [("a", &from), ("b", &to)]
                .into_iter()
                .filter(|(_, text)| !text.is_empty())
                .map(|(column, text)| (column.to_owned(), text.clone()))
                .collect();
            prop_assert_eq!(content.fields(), Ok(said));
            let change = Content::between([("a", from.clone(), to.clone()), ("b", to.clone(), to.clone())]);
            prop_assert_eq!(change.is_some(), from != to);
            if let Some(change) = change {
                prop_assert_eq!(change.changes(), Ok(vec![ColumnChange { column: "a".into(), from, to }]));
            }
        }
    }
}
