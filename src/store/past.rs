//! The workshop as it was known on an earlier day, and the proof that the tables say what the journal says.

use rusqlite::config::DbConfig;

use super::journal::{LINE, line_of};
use super::replay::Replayer;
use super::{Snapshot, Store, StoreError};
use crate::workshop::{ChainCheck, JournalSubject, LocalInstant};

/// The tables that follow from the journal; none before one that it rests on.
pub(super) const TABLES: [&str; 10] = [
    "wrench",
    "wrench_adapter",
    "calibration",
    "own_evidence",
    "bicycle",
    "joint",
    "marking",
    "reading",
    "event",
    "visit",
];

/// What a check of the whole database found.
#[derive(Debug, Default)]
pub(crate) struct Wholeness {
    /// Lines of the journal that were looked at.
    pub(crate) lines: usize,
    /// The key of the newest; empty where there is none.
    pub(crate) newest: String,
    /// What is not as it should be; nothing where all is whole.
    pub(crate) faults: Vec<String>,
}

impl Store {
    /// The workshop as it was known at a moment: what was written down later is not there, whenever it was done. To be
    /// read only.
    pub(crate) fn known_at(self, at: LocalInstant) -> Result<Snapshot, StoreError> {
        let snapshot = self.into_shadowed()?;
        snapshot.shadow(Some(at))?;
        Ok(snapshot)
    }

    fn into_shadowed(self) -> Result<Snapshot, StoreError> {
        self.connection.pragma_update(None, "temp_store", "memory")?;
        // A clock that was set back may have put a line before one that it rests on.
        self.connection.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_FKEY, false)?;
        self.into_snapshot()
    }

    /// Fills tables that stand before the stored ones from the lines of the journal up to a moment, or from all of them.
    /// They hide the stored ones from every statement of this connection.
    fn shadow(&self, until: Option<LocalInstant>) -> Result<(), StoreError> {
        for table in TABLES {
            match until {
                // A reading is added and never changed: those of then are the stored ones without the later ones.
                Some(at) if table == READING => self.connection.execute_batch(&readings_until(at))?,
                _ => self.make_in_front(table)?,
            }
        }
        let lines = if until.is_some() { but_readings() } else { "SELECT number FROM journal".to_owned() };
        let sql = format!(
            "SELECT {LINE} FROM journal WHERE recorded <= ?1 AND number IN ({lines}) ORDER BY number"
        );
        let mut lines = self.connection.prepare(&sql)?;
        let mut rows = lines.query([until.map_or(i64::MAX, |at| at.instant().as_millisecond())])?;
        let mut replayer = Replayer::default();
        while let Some(row) = rows.next()? {
            let (key, line, row) = line_of(row)?;
            match replayer.take(&self.connection, (&key, &line), row) {
                Err(StoreError::Sql(rusqlite::Error::QueryReturnedNoRows)) if until.is_some() => {}
                done => drop(done?),
            }
        }
        match replayer.finish(&self.connection) {
            // Two things had one name then; one of them is shown under its key.
            Err(StoreError::NameTaken(_)) if until.is_some() => Ok(()),
            done => done,
        }
    }

    /// Makes an empty table with its indexes that stands before the stored one.
    fn make_in_front(&self, table: &str) -> Result<(), StoreError> {
        let sql = "SELECT sql FROM main.sqlite_schema WHERE tbl_name = ?1 AND sql IS NOT NULL
            AND type IN ('table', 'index') ORDER BY type = 'table' DESC";
        for made in self.rows(sql, [table], |row| Ok(row.get::<_, String>(0)?))? {
            self.connection.execute_batch(&in_front(&made))?;
        }
        Ok(())
    }

    /// Checks the file, the chain of the journal, and that the tables say what it says.
    pub(crate) fn check_whole(self) -> Result<Wholeness, StoreError> {
        let mut found = Wholeness::default();
        found.faults.extend(self.check_file()?);
        let mut chain = ChainCheck::default();
        let sql = format!("SELECT {LINE} FROM journal ORDER BY number");
        let broken = self.rows(&sql, [], |row| {
            let (key, line, _) = line_of(row)?;
            let broken = chain.take(&line, &key).err();
            found.newest = key;
            Ok(broken)
        })?;
        found.lines = chain.lines();
        found.faults.extend(broken.into_iter().flatten().map(|error| error.to_string()));
        let snapshot = self.into_shadowed()?;
        match snapshot.shadow(None) {
            Ok(()) => found.faults.extend(snapshot.differing()?),
            Err(error) => found.faults.push(error.to_string()),
        }
        Ok(found)
    }

    fn check_file(&self) -> Result<Option<String>, StoreError> {
        let said: String = self.connection.query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))?;
        Ok((said != "ok").then(|| format!("the database file is damaged: {said}")))
    }

    /// The tables that differ from those that the journal gives, which stand before them.
    fn differing(&self) -> Result<Vec<String>, StoreError> {
        let mut faults = Vec::new();
        for table in TABLES {
            // Another row is in one of them alone, or as often as the other has none.
            let sql = format!(
                "SELECT (SELECT count(*) FROM main.{table}), (SELECT count(*) FROM temp.{table}),
                   EXISTS (SELECT * FROM main.{table} EXCEPT SELECT * FROM temp.{table})"
            );
            let (stored, told, other): (i64, i64, bool) =
                self.connection.query_row(&sql, [], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
            if other || stored != told {
                faults.push(format!(
                    "the {table} table is not what the journal says: {stored} rows, not {told}"
                ));
            }
        }
        Ok(faults)
    }
}

/// The table and the subject of the lines of readings.
const READING: &str = "reading";

/// The readings that were written down up to a moment, hiding the others.
fn readings_until(at: LocalInstant) -> String {
    let until = at.instant().as_millisecond();
    format!(
        "CREATE TEMP VIEW {READING} AS SELECT * FROM main.{READING}
           WHERE CAST(round(unixepoch(recorded_at, 'subsec') * 1000) AS INTEGER) <= {until}"
    )
}

/// The numbers of all lines but those of readings, by indexes that pass over these.
fn but_readings() -> String {
    let subjects = JournalSubject::ALL.into_iter().map(JournalSubject::text).filter(|text| *text != READING);
    let subjects: Vec<&str> = subjects.collect();
    format!(
        "SELECT number FROM journal WHERE deed = 'added' AND subject IN ('{}')
           UNION ALL SELECT number FROM journal WHERE of <> ''",
        subjects.join("', '")
    )
}

/// The statement that makes a table or index, made for tables that stand before the stored ones.
fn in_front(made: &str) -> String {
    let (create, rest) = made.split_once(char::is_whitespace).unwrap_or((made, ""));
    match rest.trim_start().strip_prefix("TABLE") {
        Some(table) => format!("{create} TEMP TABLE{table}"),
        None => format!("{create} {}", rest.replacen("INDEX ", "INDEX temp.", 1)),
    }
}

#[cfg(test)]
#[path = "past_tests.rs"]
mod tests;
