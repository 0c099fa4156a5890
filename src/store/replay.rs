//! The tables of the workshop, filled from its journal: as of an earlier day, for an import, and to prove that they say
//! what the journal says.

use rusqlite::{Connection, OptionalExtension, params};

use super::bicycle::{insert_bicycle, insert_joint, joint_of_row, put_bicycle, put_joint};
use super::reading::insert_reading;
use super::wrench::{insert_wrench, put_wrench, record_of_row};
use super::{StoreError, record};
use crate::book::OwnFigure;
use crate::sheet::{KeptRecord, KeptValue, NotA, named_fields, record_of_fields};
use crate::workshop::{Bicycle, Deed, Event, Joint, JournalLine, JournalSubject, Reading};
use crate::wrench::WrenchRecord;

/// Does in the tables what a line says, and tells the number of the thing that it added: `row`, or where none is
/// given the next. Lines that it rests on were done before.
pub(super) fn replay(
    connection: &Connection,
    (key, line): (&str, &JournalLine),
    row: Option<i64>,
) -> Result<Option<i64>, StoreError> {
    Replay { connection, key, line, row }.line()
}

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
                let started = text_of(&self.fields()?, "started_at").to_owned();
                let sql = "INSERT INTO visit (id, bicycle, started_at) VALUES (?1, ?2, ?3)";
                self.insert(sql, params![self.row, self.whole()?, started])
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
