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
        let sql = format!(
            "SELECT taken_at, id FROM reading WHERE id = (SELECT r.id FROM reading r WHERE {}
               ORDER BY substr(r.taken_at, 1, 10), r.instant, r.id LIMIT 1 OFFSET ?4)",
            self.operations(wrench)?
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
        let number = "SELECT id FROM wrench WHERE name = ?1";
        let wrench: i64 = self.connection.query_row(number, [registered.wrench.name()], |row| row.get(0))?;
        let sql = format!("SELECT count(*) FROM reading r WHERE {}", self.operations(wrench)?);
        let mut query = self.connection.prepare_cached(&sql)?;
        Ok(Some(query.query_row(params![wrench, from, until], |row| row.get(0))?))
    }

    /// Whether a line `r` of a wrench is an operation. Each test is made on every line, so they are few and plain: SQLite
    /// would look up a list as it does a table, and most wrenches have no line that was corrected.
    fn operations(&self, wrench: i64) -> Result<String, StoreError> {
        // CROSS JOIN begins with what was corrected, of which there is an index, and not with all lines of the wrench.
        let sql = "SELECT 1 FROM reading c CROSS JOIN reading r ON r.id = c.corrects
             WHERE c.corrects IS NOT NULL AND r.wrench = ?1";
        let corrected = if self.connection.prepare_cached(sql)?.exists([wrench])? {
            " AND NOT EXISTS (SELECT 1 FROM reading c WHERE c.corrects = r.id)"
        } else {
            ""
        };
        let kinds = Kind::ALL.into_iter().filter(|kind| !kind.has_torque());
        let kinds: Vec<String> = kinds.map(|kind| format!("r.kind <> '{}'", kind.text())).collect();
        let units = TorqueUnit::ALL.iter().map(|unit| format!("r.unit = '{}'", unit.symbol()));
        let units: Vec<String> = units.collect();
        Ok(format!("{LINES} AND {} AND ({}){corrected}", kinds.join(" AND "), units.join(" OR ")))
    }
}

/// Whether a line `r` names wrench ?1 and is of a day from ?2 to before ?3.
const LINES: &str = "r.wrench = ?1 AND substr(r.taken_at, 1, 10) >= ?2 AND substr(r.taken_at, 1, 10) < ?3";

fn days(period: CalibrationPeriod) -> (String, String) {
    let until = period.until.map_or_else(|| AFTER_EVERY_DAY.to_owned(), |day| day.to_string());
    (period.from.to_string(), until)
}

#[cfg(test)]
#[path = "cycles_tests.rs"]
mod tests;
