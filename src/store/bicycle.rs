//! Bicycles, their joints and what happened to them in the database; events are appended, never changed.

use std::collections::HashMap;

use rusqlite::{Connection, OptionalExtension, Row, ToSql, params};

use super::journal::{Writing, key_of};
use super::{Store, StoreError, grouped, is_of, record, taken};
use crate::book::Round;
use crate::sheet::{Kept as _, KeptValue, named_fields};
use crate::workshop::{
    Bicycle, Content, Deed, Event, Figure, Figures, Joint, JournalSubject, LocalInstant, Marked, Marking,
    Name, Signature, StoredBicycle, StoredJoint,
};

impl Store {
    /// Takes in a bicycle with its joints, all or nothing; [`StoreError::NameTaken`] when another bicycle or two
    /// of the joints have the name.
    pub(crate) fn add_bicycle(&mut self, bicycle: &Bicycle, joints: &[Joint]) -> Result<i64, StoreError> {
        let writing = self.write()?;
        let id = insert_bicycle(&writing, None, bicycle)?;
        writing.added((JournalSubject::Bicycle, id), None, Content::of(named_fields(bicycle)))?;
        for joint in joints {
            add_joint(&writing, id, joint)?;
        }
        writing.commit()?;
        Ok(id)
    }

    /// The bicycles by name; retired ones only where asked for.
    pub(crate) fn bicycles(&self, with_retired: bool) -> Result<Vec<StoredBicycle>, StoreError> {
        self.bicycles_where("?1 OR retired_at IS NULL", with_retired)
    }

    pub(crate) fn bicycle(&self, name: &str) -> Result<Option<StoredBicycle>, StoreError> {
        Ok(self.bicycles_where("name = ?1", name.trim())?.pop())
    }

    fn bicycles_where(&self, filter: &str, value: impl ToSql) -> Result<Vec<StoredBicycle>, StoreError> {
        let columns = record::columns::<Bicycle>();
        let sql = format!("SELECT id, {columns} FROM bicycle WHERE {filter} ORDER BY name");
        self.rows(&sql, [value], |row| Ok(StoredBicycle { id: row.get(0)?, bicycle: record::read(row, 1)? }))
    }

    /// Changes what is written about a bicycle; [`StoreError::NameTaken`] when the new name is another one's.
    pub(crate) fn change_bicycle(&mut self, changed: &StoredBicycle) -> Result<(), StoreError> {
        let StoredBicycle { id, bicycle } = changed;
        let writing = self.write()?;
        let before: Bicycle = record::of_row(&writing, "bicycle", *id)?;
        put_bicycle(&writing, *id, bicycle)?;
        writing.changed((JournalSubject::Bicycle, *id), &before, bicycle)?;
        writing.commit()
    }

    /// The joints of a bicycle, or of all bicycles in use, in the order in which one walks round.
    pub(crate) fn joints(&self, of: Option<i64>) -> Result<Vec<StoredJoint>, StoreError> {
        let filter = is_of("bicycle", of);
        self.joints_where(&format!("removed_at IS NULL AND {filter} ORDER BY bicycle, position, id"), of)
    }

    /// The joints that were taken off any bicycle, the newest first.
    pub(crate) fn removed_joints(&self) -> Result<Vec<StoredJoint>, StoreError> {
        self.joints_where("removed_at IS NOT NULL AND ?1 IS NULL ORDER BY removed_at DESC, id DESC", None)
    }

    fn joints_where(&self, filter: &str, of: Option<i64>) -> Result<Vec<StoredJoint>, StoreError> {
        let mut markings = self.markings(of)?;
        let columns = record::columns::<Joint>();
        let sql = format!("SELECT id, bicycle, {columns} FROM joint WHERE {filter}");
        self.rows(&sql, [of], |row| {
            let mut stored =
                StoredJoint { id: row.get(0)?, bicycle: row.get(1)?, joint: record::read(row, 2)? };
            stored.joint.figures.markings = markings.remove(&stored.id).unwrap_or_default();
            Ok(stored)
        })
    }

