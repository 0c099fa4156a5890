//! The tables of the workshop, filled from its journal: as of an earlier day, for an import, and to prove that they say
//! what the journal says.

use std::collections::HashMap;

use rusqlite::{Connection, OptionalExtension, params};

use super::bicycle::{insert_bicycle, insert_joint, joint_of_row, put_bicycle, put_joint};
use super::reading::insert_reading;
use super::wrench::{insert_wrench, put_wrench, record_of_row};
use super::{StoreError, record, taken};
use crate::book::{OwnFigure, Round};
use crate::sheet::{KeptRecord, KeptValue, NotA, named_fields, record_of_fields};
use crate::workshop::{Bicycle, Content, Deed, Event, Joint, JournalLine, JournalSubject, Reading};
use crate::wrench::WrenchRecord;

/// Does in the tables what the lines of a journal say, in their order.
///
/// Gathered workshops may have given one name to two things, of which one was renamed later. What comes second waits for
/// its name until the end, under that of its key.
#[derive(Default)]
pub(super) struct Replayer {
    /// What waits for its name.
    waiting: HashMap<(JournalSubject, i64), String>,
}

impl Replayer {
    /// Does what a line says, and tells the number of the thing that it added: `row`, or where none is given the next.
    /// Lines that it rests on were done before.
    pub(super) fn take(
        &mut self,
        connection: &Connection,
        (key, line): (&str, &JournalLine),
        row: Option<i64>,
    ) -> Result<Option<i64>, StoreError> {
        let replay = Replay { connection, key, line, row };
        let renames = line.deed == Deed::Changed && !self.waiting.is_empty() && replay.renames()?;
        match replay.line() {
            Err(StoreError::NameTaken(name) | StoreError::WrenchExists(name)) => {
                let line = JournalLine { content: replay.under_key()?, ..line.clone() };
                let added = Replay { line: &line, ..replay }.line()?;
                let number = added.map_or_else(|| replay.subject(), Ok)?;
                self.waiting.insert((line.subject, number), name);
                Ok(added)
            }
            done => {
                if renames {
                    self.waiting.remove(&(line.subject, replay.subject()?));
                }
                done
            }
        }
    }

    /// Gives what waits its name: [`StoreError::NameTaken`] where another thing has it still.
    pub(super) fn finish(self, connection: &Connection) -> Result<(), StoreError> {
        for ((subject, number), name) in self.waiting {
            let sql = format!("UPDATE {} SET name = ?2 WHERE id = ?1", subject.text());
            connection
                .execute(&sql, params![number, name])
                .map_err(|error| taken(error, || name_taken(connection, (subject, number), name)))?;
        }
        Ok(())
    }
}

/// The failure of a thing whose name another one has; a joint is told with its bicycle.
fn name_taken(connection: &Connection, (subject, number): (JournalSubject, i64), name: String) -> StoreError {
    if subject != JournalSubject::Joint {
        return StoreError::NameTaken(name);
    }
    let sql = "SELECT name FROM bicycle WHERE id = (SELECT bicycle FROM joint WHERE id = ?1)";
    match connection.query_one(sql, [number], |row| row.get(0)) {
        Ok(bicycle) => StoreError::JointNameTaken { bicycle, joint: name },
        Err(error) => error.into(),
    }
}

#[derive(Clone, Copy)]
struct Replay<'a> {
    connection: &'a Connection,
    key: &'a str,
    line: &'a JournalLine,
    row: Option<i64>,
}

