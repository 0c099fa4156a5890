//! Bicycles and their joints in the database.

use std::collections::HashMap;

use rusqlite::{Connection, OptionalExtension, Row, TransactionBehavior, named_params, params};

use super::{Store, StoreError};
use crate::book::{Check, Hand};
use crate::workshop::{Bicycle, Figures, Joint, LocalInstant, Marking, Name, StoredBicycle, StoredJoint};

const BICYCLE: &str = "id, name, kind, frame, owner, note, added_at, retired_at";
const JOINT: &str = "id, bicycle, name, place, position, checked_by, entry, bolts, critical, hand, part_maker, \
    bicycle_maker, shop, thread, condition, photo";

impl Store {
    /// Takes in a bicycle with its joints, all or nothing.
    ///
    /// # Errors
    /// [`StoreError::NameTaken`] when another bicycle or two of the joints have the name;
    /// [`StoreError`] when the database fails.
    pub fn add_bicycle(&mut self, bicycle: &Bicycle, joints: &[Joint]) -> Result<i64, StoreError> {
        let transaction = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        transaction
            .execute(
                "INSERT INTO bicycle (name, kind, frame, owner, note, added_at, retired_at)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                params![
                    bicycle.name.text(),
                    bicycle.kind,
                    bicycle.frame,
                    bicycle.owner,
                    bicycle.note,
                    bicycle.added.to_string(),
                    bicycle.retired.map(|at| at.to_string()),
                ],
            )
            .map_err(|error| name_taken(error, &bicycle.name))?;
        let id = transaction.last_insert_rowid();
        for joint in joints {
            insert_joint(&transaction, id, joint)?;
        }
        transaction.commit()?;
        Ok(id)
    }

    /// The bicycles by name; retired ones only where asked for.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails or a stored bicycle is damaged.
    pub fn bicycles(&self, with_retired: bool) -> Result<Vec<StoredBicycle>, StoreError> {
        let sql = format!("SELECT {BICYCLE} FROM bicycle WHERE ?1 OR retired_at IS NULL ORDER BY name");
        let mut query = self.connection.prepare_cached(&sql)?;
        let mut rows = query.query([with_retired])?;
        let mut bicycles = Vec::new();
        while let Some(row) = rows.next()? {
            bicycles.push(bicycle(row)?);
        }
        Ok(bicycles)
    }

    /// A bicycle by its name, whatever the case.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails or the stored bicycle is damaged.
    pub fn bicycle(&self, name: &str) -> Result<Option<StoredBicycle>, StoreError> {
        let sql = format!("SELECT {BICYCLE} FROM bicycle WHERE name = ?1");
        let mut query = self.connection.prepare_cached(&sql)?;
        let mut rows = query.query([name.trim()])?;
        rows.next()?.map(bicycle).transpose()
    }

    /// Changes what is written about a bicycle.
    ///
    /// # Errors
    /// [`StoreError::NameTaken`] when the new name is another bicycle's; [`StoreError`] when the
    /// database fails.
    pub fn change_bicycle(&mut self, changed: &StoredBicycle) -> Result<(), StoreError> {
        let bicycle = &changed.bicycle;
        self.connection
            .execute(
                "UPDATE bicycle SET name = ?2, frame = ?3, owner = ?4, note = ?5, retired_at = ?6 WHERE id = ?1",
                params![
                    changed.id,
                    bicycle.name.text(),
                    bicycle.frame,
                    bicycle.owner,
                    bicycle.note,
                    bicycle.retired.map(|at| at.to_string()),
                ],
            )
            .map_err(|error| name_taken(error, &bicycle.name))?;
        Ok(())
    }

    /// The joints of a bicycle, or of all bicycles in use, in the order in which one walks round.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails or a stored joint is damaged.
    pub fn joints(&self, of: Option<i64>) -> Result<Vec<StoredJoint>, StoreError> {
        let mut markings = self.markings(of)?;
        let filter = if of.is_some() {
            "bicycle = ?1"
        } else {
            "?1 IS NULL AND bicycle IN (SELECT id FROM bicycle WHERE retired_at IS NULL)"
        };
        let sql = format!(
            "SELECT {JOINT} FROM joint WHERE removed_at IS NULL AND {filter} ORDER BY bicycle, position, id"
        );
        let mut query = self.connection.prepare_cached(&sql)?;
        let mut rows = query.query([of])?;
        let mut joints = Vec::new();
        while let Some(row) = rows.next()? {
            let mut stored = joint(row)?;
            stored.joint.figures.markings = markings.remove(&stored.id).unwrap_or_default();
            joints.push(stored);
        }
        Ok(joints)
    }

    fn markings(&self, of: Option<i64>) -> Result<HashMap<i64, Vec<Marking>>, StoreError> {
        let mut query = self.connection.prepare_cached(
            "SELECT joint, part, figure FROM marking
             WHERE ?1 IS NULL OR joint IN (SELECT id FROM joint WHERE bicycle = ?1) ORDER BY joint, number",
        )?;
        let mut rows = query.query([of])?;
        let mut markings: HashMap<i64, Vec<Marking>> = HashMap::new();
        while let Some(row) = rows.next()? {
            markings.entry(row.get(0)?).or_default().push(Marking { part: row.get(1)?, figure: row.get(2)? });
        }
        Ok(markings)
    }

    /// Adds a joint to a bicycle.
    ///
    /// # Errors
    /// [`StoreError::NameTaken`] when the bicycle has a joint of that name; [`StoreError`] when the
    /// database fails.
    pub fn add_joint(&mut self, bicycle: i64, joint: &Joint) -> Result<(), StoreError> {
        let transaction = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        insert_joint(&transaction, bicycle, joint)?;
        transaction.commit()?;
        Ok(())
    }

    /// Changes what is written about a joint; its readings stay.
    ///
    /// # Errors
    /// [`StoreError::NameTaken`] when the bicycle has another joint of the new name; [`StoreError`]
    /// when the database fails.
    pub fn change_joint(&mut self, changed: &StoredJoint) -> Result<(), StoreError> {
        let transaction = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let joint = &changed.joint;
        transaction
            .execute(
                "UPDATE joint SET name = :name, place = :place, position = :position, checked_by = :checked_by,
                   entry = :entry, bolts = :bolts, critical = :critical, hand = :hand,
                   part_maker = :part_maker, bicycle_maker = :bicycle_maker, shop = :shop, thread = :thread,
                   condition = :condition, photo = :photo WHERE id = :id",
                named_params! {
                    ":id": changed.id,
                    ":name": joint.name.text(),
                    ":place": joint.place,
                    ":position": joint.order,
                    ":checked_by": joint.check.text(),
                    ":entry": joint.entry,
                    ":bolts": joint.bolts,
                    ":critical": joint.critical,
                    ":hand": hand_word(joint.hand),
                    ":part_maker": joint.figures.part_maker,
                    ":bicycle_maker": joint.figures.bicycle_maker,
                    ":shop": joint.figures.shop,
                    ":thread": joint.thread,
                    ":condition": joint.condition,
                    ":photo": joint.photo,
                },
            )
            .map_err(|error| name_taken(error, &joint.name))?;
        transaction.execute("DELETE FROM marking WHERE joint = ?1", [changed.id])?;
        insert_markings(&transaction, changed.id, &joint.figures)?;
        transaction.commit()?;
        Ok(())
    }

    /// Takes a joint off a bicycle; its readings stay in the log.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails.
    pub fn remove_joint(&mut self, joint: i64, at: LocalInstant) -> Result<(), StoreError> {
        self.connection
            .execute("UPDATE joint SET removed_at = ?2 WHERE id = ?1", params![joint, at.to_string()])?;
        Ok(())
    }

    /// When the open visit of a bicycle was started, if there is one.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails.
    pub fn open_visit(&self, bicycle: i64) -> Result<Option<LocalInstant>, StoreError> {
        let started: Option<String> = self
            .connection
            .query_row(
                "SELECT started_at FROM visit WHERE bicycle = ?1 AND ended_at IS NULL",
                [bicycle],
                |row| row.get(0),
            )
            .optional()?;
        started.as_deref().map(instant).transpose()
    }

    /// Starts a visit.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails.
    pub fn start_visit(&mut self, bicycle: i64, at: LocalInstant) -> Result<(), StoreError> {
        let sql = "INSERT INTO visit (bicycle, started_at) VALUES (?1, ?2)";
        self.connection.execute(sql, params![bicycle, at.to_string()])?;
        Ok(())
    }

    /// Ends the open visit of a bicycle.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails.
    pub fn end_visit(&mut self, bicycle: i64, at: LocalInstant) -> Result<(), StoreError> {
        let sql = "UPDATE visit SET ended_at = ?2 WHERE bicycle = ?1 AND ended_at IS NULL";
        self.connection.execute(sql, params![bicycle, at.to_string()])?;
        Ok(())
    }
}