    fn markings(&self, of: Option<i64>) -> Result<HashMap<i64, Vec<Marking>>, StoreError> {
        let sql = "SELECT joint, part, figure FROM marking
             WHERE ?1 IS NULL OR joint IN (SELECT id FROM joint WHERE bicycle = ?1) ORDER BY joint, number";
        let markings = self.rows(sql, [of], |row| {
            let figure = Figure::read(&row.get::<_, String>(2)?);
            Ok((row.get(0)?, Marking { part: row.get(1)?, figure }))
        })?;
        Ok(grouped(markings))
    }

    /// What the bicycles in use carry on their joints of an entry.
    pub(crate) fn marked(&self, entry: &str) -> Result<Marked, StoreError> {
        let sql = "SELECT bicycle.name, marking.figure FROM joint
             JOIN bicycle ON bicycle.id = joint.bicycle LEFT JOIN marking ON marking.joint = joint.id
             WHERE joint.entry = ?1 AND joint.checked_by = 'torque' AND joint.removed_at IS NULL
               AND bicycle.retired_at IS NULL
             ORDER BY bicycle.name, joint.position, joint.id, marking.number";
        let joints = self.rows(sql, [entry], |row| {
            let figure = row.get::<_, Option<String>>(1)?;
            Ok((row.get(0)?, figure.map(|text| Figure::read(&text))))
        })?;
        Ok(Marked::of(joints))
    }

    /// Adds joints to a bicycle, all or none; [`StoreError::NameTaken`] when it has one of a name.
    pub(crate) fn add_joints(&mut self, bicycle: i64, joints: &[Joint]) -> Result<(), StoreError> {
        let writing = self.write()?;
        for joint in joints {
            add_joint(&writing, bicycle, joint)?;
        }
        writing.commit()
    }

    /// Changes what is written about joints, all or none; their readings stay. [`StoreError::NameTaken`] when a
    /// bicycle has another joint of a new name.
    pub(crate) fn change_joints(&mut self, changed: &[StoredJoint]) -> Result<(), StoreError> {
        let writing = self.write()?;
        for StoredJoint { id, joint, .. } in changed {
            let before = joint_of_row(&writing, *id)?;
            put_joint(&writing, *id, joint)?;
            writing.changed((JournalSubject::Joint, *id), &before, joint)?;
        }
        writing.commit()
    }

    /// Takes a joint off a bicycle, which may not have the part; its readings stay in the log.
    pub(crate) fn remove_joint(&mut self, joint: i64, is_fitted: bool) -> Result<(), StoreError> {
        let at = self.signature.at.to_string();
        let writing = self.write()?;
        writing.execute("UPDATE joint SET removed_at = ?2 WHERE id = ?1", params![joint, at])?;
        let fitted = |is_fitted| if is_fitted { "yes" } else { "no" }.to_owned();
        let content = Content::between([("fitted", fitted(true), fitted(is_fitted))]).unwrap_or_default();
        writing.altered(Deed::Removed, (JournalSubject::Joint, joint), content)?;
        writing.commit()
    }

