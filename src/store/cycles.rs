//! Operations of a wrench, counted in the log.

use rusqlite::{OptionalExtension, params};

use super::bicycle::instant;
use super::{Store, StoreError};
use crate::conformity::Kind;
use crate::quantity::TorqueUnit;
use crate::wrench::{CalibrationPeriod, Line, Operation, RegisteredWrench};

/// Letters sort behind the digits of every day.
const AFTER_EVERY_DAY: &str = "A";

impl Store {
    /// The operation of a period that has so many others before it, if there is one. The index of readings
    /// by wrench answers alone.
    pub(super) fn operation(
        &self,
        wrench: i64,
        period: CalibrationPeriod,
        others: u32,
    ) -> Result<Option<Operation>, StoreError> {
        let (from, until) = days(period);
        // Passing over lines is several times cheaper than looking at them, and most periods have few.
        let sql = format!("SELECT 1 FROM reading r WHERE {LINES} LIMIT 1 OFFSET ?4");
        let mut enough = self.connection.prepare_cached(&sql)?;
        if !enough.exists(params![wrench, from, until, others])? {
            return Ok(None);
        }
        let sql = format!(
            "SELECT taken_at, id FROM reading WHERE id = (SELECT r.id FROM reading r WHERE {}
               ORDER BY substr(r.taken_at, 1, 10), r.instant, r.id LIMIT 1 OFFSET ?4)",
            operations()
        );
        let mut query = self.connection.prepare_cached(&sql)?;
        let found = query
            .query_row(params![wrench, from, until, others], |row| {
                Ok((row.get::<_, String>(0)?, row.get::<_, i64>(1)?))
            })
            .optional()?;
        let Some((taken_at, number)) = found else { return Ok(None) };
        let at = instant(&taken_at)?;
        Ok(Some(Operation { on: at.date(), line: Line { instant: at.instant(), number } }))
    }

    /// How many operations a wrench has made since its last good calibration; none without one.
    pub(crate) fn cycles(&self, registered: &RegisteredWrench) -> Result<Option<u32>, StoreError> {
        let Some(from) = registered.wrench.history().counted_from() else { return Ok(None) };
        let (from, until) = days(CalibrationPeriod { from, until: None });
        let sql = format!("SELECT count(*) FROM reading r WHERE {}", operations());
        let id = "(SELECT id FROM wrench WHERE name = ?1)";
        let mut query = self.connection.prepare_cached(&sql.replacen("?1", id, 1))?;
        Ok(Some(query.query_row(params![registered.wrench.name(), from, until], |row| row.get(0))?))
    }
}

/// Whether a line `r` names wrench ?1 and is of a day from ?2 to before ?3.
const LINES: &str = "r.wrench = ?1 AND substr(r.taken_at, 1, 10) >= ?2 AND substr(r.taken_at, 1, 10) < ?3";

/// Whether such a line is an operation.
fn operations() -> String {
    let kinds: Vec<&str> = Kind::ALL.into_iter().filter(|kind| kind.has_torque()).map(Kind::text).collect();
    let units: Vec<&str> = TorqueUnit::ALL.iter().map(|unit| unit.symbol()).collect();
    let (kinds, units) = (kinds.join("', '"), units.join("', '"));
    format!(
        "{LINES} AND r.kind IN ('{kinds}') AND r.unit IN ('{units}')
           AND NOT EXISTS (SELECT 1 FROM reading c WHERE c.corrects = r.id)"
    )
}

fn days(period: CalibrationPeriod) -> (String, String) {
    let until = period.until.map_or_else(|| AFTER_EVERY_DAY.to_owned(), |day| day.to_string());
    (period.from.to_string(), until)
}

#[cfg(test)]
#[path = "cycles_tests.rs"]
mod tests;
