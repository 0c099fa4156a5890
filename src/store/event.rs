//! What happened to the bicycles, in the database: appended, never changed.

use std::collections::HashMap;

use rusqlite::params;

use super::bicycle::{damaged, instant};
use super::{Store, StoreError};
use crate::book::EventKind;
use crate::workshop::{Event, LocalInstant};

impl Store {
    /// Appends an event.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails.
    pub fn add_event(
        &mut self,
        bicycle: i64,
        event: &Event,
        recorded: LocalInstant,
    ) -> Result<(), StoreError> {
        self.connection
            .prepare_cached(
                "INSERT INTO event (bicycle, kind, at, hours, km, what, note, recorded_at)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
            )?
            .execute(params![
                bicycle,
                event.kind.text(),
                event.at.to_string(),
                event.hours,
                event.km,
                event.what,
                event.note,
                recorded.to_string(),
            ])?;
        Ok(())
    }

    /// The events of a bicycle, or of all, by the number of the bicycle.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails or a stored event is damaged.
    pub fn events(&self, of: Option<i64>) -> Result<HashMap<i64, Vec<Event>>, StoreError> {
        let filter = if of.is_some() { "bicycle = ?1" } else { "?1 IS NULL" };
        let sql =
            format!("SELECT bicycle, kind, at, hours, km, what, note FROM event WHERE {filter} ORDER BY id");
        let mut query = self.connection.prepare_cached(&sql)?;
        let mut rows = query.query([of])?;
        let mut events: HashMap<i64, Vec<Event>> = HashMap::new();
        while let Some(row) = rows.next()? {
            let kind: String = row.get(1)?;
            events.entry(row.get(0)?).or_default().push(Event {
                kind: EventKind::parse(&kind).ok_or_else(|| damaged(&kind, &"unknown kind of event"))?,
                at: instant(&row.get::<_, String>(2)?)?,
                hours: row.get(3)?,
                km: row.get(4)?,
                what: row.get(5)?,
                note: row.get(6)?,
            });
        }
        Ok(events)
    }
}
