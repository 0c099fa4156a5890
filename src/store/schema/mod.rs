//! Numbered schema steps, counted in `PRAGMA user_version`.
//!
//! The tables of the spec book are not among them: they are made anew by every load, from the
//! columns of its sheets.

mod past;

use std::time::{Duration, Instant};

use rusqlite::{Connection, ErrorCode};

use super::StoreError;
use super::waiting::BUSY_WAIT;

/// How long to wait before asking a busy database again.
const BUSY_PAUSE: Duration = Duration::from_millis(10);

enum SchemaStep {
    Sql(&'static str),
    /// SQL, and what it leaves to be done: with the columns of today, so after the SQL of every step.
    SqlThen(&'static str, fn(&Connection) -> Result<(), StoreError>),
}

/// What each schema step does, from the empty database on. Steps are never changed, only added.
const STEPS: &[SchemaStep] = &[
    // 1: what is known of the loaded spec book.
    SchemaStep::Sql(
        "CREATE TABLE book_meta (key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;",
    ),
    // 2: wrenches and their calibrations; a calibration is never changed, only followed by another.
    SchemaStep::Sql(
        "CREATE TABLE wrench (
       id INTEGER PRIMARY KEY,
       name TEXT NOT NULL UNIQUE COLLATE NOCASE,
       kind TEXT NOT NULL,
       unit TEXT NOT NULL,
       low_nm REAL NOT NULL,
       high_nm REAL NOT NULL,
       step_nm REAL,
       usable_low_nm REAL,
       usable_high_nm REAL,
       class TEXT,
       percent REAL,
       coverage REAL,
       anticlockwise INTEGER NOT NULL CHECK (anticlockwise IN (0, 1)),
       owner TEXT,
       lever_mm REAL,
       interval_months INTEGER NOT NULL,
       interval_cycles INTEGER NOT NULL,
       added_on TEXT NOT NULL,
       retired_on TEXT
     ) STRICT;
     CREATE TABLE wrench_adapter (
       wrench INTEGER NOT NULL REFERENCES wrench (id),
       length_mm REAL NOT NULL
     ) STRICT;
     CREATE TABLE calibration (
       id INTEGER PRIMARY KEY,
       wrench INTEGER NOT NULL REFERENCES wrench (id),
       done_on TEXT NOT NULL,
       result TEXT NOT NULL CHECK (result IN ('passed', 'failed')),
       note TEXT NOT NULL
     ) STRICT;
     CREATE TRIGGER calibration_is_kept BEFORE UPDATE ON calibration
       BEGIN SELECT RAISE(ABORT, 'a calibration is not changed; add another'); END;
     CREATE TRIGGER calibration_stays BEFORE DELETE ON calibration
       BEGIN SELECT RAISE(ABORT, 'a calibration is not deleted; add another'); END;",
    ),
    // 3: bicycles, joints, readings, events, visits.
    SchemaStep::Sql(include_str!("workshop.sql")),
    // 4: readings by wrench, day by day, to count its operations without reading the log.
    SchemaStep::Sql(
        "CREATE INDEX reading_by_wrench ON reading (wrench, substr(taken_at, 1, 10), instant, id, kind, unit)
       WHERE wrench IS NOT NULL;",
    ),
    // 5: the property class of the bolts of a joint.
    SchemaStep::Sql("ALTER TABLE joint ADD COLUMN grade TEXT NOT NULL DEFAULT '';"),
    // 6: figures of the workshop's own, which no load of a book touches; no number is used twice.
    SchemaStep::Sql(
        "CREATE TABLE own_evidence (
       id INTEGER PRIMARY KEY AUTOINCREMENT,
       entry TEXT NOT NULL,
       value TEXT NOT NULL,
       issuer TEXT NOT NULL,
       source TEXT NOT NULL,
       locator TEXT NOT NULL,
       grade TEXT NOT NULL CHECK (grade IN ('marking', 'published', 'secondhand')),
       year TEXT NOT NULL,
       variant TEXT NOT NULL,
       condition TEXT NOT NULL,
       material TEXT NOT NULL,
       added_on TEXT NOT NULL
     ) STRICT;",
    ),
    // 7: the journal, and in it what was written before.
    SchemaStep::SqlThen(include_str!("journal.sql"), past::write_down),
    // 8: rides count hires.
    SchemaStep::Sql("ALTER TABLE event ADD COLUMN hires INTEGER CHECK (hires > 0);"),
    // 9: readings by what they can say of their bolt, the newest of each sort first, so that what decides is found without
    // reading the rest of the log.
    SchemaStep::Sql(
        "ALTER TABLE reading ADD COLUMN sort TEXT GENERATED ALWAYS AS
       (kind || ' ' || coalesce(unit, '') || ' ' || coalesce(finding, '') || ' ' || coalesce(action, '')) VIRTUAL;
     DROP INDEX reading_newest;
     CREATE INDEX reading_newest ON reading (joint, bolt, sort, instant DESC, id DESC);",
    ),
    // 10: what was measured with a gauge is no tightening. The journal keeps its lines, whose keys hang on them: an old
    // line of a measure is read as one.
    SchemaStep::Sql(
        "DROP TRIGGER reading_is_kept;
     UPDATE reading SET kind = 'measured' WHERE unit IN ('mm', 'in', '%', 'bar', 'psi', 'N', 'h', 'd', 'ml');
     CREATE TRIGGER reading_is_kept BEFORE UPDATE ON reading
       BEGIN SELECT RAISE(ABORT, 'a reading is not changed; record a correction'); END;",
    ),
    // 11: the rounds of a joint, and of a visit.
    SchemaStep::Sql(
        "ALTER TABLE joint ADD COLUMN rounds TEXT;
     ALTER TABLE visit ADD COLUMN round TEXT NOT NULL DEFAULT 'full';",
    ),
];