    /// When the open visit of a bicycle was started, and its round, if there is one.
    pub(crate) fn open_visit(&self, bicycle: i64) -> Result<Option<(LocalInstant, Round)>, StoreError> {
        let sql = "SELECT started_at, round FROM visit WHERE bicycle = ?1 AND ended_at IS NULL";
        let read = |row: &Row<'_>| {
            let started = instant(row.get_ref(0)?.as_str().unwrap_or_default())?;
            Ok((started, Round::parse(&row.get::<_, String>(1)?).unwrap_or_default()))
        };
        Ok(self.rows(sql, [bicycle], read)?.pop())
    }

    pub(crate) fn start_visit(
        &mut self,
        bicycle: i64,
        at: LocalInstant,
        round: Round,
    ) -> Result<(), StoreError> {
        let writing = self.write()?;
        let sql = "INSERT INTO visit (bicycle, started_at, round) VALUES (?1, ?2, ?3)";
        writing.execute(sql, params![bicycle, at.to_string(), round.text()])?;
        let visit = (JournalSubject::Visit, writing.last_insert_rowid());
        let content = Content::of([("started_at", at.to_string()), ("round", round.text().to_owned())]);
        writing.added(visit, Some((JournalSubject::Bicycle, bicycle)), content)?;
        writing.commit()
    }

    pub(crate) fn end_visit(&mut self, bicycle: i64, at: LocalInstant) -> Result<(), StoreError> {
        let writing = self.write()?;
        let sql = "SELECT id FROM visit WHERE bicycle = ?1 AND ended_at IS NULL";
        let open: Option<i64> = writing.query_row(sql, [bicycle], |row| row.get(0)).optional()?;
        let Some(visit) = open else { return Ok(()) };
        writing.execute("UPDATE visit SET ended_at = ?2 WHERE id = ?1", params![visit, at.to_string()])?;
        let ended = Content::between([("ended_at", String::new(), at.to_string())]).unwrap_or_default();
        writing.altered(Deed::Changed, (JournalSubject::Visit, visit), ended)?;
        writing.commit()
    }

    /// Appends an event that bicycles had in common, to all of them or none.
    pub(crate) fn add_event(
        &mut self,
        bicycles: &[i64],
        event: &Event,
        recorded: LocalInstant,
    ) -> Result<(), StoreError> {
        let writing = self.write()?;
        for bicycle in bicycles {
            add_event(&writing, *bicycle, event, recorded)?;
        }
        writing.commit()
    }

    /// Takes back an event of that number, for the reason that the signature gives; it stays readable. The number of its
    /// bicycle and what it was; none where there is no such event, or it was struck before.
    pub(crate) fn strike_event(&mut self, number: i64) -> Result<Option<(i64, Event)>, StoreError> {
        let writing = self.write()?;
        let sql = "SELECT bicycle FROM event WHERE id = ?1 AND strikes IS NULL
            AND NOT EXISTS (SELECT 1 FROM event WHERE strikes = ?1)";
        let Some(bicycle) = writing.query_row(sql, [number], |row| row.get(0)).optional()? else {
            return Ok(None);
        };
        let signature = writing.signature();
        let event: Event = record::of_row(&writing, "event", number)?;
        let struck = Event { note: signature.why.clone(), at: signature.at, ..event.clone() };
        let others = [
            ("bicycle", KeptValue::Whole(bicycle)),
            ("recorded_at", signature.at.kept()),
            ("strikes", KeptValue::Whole(number)),
        ];
        let id = record::insert(&writing, "event", &others, &struck)?;
        let strikes = key_of(&writing, (JournalSubject::Event, number))?;
        let content = Content::of(named_fields(&struck).chain([("strikes", strikes)]));
        writing.added((JournalSubject::Event, id), Some((JournalSubject::Bicycle, bicycle)), content)?;
        writing.commit()?;
        Ok(Some((bicycle, event)))
    }

    pub(crate) fn events(&self, of: Option<i64>) -> Result<HashMap<i64, Vec<Event>>, StoreError> {
        let filter = if of.is_some() { "bicycle = ?1" } else { "?1 IS NULL" };
        let columns = record::columns::<Event>();
        let sql = format!(
            "SELECT bicycle, {columns} FROM event WHERE {filter} AND strikes IS NULL
               AND NOT EXISTS (SELECT 1 FROM event s WHERE s.strikes = event.id) ORDER BY id"
        );
        Ok(grouped(self.rows(&sql, [of], |row| Ok((row.get(0)?, record::read(row, 1)?)))?))
    }
}

/// Inserts a bicycle without its joints: of that number, or of the next.
pub(super) fn insert_bicycle(
    connection: &Connection,
    id: Option<i64>,
    bicycle: &Bicycle,
) -> Result<i64, StoreError> {
    let others = [("id", id.map_or(KeptValue::Null, KeptValue::Whole))];
    record::insert(connection, "bicycle", &others, bicycle).map_err(|error| name_taken(error, &bicycle.name))
}

