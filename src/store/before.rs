//! What the joints of the bicycles were before, as the journal tells it: taken off, less asked of, renamed.

use std::collections::HashMap;

use rusqlite::Row;

use super::bicycle::{damaged, instant};
use super::{Store, StoreError, grouped};
use crate::book::Check;
use crate::workshop::{Less, Renamed, TakenOff};

impl Store {
    /// The joints that decided safety when they were taken off a bicycle, and have no follower of their name.
    pub(super) fn taken_off(&self, of: Option<i64>) -> Result<HashMap<i64, Vec<TakenOff>>, StoreError> {
        let taken_off = self.rows(TAKEN_OFF, [of], |row| {
            let at = instant(row.get_ref(2)?.as_str().unwrap_or_default())?;
            let less = match (row.get(5)?, row.get::<_, Option<bool>>(6)?) {
                (true, _) if row.get::<_, Option<bool>>(10)? == Some(true) => Less::NotFitted,
                (true, _) => Less::TakenOff,
                (false, Some(true)) => Less::DecidesNoMore,
                (false, _) => Less::FewerBolts { from: row.get(7)?, to: row.get(8)? },
            };
            let check = Check::parse(row.get_ref(9)?.as_str().unwrap_or_default());
            let check = check.ok_or_else(|| damaged("joint", &"how it is checked cannot be read"))?;
            let (joint, who, why) = (row.get(1)?, row.get(3)?, row.get(4)?);
            Ok((row.get(0)?, TakenOff { joint, check, less, at, who, why }))
        })?;
        Ok(grouped(taken_off))
    }

    /// The hand checks that were renamed, those that were taken off as well.
    pub(super) fn renamed(&self, of: Option<i64>) -> Result<HashMap<i64, Vec<Renamed>>, StoreError> {
        let sql = "SELECT j.bicycle, l.content ->> '$.joint[0]', j.name
             FROM joint j CROSS JOIN journal a ON a.subject = 'joint' AND a.row = j.id AND a.deed = 'added'
               CROSS JOIN journal l ON l.of = a.key AND l.of <> ''
             WHERE (?1 IS NULL OR j.bicycle = ?1) AND j.checked_by = 'function'
               AND l.content ->> '$.joint[0]' IS NOT NULL ORDER BY l.number";
        let row = |row: &Row<'_>| Ok((row.get(0)?, Renamed { from: row.get(1)?, to: row.get(2)? }));
        Ok(grouped(self.rows(sql, [of], row)?))
    }
}

/// From the joints that were taken off to their lines in the journal, which CROSS JOIN keeps from being read whole.
pub(super) const TAKEN_OFF: &str = "SELECT j.bicycle, j.name, l.recorded_at, l.who, l.why, l.deed = 'removed',
               l.content ->> '$.critical[0]' = 'true' AND NOT j.critical,
               CAST(l.content ->> '$.bolts[0]' AS INTEGER), j.bolts, j.checked_by, l.content ->> '$.fitted[1]' = 'no'
             FROM joint j CROSS JOIN journal a ON a.subject = 'joint' AND a.row = j.id AND a.deed = 'added'
               CROSS JOIN journal l ON l.of = a.key AND l.of <> ''
             WHERE (?1 IS NULL OR j.bicycle = ?1)
               AND CASE WHEN j.removed_at IS NULL
                 THEN (l.content ->> '$.critical[0]' = 'true' AND NOT j.critical)
                   OR (CAST(l.content ->> '$.bolts[0]' AS INTEGER) > j.bolts AND j.critical)
                 ELSE l.deed = 'removed'
                   AND (j.critical OR EXISTS (SELECT 1 FROM journal d
                     WHERE d.of = a.key AND d.of <> '' AND d.content ->> '$.critical[0]' = 'true'))
                   AND NOT EXISTS (SELECT 1 FROM joint o
                     WHERE o.bicycle = j.bicycle AND o.name = j.name AND o.removed_at IS NULL)
                 END
             ORDER BY l.number";
