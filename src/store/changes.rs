//! The changes of a bicycle, a joint or a wrench, as its journal tells them.

use std::collections::HashMap;

use rusqlite::params;

use super::journal::{LINE, key_of, line_of};
use super::{Store, StoreError};
use crate::workshop::{Deed, JournalChange, JournalSubject};

impl Store {
    /// What was changed on a bicycle, or on one of its joints, oldest first; readings are told by their own history.
    pub(crate) fn changes(&self, bicycle: i64, joint: Option<i64>) -> Result<Vec<JournalChange>, StoreError> {
        let thing = joint.map_or((JournalSubject::Bicycle, bicycle), |joint| (JournalSubject::Joint, joint));
        let names = "SELECT id, name FROM joint WHERE bicycle = ?1";
        let names = self.rows(names, [bicycle], |row| Ok((row.get(0)?, row.get(1)?)))?;
        self.changes_of(thing, &names.into_iter().collect())
    }

    /// What was changed on a wrench of that name, its calibrations and what was taken back of them, oldest first.
    pub(crate) fn changes_of_wrench(&self, name: &str) -> Result<Vec<JournalChange>, StoreError> {
        let sql = "SELECT id FROM wrench WHERE name = ?1";
        let number = self.connection.query_row(sql, [name], |row| row.get(0))?;
        self.changes_of((JournalSubject::Wrench, number), &HashMap::new())
    }

    /// The lines of a thing and of its parts, which are called by `names`.
    fn changes_of(
        &self,
        thing: (JournalSubject, i64),
        names: &HashMap<i64, String>,
    ) -> Result<Vec<JournalChange>, StoreError> {
        let key = key_of(&self.connection, thing)?;
        let sql = format!(
            "WITH part AS (SELECT key, row FROM journal WHERE key = ?1 OR (whole = ?1 AND subject <> ?2))
             SELECT {LINE}, (SELECT p.row FROM part p WHERE p.key = journal.of) FROM journal
             WHERE key IN (SELECT key FROM part) OR of IN (SELECT key FROM part) ORDER BY number"
        );
        self.rows(&sql, params![key, JournalSubject::Reading.text()], |row| {
            let (key, line, own) = line_of(row)?;
            let number = if line.deed == Deed::Added { own } else { row.get(12)? };
            let number = number.unwrap_or_default();
            let name = match line.subject {
                JournalSubject::Joint => names.get(&number).cloned().unwrap_or_default(),
                _ => String::new(),
            };
            Ok(JournalChange { key, number, name, line })
        })
    }
}
