//! Readings in the database: appended, never changed.

use std::collections::HashMap;

use rusqlite::{Connection, OptionalExtension, Params, Row, named_params, params};

use super::bicycle::{damaged, instant};
use super::journal::Writing;
use super::{Store, StoreError};
use crate::conformity::Kind;
use crate::quantity::{self, Measure, MeasureUnit, Number, TorqueUnit};
use crate::words::meant;
use crate::workshop::{
    Action, Content, Finding, JournalSubject, LocalInstant, Logged, Reading, Signature, Value,
};

/// The columns that [`deciding`] reads, in its order.
pub(super) const DECIDING: &str =
    "r.joint, r.bolt, r.kind, r.finding, r.id, r.taken_at, r.value, r.decimals, r.unit, r.wrench, r.action";

/// Appending readings in one transaction: all or nothing.
pub struct Appending<'a> {
    writing: Writing<'a>,
    wrenches: HashMap<String, Option<i64>>,
}

impl Store {
    /// Begins to append readings; nothing is kept until [`Appending::commit`].
    pub(crate) fn append(&mut self) -> Result<Appending<'_>, StoreError> {
        Ok(Appending { writing: self.write()?, wrenches: HashMap::new() })
    }

    /// When the newest line of the log was written down.
    pub(crate) fn last_recorded(&self) -> Result<Option<LocalInstant>, StoreError> {
        let sql = "SELECT recorded_at FROM reading ORDER BY id DESC LIMIT 1";
        Ok(self.rows(sql, [], |row| instant(row.get_ref(0)?.as_str().unwrap_or_default()))?.pop())
    }

    pub(crate) fn log_of(&self, joint: i64) -> Result<Vec<Logged>, StoreError> {
        let wrenches = self.wrench_names()?;
        self.rows(&log_sql("r.joint = ?1"), [joint], |row| logged(row, &wrenches))
    }

    /// Hands every reading of the log to `each`, oldest number first.
    pub(crate) fn log<E: From<StoreError>>(
        &self,
        mut each: impl FnMut(Logged) -> Result<(), E>,
    ) -> Result<(), E> {
        let wrenches = self.wrench_names()?;
        let mut query = self.connection.prepare_cached(&log_sql("TRUE")).map_err(StoreError::from)?;
        let log = query.query_and_then([], |row| logged(row, &wrenches)).map_err(StoreError::from)?;
        for logged in log {
            each(logged?)?;
        }
        Ok(())
    }

    /// A reading by its number, with the number of its joint.
    pub(crate) fn logged(&self, id: i64) -> Result<Option<(i64, Logged)>, StoreError> {
        let wrenches = self.wrench_names()?;
        let read = |row: &Row<'_>| Ok((row.get(0)?, logged(row, &wrenches)?));
        Ok(self.rows(&log_sql("r.id = ?1"), [id], read)?.pop())
    }

    pub(crate) fn reading_count(&self) -> Result<i64, StoreError> {
        Ok(self.connection.query_row("SELECT count(*) FROM reading", [], |row| row.get(0))?)
    }

    pub(super) fn wrench_names(&self) -> Result<HashMap<i64, String>, StoreError> {
        let names = self.rows("SELECT id, name FROM wrench", [], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok(names.into_iter().collect())
    }
}

impl Appending<'_> {
    /// Appends one reading and gives it its number; [`StoreError::NotCorrectable`] when it corrects what it cannot.
    pub(crate) fn add(
        &mut self,
        joint: i64,
        reading: &Reading,
        recorded: LocalInstant,
    ) -> Result<i64, StoreError> {
        if let Some(corrects) = reading.corrects {
            let sql = "SELECT id FROM reading WHERE id = ?1 AND joint = ?2
                AND NOT EXISTS (SELECT 1 FROM reading WHERE corrects = ?1)";
            self.number(sql, params![corrects, joint])?.ok_or(StoreError::NotCorrectable(corrects))?;
        }
        let wrench = reading.wrench.as_deref().map(|name| self.wrench(name)).transpose()?.flatten();
        let id = insert_reading(&self.writing, None, joint, reading, (wrench, reading.corrects, recorded))?;
        let key = |subject, row: Option<i64>| row.map(|row| self.writing.key_of((subject, row))).transpose();
        let wrench = key(JournalSubject::Wrench, wrench)?.unwrap_or_default();
        let corrects = key(JournalSubject::Reading, reading.corrects)?.unwrap_or_default();
        let signature = Signature { at: recorded, who: reading.who.clone(), ..self.writing.signature() };
        let content = Content::of(reading.kept_fields(&wrench, &corrects));
        self.writing.added_by(
            signature,
            (JournalSubject::Reading, id),
            Some((JournalSubject::Joint, joint)),
            content,
        )?;
        Ok(id)
    }

    /// Whether the log has such a line already: same joint, bolt, moment, kind, value, finding and action.
    pub(crate) fn twin(&self, joint: i64, reading: &Reading) -> Result<Option<i64>, StoreError> {
        let sql = "SELECT id FROM reading WHERE joint = ?1 AND bolt = ?2 AND sort = ?3 AND instant = ?4
            AND value IS ?5 LIMIT 1";
        let same = params![
            joint,
            reading.bolt,
            sort_of(reading),
            reading.at.instant().as_millisecond(),
            reading.value.map(|value| value.number().value),
        ];
        self.number(sql, same)
    }

    pub(crate) fn commit(self) -> Result<(), StoreError> {
        self.writing.commit()
    }

    /// The number of the first line that a statement finds.
    fn number(&self, sql: &str, parameters: impl Params) -> Result<Option<i64>, StoreError> {
        Ok(self.writing.prepare_cached(sql)?.query_row(parameters, |row| row.get(0)).optional()?)
    }

    /// The number of a registered wrench.
    pub(crate) fn wrench(&mut self, name: &str) -> Result<Option<i64>, StoreError> {
        if let Some(known) = self.wrenches.get(name) {
            return Ok(*known);
        }
        let found = self.number("SELECT id FROM wrench WHERE name = ?1", [name.trim()])?;
        self.wrenches.insert(name.to_owned(), found);
        Ok(found)
    }
}

