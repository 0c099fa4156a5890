//! What happened to the bicycles, in the database: appended, never changed.

use std::collections::HashMap;

use super::{Store, StoreError, grouped, record};
use crate::sheet::{Kept as _, KeptValue};
use crate::workshop::{Event, LocalInstant};

impl Store {
    pub(crate) fn add_event(
        &mut self,
        bicycle: i64,
        event: &Event,
        recorded: LocalInstant,
    ) -> Result<(), StoreError> {
        let others = [("bicycle", KeptValue::Whole(bicycle)), ("recorded_at", recorded.kept())];
        record::insert(&self.connection, "event", &others, event)?;
        Ok(())
    }

    pub(crate) fn events(&self, of: Option<i64>) -> Result<HashMap<i64, Vec<Event>>, StoreError> {
        let filter = if of.is_some() { "bicycle = ?1" } else { "?1 IS NULL" };
        let columns = record::columns::<Event>();
        let sql = format!("SELECT bicycle, {columns} FROM event WHERE {filter} ORDER BY id");
        Ok(grouped(self.rows(&sql, [of], |row| Ok((row.get(0)?, record::read(row, 1)?)))?))
    }
}