/// The schema number of a database that this version knows; 0 for one that it did not make.
pub(super) fn check(connection: &Connection) -> Result<i64, StoreError> {
    let known = i64::try_from(STEPS.len()).unwrap_or(i64::MAX);
    let found = version(connection)?;
    if found > known { Err(StoreError::Newer { found, known }) } else { Ok(found) }
}

/// Applies the steps that the database lacks, all or none.
pub(super) fn bring_up_to_date(connection: &mut Connection) -> Result<(), StoreError> {
    let known = i64::try_from(STEPS.len()).unwrap_or(i64::MAX);
    if check(connection)? == known {
        return Ok(());
    }
    switch_to_wal(connection)?;
    let transaction = connection.transaction()?;
    // Another process may have done it while this one waited for the lock.
    let found = usize::try_from(version(&transaction)?).unwrap_or(0);
    let steps = STEPS.get(found..).unwrap_or_default();
    for SchemaStep::Sql(sql) | SchemaStep::SqlThen(sql, _) in steps {
        transaction.execute_batch(sql)?;
    }
    for step in steps {
        if let SchemaStep::SqlThen(_, then) = step {
            then(&transaction)?;
        }
    }
    transaction.pragma_update(None, "user_version", known)?;
    transaction.commit()?;
    Ok(())
}

/// Turns on the write-ahead log. SQLite does not wait here by itself while another process opens the
/// same new file, so this does.
fn switch_to_wal(connection: &Connection) -> Result<(), rusqlite::Error> {
    let started = Instant::now();
    loop {
        match connection.pragma_update(None, "journal_mode", "wal") {
            Err(error) if is_busy(&error) && started.elapsed() < BUSY_WAIT => std::thread::sleep(BUSY_PAUSE),
            result => return result,
        }
    }
}

fn is_busy(error: &rusqlite::Error) -> bool {
    matches!(error.sqlite_error_code(), Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked))
}

fn version(connection: &Connection) -> Result<i64, rusqlite::Error> {
    connection.query_row("PRAGMA user_version", [], |row| row.get(0))
}