/// What a reading can say of its bolt, as the database reckons it: kind, unit, finding, action.
fn sort_of(reading: &Reading) -> String {
    let unit = reading.value.map_or("", Value::symbol);
    let finding = reading.finding.map_or("", Finding::text);
    let action = reading.action.map_or("", Action::text);
    format!("{} {unit} {finding} {action}", reading.kind.text())
}

/// Inserts a reading, with the numbers of its wrench and of what it corrects, and when it was written down.
pub(super) fn insert_reading(
    connection: &Connection,
    id: Option<i64>,
    joint: i64,
    reading: &Reading,
    (wrench, corrects, recorded): (Option<i64>, Option<i64>, LocalInstant),
) -> Result<i64, StoreError> {
    let number = reading.value.map(|value| (value.number(), value.symbol()));
    let columns = named_params! {
        ":id": id,
        ":joint": joint,
        ":bolt": reading.bolt,
        ":taken_at": reading.at.to_string(),
        ":kind": reading.kind.text(),
        ":value": number.map(|(number, _)| number.value),
        ":decimals": number.map(|(number, _)| number.decimals),
        ":unit": number.map(|(_, unit)| unit),
        ":wrench": wrench,
        ":finding": reading.finding.map(Finding::text),
        ":action": reading.action.map(Action::text),
        ":who": reading.who,
        ":note": reading.note,
        ":corrects": corrects,
        ":recorded_at": recorded.to_string(),
    };
    let names: Vec<&str> = columns.iter().map(|(name, _)| *name).collect();
    let marks = names.join(", ");
    let sql = format!("INSERT INTO reading ({}) VALUES ({marks})", marks.replace(':', ""));
    connection.prepare_cached(&sql)?.execute(columns)?;
    Ok(connection.last_insert_rowid())
}

/// The statement that reads what [`logged`] takes.
pub(super) fn log_sql(filter: &str) -> String {
    format!(
        "SELECT {DECIDING}, b.name, j.name, j.entry, r.who, r.note, r.corrects, c.id, r.recorded_at,
           j.removed_at IS NOT NULL
         FROM reading r JOIN joint j ON j.id = r.joint JOIN bicycle b ON b.id = j.bicycle
         LEFT JOIN reading c ON c.corrects = r.id WHERE {filter} ORDER BY r.id"
    )
}

pub(super) fn logged(row: &Row<'_>, wrenches: &HashMap<i64, String>) -> Result<Logged, StoreError> {
    let reading = deciding(row, wrenches)?;
    Ok(Logged {
        reading: Reading { who: row.get(14)?, note: row.get(15)?, corrects: row.get(16)?, ..reading },
        bicycle: row.get(11)?,
        joint: row.get(12)?,
        entry: row.get(13)?,
        corrected_by: row.get(17)?,
        recorded: instant(row.get_ref(18)?.as_str().unwrap_or_default())?,
        removed: row.get(19)?,
    })
}

/// The part of a row that decides.
pub(super) fn deciding(row: &Row<'_>, wrenches: &HashMap<i64, String>) -> Result<Reading, StoreError> {
    let id: i64 = row.get(4)?;
    let wrong = |what: &str| damaged(&format!("reading {id}"), &format!("{what} cannot be read"));
    let at = instant(row.get_ref(5)?.as_str().unwrap_or_default())?;
    let kind = row.get_ref(2)?.as_str().ok().and_then(Kind::parse).ok_or_else(|| wrong("kind"))?;
    Ok(Reading {
        id,
        bolt: row.get(1)?,
        value: value(row, || wrong("unit"))?,
        wrench: row.get::<_, Option<i64>>(9)?.and_then(|id| wrenches.get(&id)).cloned(),
        finding: by_word(row, 3, Finding::WORDS, || wrong("finding"))?,
        action: by_word(row, 10, Action::WORDS, || wrong("action"))?,
        ..Reading::new(at, kind)
    })
}

/// What the word in a column stands for, where there is one.
fn by_word<T: Copy>(
    row: &Row<'_>,
    column: usize,
    words: &[(&str, T)],
    wrong: impl Fn() -> StoreError,
) -> Result<Option<T>, StoreError> {
    let word: Option<String> = row.get(column)?;
    word.map(|word| meant(words, &word).ok_or_else(wrong)).transpose()
}

/// The value of a row, where there is one.
fn value(row: &Row<'_>, wrong: impl Fn() -> StoreError) -> Result<Option<Value>, StoreError> {
    let Some(value) = row.get::<_, Option<f64>>(6)? else { return Ok(None) };
    let number = Number { value, decimals: row.get::<_, Option<u8>>(7)?.unwrap_or(0) };
    let symbol = row.get_ref(8)?.as_str().unwrap_or_default();
    let torque = TorqueUnit::ALL.iter().find(|unit| unit.symbol() == symbol).map(|&unit| {
        Value::Torque(quantity::Reading { torque: unit.of(value), number, unit, unit_given: true })
    });
    let measure = || Some(Value::Measure(Measure { number, unit: MeasureUnit::spelt(symbol)? }));
    torque.or_else(measure).ok_or_else(wrong).map(Some)
}

#[cfg(test)]
#[path = "reading_tests.rs"]
mod tests;