impl Replay<'_> {
    fn line(&self) -> Result<Option<i64>, StoreError> {
        match (self.line.deed, self.line.subject) {
            (Deed::Added, subject) => self.add(subject).map(Some),
            (Deed::Changed, subject) => self.change(subject).map(|()| None),
            (Deed::Removed, subject) => self.remove(subject).map(|()| None),
        }
    }

    fn add(&self, subject: JournalSubject) -> Result<i64, StoreError> {
        let connection = self.connection;
        let at = self.line.signature.at;
        match subject {
            JournalSubject::Bicycle => insert_bicycle(connection, self.row, &self.record()?),
            JournalSubject::Joint => {
                insert_joint(connection, self.row, self.whole()?, &self.record::<Joint>()?)
            }
            JournalSubject::Reading => {
                let fields = self.fields()?;
                let said = |column: &str| text_of(&fields, column);
                let corrects = self.number_of(said("corrects"))?;
                let wrench = self.number_of(said("wrench"))?;
                let reading = Reading::of_kept_fields(said).map_err(|why| self.damaged(&why))?;
                insert_reading(connection, self.row, self.whole()?, &reading, (wrench, corrects, at))
            }
            JournalSubject::Event => {
                let strikes = self.number_of(text_of(&self.fields()?, "strikes"))?;
                let others = [
                    self.own_row(),
                    vec![
                        ("bicycle", KeptValue::Whole(self.whole()?)),
                        ("recorded_at", KeptValue::Text(at.to_string())),
                        ("strikes", strikes.map_or(KeptValue::Null, KeptValue::Whole)),
                    ],
                ];
                Ok(record::insert(connection, "event", &others.concat(), &self.record::<Event>()?)?)
            }
            JournalSubject::Wrench => insert_wrench(connection, self.row, &self.record::<WrenchRecord>()?),
            JournalSubject::Calibration => {
                let fields = self.fields()?;
                let strikes = self.number_of(text_of(&fields, "strikes"))?;
                let said = |column: &str| text_of(&fields, column);
                let sql = "INSERT INTO calibration (id, wrench, done_on, result, note, strikes)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6)";
                self.insert(
                    sql,
                    params![self.row, self.whole()?, said("done_on"), said("result"), said("note"), strikes],
                )
            }
            JournalSubject::Visit => {
                let fields = self.fields()?;
                let (started, round) = (text_of(&fields, "started_at"), text_of(&fields, "round"));
                // Before there were rounds every visit was a full one.
                let round = Round::parse(round).unwrap_or_default();
                let sql = "INSERT INTO visit (id, bicycle, started_at, round) VALUES (?1, ?2, ?3, ?4)";
                self.insert(sql, params![self.row, self.whole()?, started, round.text()])
            }
            JournalSubject::Figure => {
                Ok(record::insert(connection, "own_evidence", &self.own_row(), &self.record::<OwnFigure>()?)?)
            }
        }
    }

    fn change(&self, subject: JournalSubject) -> Result<(), StoreError> {
        let id = self.subject()?;
        match subject {
            JournalSubject::Bicycle => {
                let changed = self.changed(&record::of_row::<Bicycle>(self.connection, "bicycle", id)?)?;
                put_bicycle(self.connection, id, &changed)
            }
            JournalSubject::Joint => {
                let changed = self.changed(&joint_of_row(self.connection, id)?)?;
                put_joint(self.connection, id, &changed)
            }
            JournalSubject::Wrench => {
                let changed = self.changed(&record_of_row(self.connection, id)?)?;
                put_wrench(self.connection, id, &changed)
            }
            JournalSubject::Visit => {
                let changes = self.line.content.changes().map_err(|error| self.damaged(&error))?;
                let ended = changes.iter().find(|change| change.column == "ended_at");
                let ended = ended.ok_or_else(|| self.damaged(&"no end"))?.to.clone();
                self.connection
                    .execute("UPDATE visit SET ended_at = ?2 WHERE id = ?1", params![id, ended])?;
                Ok(())
            }
            _ => Err(self.damaged(&"what is never changed was changed")),
        }
    }

    fn remove(&self, subject: JournalSubject) -> Result<(), StoreError> {
        let id = self.subject()?;
        match subject {
            JournalSubject::Joint => {
                let at = self.line.signature.at.to_string();
                self.connection.execute("UPDATE joint SET removed_at = ?2 WHERE id = ?1", params![id, at])?;
            }
            JournalSubject::Figure => {
                self.connection.execute("DELETE FROM own_evidence WHERE id = ?1", [id])?;
            }
            _ => return Err(self.damaged(&"what is never removed was removed")),
        }
        Ok(())
    }

    /// The column of the name of what the line is about.
    fn name_column(&self) -> &'static str {
        let first = match self.line.subject {
            JournalSubject::Bicycle => Bicycle::COLUMNS.first().map(|column| column.file),
            JournalSubject::Joint => Joint::COLUMNS.first().map(|column| column.file),
            _ => WrenchRecord::COLUMNS.first().map(|column| column.file),
        };
        first.unwrap_or_default()
    }

    /// Whether a change gives another name.
    fn renames(&self) -> Result<bool, StoreError> {
        let changes = self.line.content.changes().map_err(|error| self.damaged(&error))?;
        Ok(changes.iter().any(|change| change.column == self.name_column()))
    }

    /// What the line says, with its key in the place of the name.
    fn under_key(&self) -> Result<Content, StoreError> {
        let name = self.name_column();
        let or_key = |column: &str, text: String| if column == name { self.key.to_owned() } else { text };
        if self.line.deed == Deed::Added {
            let fields = self.fields()?;
            return Ok(Content::of(
                fields.iter().map(|(column, text)| (column.as_str(), or_key(column, text.clone()))),
            ));
        }
        let changes = self.line.content.changes().map_err(|error| self.damaged(&error))?;
        let changes = changes.iter().map(|change| {
            (change.column.as_str(), change.from.clone(), or_key(&change.column, change.to.clone()))
        });
        Ok(Content::between(changes).unwrap_or_default())
    }

    fn insert(&self, sql: &str, parameters: impl rusqlite::Params) -> Result<i64, StoreError> {
        self.connection.prepare_cached(sql)?.execute(parameters)?;
        Ok(self.connection.last_insert_rowid())
    }

    fn own_row(&self) -> Vec<(&'static str, KeptValue)> {
        self.row.map(|row| ("id", KeptValue::Whole(row))).into_iter().collect()
    }

    fn fields(&self) -> Result<Vec<(String, String)>, StoreError> {
        self.line.content.fields().map_err(|error| self.damaged(&error))
    }

    fn record<R: KeptRecord>(&self) -> Result<R, StoreError> {
        record_of_fields(&self.fields()?).map_err(|error| self.damaged(&error))
    }

    /// A record with what the line changed.
    fn changed<R: KeptRecord>(&self, record: &R) -> Result<R, StoreError> {
        let changes = self.line.content.changes().map_err(|error| self.damaged(&error))?;
        let mut fields: Vec<(String, String)> =
            named_fields(record).map(|(column, text)| (column.to_owned(), text)).collect();
        for change in changes {
            if let Some((_, text)) = fields.iter_mut().find(|(column, _)| *column == change.column) {
                *text = change.to;
            }
        }
        record_of_fields(&fields).map_err(|error: NotA| self.damaged(&error))
    }

    fn subject(&self) -> Result<i64, StoreError> {
        self.known(&self.line.of)
    }

    fn whole(&self) -> Result<i64, StoreError> {
        self.known(&self.line.whole)
    }

    /// The number here of what a line added; none for an empty key.
    fn number_of(&self, key: &str) -> Result<Option<i64>, StoreError> {
        if key.is_empty() { Ok(None) } else { self.known(key).map(Some) }
    }

    fn known(&self, key: &str) -> Result<i64, StoreError> {
        let sql = "SELECT row FROM journal WHERE key = ?1 AND deed = 'added'";
        let row = self.connection.prepare_cached(sql)?.query_row([key], |row| row.get(0)).optional()?;
        row.ok_or_else(|| self.damaged(&format!("it rests on line {key}, which is not there")))
    }

    fn damaged(&self, why: &dyn std::fmt::Display) -> StoreError {
        StoreError::DamagedRecord {
            what: "line of the journal",
            name: self.key.to_owned(),
            reason: why.to_string(),
        }
    }
}

fn text_of<'a>(fields: &'a [(String, String)], column: &str) -> &'a str {
    fields.iter().find(|(name, _)| name == column).map_or("", |(_, text)| text)
}