fn insert_joint(connection: &Connection, bicycle: i64, joint: &Joint) -> Result<(), StoreError> {
    connection
        .prepare_cached(
            "INSERT INTO joint (bicycle, name, place, position, checked_by, entry, bolts, critical, hand,
               part_maker, bicycle_maker, shop, thread, condition, photo)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15)",
        )?
        .execute(params![
            bicycle,
            joint.name.text(),
            joint.place,
            joint.order,
            joint.check.text(),
            joint.entry,
            joint.bolts,
            joint.critical,
            hand_word(joint.hand),
            joint.figures.part_maker,
            joint.figures.bicycle_maker,
            joint.figures.shop,
            joint.thread,
            joint.condition,
            joint.photo,
        ])
        .map_err(|error| name_taken(error, &joint.name))?;
    insert_markings(connection, connection.last_insert_rowid(), &joint.figures)
}

fn insert_markings(connection: &Connection, joint: i64, figures: &Figures) -> Result<(), StoreError> {
    let mut insert = connection
        .prepare_cached("INSERT INTO marking (joint, number, part, figure) VALUES (?1, ?2, ?3, ?4)")?;
    for (number, marking) in (1_i64..).zip(&figures.markings) {
        insert.execute(params![joint, number, marking.part, marking.figure])?;
    }
    Ok(())
}

