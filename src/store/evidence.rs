//! The readings that decide over a joint, found without reading the rest of its log.
//!
//! What a reading can say of its bolt depends on its sort: kind, unit, finding and action. Of a sort the newest one says
//! it all, but for values that are looked at one beside the other: those of a trend, and what a bolt got since its
//! newest tightening.

use std::cmp::Reverse;
use std::collections::HashMap;

use rusqlite::{CachedStatement, Row, params};

use super::reading::{DECIDING, deciding};
use super::{Store, StoreError};
use crate::conformity::Kind;
use crate::workshop::{LocalInstant, Reading, TREND_LOOKS_AT};

/// A moment in ms and a number: the order in which readings of a bolt stand.
type Place = (i64, i64);

/// A sort of which not all was read.
struct Cut {
    bolt: u16,
    sort: String,
    kind: Kind,
    /// The oldest that was read.
    oldest: Place,
}

/// A search for the readings that decide.
struct DecidingSearch<'a> {
    by_sort: CachedStatement<'a>,
    between: CachedStatement<'a>,
    wrenches: HashMap<i64, String>,
    now: LocalInstant,
}

/// What was found of one joint.
#[derive(Default)]
struct OfJoint {
    readings: Vec<(Place, Reading)>,
    cut: Vec<Cut>,
}

impl Store {
    /// The readings that can decide anything at a moment, by the number of their joint; bolt by bolt, newest first. Those
    /// after the moment are all there; corrected ones are left out.
    pub(crate) fn deciding_readings(
        &self,
        joints: impl Iterator<Item = i64>,
        now: LocalInstant,
    ) -> Result<HashMap<i64, Vec<Reading>>, StoreError> {
        let mut search = self.search(now)?;
        joints.map(|joint| Ok((joint, search.of_joint(joint)?))).collect()
    }

    fn search(&self, now: LocalInstant) -> Result<DecidingSearch<'_>, StoreError> {
        let rows = |which: &str| {
            let sql = format!(
                "SELECT {DECIDING}, r.sort, r.instant FROM reading r WHERE r.joint = ?1 AND {which}
                   AND NOT EXISTS (SELECT 1 FROM reading c WHERE c.corrects = r.id)
                 ORDER BY r.bolt, r.sort, r.instant DESC, r.id DESC"
            );
            self.connection.prepare_cached(&sql)
        };
        Ok(DecidingSearch {
            by_sort: rows("(r.bolt, r.sort) > (?2, ?3)")?,
            between: rows(
                "r.bolt = ?2 AND r.sort = ?3 AND (r.instant, r.id) < (?4, ?5) AND (r.instant, r.id) > (?6, ?7)",
            )?,
            wrenches: self.wrench_names()?,
            now,
        })
    }
}

impl DecidingSearch<'_> {
    fn of_joint(&mut self, joint: i64) -> Result<Vec<Reading>, StoreError> {
        let mut found = OfJoint::default();
        let mut after = (0, String::new());
        while let Some(cut) = self.sorts_after(joint, &after, &mut found)? {
            after = (cut.bolt, cut.sort.clone());
            found.cut.push(cut);
        }
        self.since_tightening(joint, &mut found)?;
        found.readings.sort_by_key(|(place, reading)| (reading.bolt, Reverse(*place)));
        Ok(found.readings.into_iter().map(|(_, reading)| reading).collect())
    }

    /// Reads the sorts behind one of a bolt up to the first that has more than is needed of it.
    fn sorts_after(
        &mut self,
        joint: i64,
        (bolt, sort): &(u16, String),
        found: &mut OfJoint,
    ) -> Result<Option<Cut>, StoreError> {
        // SQLite would step over every line of a sort that it is to begin behind: it begins with what follows on it.
        let behind = if sort.is_empty() { String::new() } else { format!("{sort}\u{1}") };
        let mut rows = self.by_sort.query(params![joint, bolt, behind])?;
        let mut current: Option<Cut> = None;
        let (mut read, mut needed) = (0, 0);
        while let Some(row) = rows.next()? {
            let (bolt, sort) = (row.get(1)?, row.get_ref(11)?.as_str().unwrap_or_default());
            let is_new = current.as_ref().is_none_or(|cut| (cut.bolt, cut.sort.as_str()) != (bolt, sort));
            if !is_new && read >= needed {
                return Ok(current);
            }
            let (place, reading) = placed(row, &self.wrenches)?;
            if is_new {
                (read, needed) = (0, needed_of(&reading));
            }
            if reading.at <= self.now {
                read += 1;
            }
            match &mut current {
                Some(cut) if !is_new => cut.oldest = place,
                _ => current = Some(Cut { bolt, sort: sort.to_owned(), kind: reading.kind, oldest: place }),
            }
            found.readings.push((place, reading));
        }
        Ok(None)
    }

    /// Reads the rest of what a bolt got since its newest tightening.
    fn since_tightening(&mut self, joint: i64, found: &mut OfJoint) -> Result<(), StoreError> {
        for cut in
            found.cut.iter().filter(|cut| matches!(cut.kind, Kind::Held | Kind::Moved | Kind::BackToMark))
        {
            let is_tightening = |reading: &Reading| {
                reading.bolt == cut.bolt && reading.is_tightening() && reading.at <= self.now
            };
            let tightenings = found.readings.iter().filter(|(_, reading)| is_tightening(reading));
            let since = tightenings.map(|(place, _)| *place).max().unwrap_or((i64::MIN, 0));
            if since >= cut.oldest {
                continue;
            }
            let (oldest, since) = (cut.oldest, since);
            let between = params![joint, cut.bolt, cut.sort, oldest.0, oldest.1, since.0, since.1];
            let mut rows = self.between.query(between)?;
            while let Some(row) = rows.next()? {
                found.readings.push(placed(row, &self.wrenches)?);
            }
        }
        Ok(())
    }
}

/// How many of its sort may be needed.
fn needed_of(reading: &Reading) -> usize {
    match reading.kind {
        Kind::Moved | Kind::Loosening | Kind::BackToMark | Kind::Measured => TREND_LOOKS_AT,
        Kind::Tightened | Kind::Held | Kind::ByHand | Kind::Skipped => 1,
    }
}

fn placed(row: &Row<'_>, wrenches: &HashMap<i64, String>) -> Result<(Place, Reading), StoreError> {
    let reading = deciding(row, wrenches)?;
    Ok(((row.get(12)?, reading.id), reading))
}

#[cfg(test)]
#[path = "evidence_tests.rs"]
mod tests;