/// Writes a bicycle over the one of that number.
pub(super) fn put_bicycle(connection: &Connection, id: i64, bicycle: &Bicycle) -> Result<(), StoreError> {
    record::update(connection, "bicycle", id, bicycle).map_err(|error| name_taken(error, &bicycle.name))
}

/// Appends an event to the log of a bicycle, and the line that says so.
fn add_event(
    writing: &Writing<'_>,
    bicycle: i64,
    event: &Event,
    recorded: LocalInstant,
) -> Result<(), StoreError> {
    let others = [("bicycle", KeptValue::Whole(bicycle)), ("recorded_at", recorded.kept())];
    let id = record::insert(writing, "event", &others, event)?;
    let signature = Signature { at: recorded, ..writing.signature() };
    let (event, of) = (Content::of(named_fields(event)), Some((JournalSubject::Bicycle, bicycle)));
    writing.added_by(signature, (JournalSubject::Event, id), of, event)
}

/// Adds a joint to a bicycle, and the line that says so.
fn add_joint(writing: &Writing<'_>, bicycle: i64, joint: &Joint) -> Result<(), StoreError> {
    let id = insert_joint(writing, None, bicycle, joint)?;
    let content = Content::of(named_fields(joint));
    writing.added((JournalSubject::Joint, id), Some((JournalSubject::Bicycle, bicycle)), content)
}

/// Inserts a joint with its markings: of that number, or of the next.
pub(super) fn insert_joint(
    connection: &Connection,
    id: Option<i64>,
    bicycle: i64,
    joint: &Joint,
) -> Result<i64, StoreError> {
    let others =
        [("id", id.map_or(KeptValue::Null, KeptValue::Whole)), ("bicycle", KeptValue::Whole(bicycle))];
    let id = record::insert(connection, "joint", &others, joint)
        .map_err(|error| name_taken(error, &joint.name))?;
    insert_markings(connection, id, &joint.figures)?;
    Ok(id)
}

/// Writes a joint with its markings over the one of that number.
pub(super) fn put_joint(connection: &Connection, id: i64, joint: &Joint) -> Result<(), StoreError> {
    record::update(connection, "joint", id, joint).map_err(|error| name_taken(error, &joint.name))?;
    connection.execute("DELETE FROM marking WHERE joint = ?1", [id])?;
    insert_markings(connection, id, &joint.figures)
}

/// A joint as it is kept, on a bicycle or taken off.
pub(super) fn joint_of_row(connection: &Connection, id: i64) -> Result<Joint, StoreError> {
    let mut joint: Joint = record::of_row(connection, "joint", id)?;
    let sql = "SELECT part, figure FROM marking WHERE joint = ?1 ORDER BY number";
    let mut markings = connection.prepare_cached(sql)?;
    let markings = markings.query_map([id], |row| {
        Ok(Marking { part: row.get(0)?, figure: Figure::read(&row.get::<_, String>(1)?) })
    })?;
    joint.figures.markings = markings.collect::<Result<_, _>>()?;
    Ok(joint)
}

fn insert_markings(connection: &Connection, joint: i64, figures: &Figures) -> Result<(), StoreError> {
    let mut insert = connection
        .prepare_cached("INSERT INTO marking (joint, number, part, figure) VALUES (?1, ?2, ?3, ?4)")?;
    for (number, marking) in (1_i64..).zip(&figures.markings) {
        insert.execute(params![joint, number, marking.part, marking.figure.text()])?;
    }
    Ok(())
}

pub(super) fn damaged(name: &str, reason: &dyn std::fmt::Display) -> StoreError {
    StoreError::DamagedRecord { what: "record", name: name.to_owned(), reason: reason.to_string() }
}

pub(super) fn instant(text: &str) -> Result<LocalInstant, StoreError> {
    LocalInstant::parse(text, &jiff::tz::TimeZone::UTC).map_err(|error| damaged(text, &error))
}

fn name_taken(error: rusqlite::Error, name: &Name) -> StoreError {
    taken(error, || StoreError::NameTaken(name.to_string()))
}

#[cfg(test)]
#[path = "bicycle_tests.rs"]
mod tests;