fn bicycle(row: &Row<'_>) -> Result<StoredBicycle, StoreError> {
    let name: String = row.get(1)?;
    Ok(StoredBicycle {
        id: row.get(0)?,
        bicycle: Bicycle {
            name: Name::new(&name).map_err(|error| damaged(&name, &error))?,
            kind: row.get(2)?,
            frame: row.get(3)?,
            owner: row.get(4)?,
            note: row.get(5)?,
            added: instant(&row.get::<_, String>(6)?)?,
            retired: row.get::<_, Option<String>>(7)?.as_deref().map(instant).transpose()?,
        },
    })
}

fn joint(row: &Row<'_>) -> Result<StoredJoint, StoreError> {
    let name: String = row.get(2)?;
    let check: String = row.get(5)?;
    let hand: Option<String> = row.get(9)?;
    Ok(StoredJoint {
        id: row.get(0)?,
        bicycle: row.get(1)?,
        joint: Joint {
            place: row.get(3)?,
            order: row.get(4)?,
            check: Check::parse(&check).ok_or_else(|| damaged(&name, &format!("unknown check `{check}`")))?,
            name: Name::new(&name).map_err(|error| damaged(&name, &error))?,
            entry: row.get(6)?,
            bolts: row.get(7)?,
            critical: row.get(8)?,
            hand: hand.map(|word| if word == "left" { Hand::Left } else { Hand::Right }),
            figures: Figures {
                markings: Vec::new(),
                part_maker: row.get(10)?,
                bicycle_maker: row.get(11)?,
                shop: row.get(12)?,
            },
            thread: row.get(13)?,
            condition: row.get(14)?,
            photo: row.get(15)?,
        },
    })
}

fn hand_word(hand: Option<Hand>) -> Option<&'static str> {
    match hand {
        Some(Hand::Left) => Some("left"),
        Some(Hand::Right) => Some("right"),
        Some(Hand::Either) | None => None,
    }
}

pub(super) fn damaged(name: &str, reason: &dyn std::fmt::Display) -> StoreError {
    StoreError::DamagedRecord { name: name.to_owned(), reason: reason.to_string() }
}

/// A stored time.
pub(super) fn instant(text: &str) -> Result<LocalInstant, StoreError> {
    LocalInstant::parse(text, &jiff::tz::TimeZone::UTC).map_err(|error| damaged(text, &error))
}

fn name_taken(error: rusqlite::Error, name: &Name) -> StoreError {
    let code = error.sqlite_error().map(|error| error.extended_code);
    let unique = code == Some(rusqlite::ffi::SQLITE_CONSTRAINT_UNIQUE);
    if unique { StoreError::NameTaken(name.to_string()) } else { StoreError::Sql(error) }
}
