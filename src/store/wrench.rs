//! Registered wrenches and their calibrations in the database.

use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension, Row, params};
use uom::si::f64::Length;
use uom::si::length::millimeter;

use super::bicycle::{damaged, instant};
use super::journal::{Writing, key_of};
use super::{Store, StoreError, record, taken};
use crate::sheet::{Kept as _, KeptRecord as _, KeptValue, named_fields};
use crate::workshop::{Content, JournalSubject, StruckCalibration};
use crate::wrench::{Calibration, RegisteredWrench, Wrench, WrenchRecord, in_millimetres};

impl Store {
    /// Registers a wrench with its adapters and calibrations, all or nothing; [`StoreError::WrenchExists`] when
    /// the name is taken.
    pub(crate) fn add_wrench(&mut self, wrench: &Wrench, today: Date) -> Result<(), StoreError> {
        let parts = wrench.parts();
        let registered = RegisteredWrench { wrench: wrench.clone(), added_on: today, retired_on: None };
        let record = WrenchRecord::of(&registered);
        let writing = self.write()?;
        let id = insert_wrench(&writing, None, &record)?;
        let own = named_fields(&record).filter(|(column, _)| *column != CALIBRATIONS);
        writing.added((JournalSubject::Wrench, id), None, Content::of(own))?;
        for calibration in &parts.calibrations {
            add_calibration(&writing, id, *calibration, "", None)?;
        }
        writing.commit()
    }

    /// Every registered wrench by name, retired ones as well.
    pub(crate) fn wrenches(&self) -> Result<Vec<RegisteredWrench>, StoreError> {
        self.wrenches_where(|_| true)
    }

    /// The registered wrenches whose name is wanted, by name; the operations of the others are not
    /// counted.
    pub(crate) fn wrenches_where(
        &self,
        wanted: impl Fn(&str) -> bool,
    ) -> Result<Vec<RegisteredWrench>, StoreError> {
        let sql = format!("SELECT id, {} FROM wrench ORDER BY name", record::columns::<WrenchRecord>());
        let wrenches = self.rows(&sql, [], |row| {
            let wanted = wanted(row.get_ref(1)?.as_str().unwrap_or_default());
            wanted.then(|| self.complete(row)).transpose()
        })?;
        Ok(wrenches.into_iter().flatten().collect())
    }

    /// A wrench by its name, whatever the case; none when it is not registered.
    pub(crate) fn wrench(&self, name: &str) -> Result<Option<RegisteredWrench>, StoreError> {
        let sql = format!("SELECT id, {} FROM wrench WHERE name = ?1", record::columns::<WrenchRecord>());
        Ok(self.rows(&sql, [name.trim()], |row| self.complete(row))?.pop())
    }

    /// Adds a calibration to a wrench; false when no wrench has the name.
    pub(crate) fn calibrate_wrench(
        &mut self,
        name: &str,
        calibration: Calibration,
        note: &str,
    ) -> Result<bool, StoreError> {
        let writing = self.write()?;
        let Some(id) = number_of(&writing, name)? else { return Ok(false) };
        add_calibration(&writing, id, calibration, note, None)?;
        writing.commit()?;
        Ok(true)
    }

    /// The calibrations of a wrench that count, each with its number and note.
    pub(crate) fn calibrations(&self, name: &str) -> Result<Vec<(i64, Calibration, String)>, StoreError> {
        let sql = "SELECT id, done_on || ' ' || result, note FROM calibration
            WHERE wrench = (SELECT id FROM wrench WHERE name = ?1) AND strikes IS NULL
              AND NOT EXISTS (SELECT 1 FROM calibration s WHERE s.strikes = calibration.id) ORDER BY done_on, id";
        self.rows(sql, [name.trim()], |row| {
            let done = Calibration::of_kept(KeptValue::Text(row.get(1)?));
            let damaged = |error: crate::sheet::NotA| StoreError::DamagedRecord {
                what: WrenchRecord::WHAT,
                name: name.to_owned(),
                reason: error.to_string(),
            };
            Ok((row.get(0)?, done.map_err(damaged)?, row.get(2)?))
        })
    }

    /// The calibrations of a wrench that were taken back, each with who did it, when and why.
    pub(crate) fn struck_calibrations(&self, name: &str) -> Result<Vec<StruckCalibration>, StoreError> {
        let sql = "SELECT c.id, c.done_on || ' ' || c.result, c.note, l.recorded_at, l.who, l.why
             FROM calibration c JOIN calibration s ON s.strikes = c.id
               JOIN journal l ON l.subject = 'calibration' AND l.row = s.id AND l.deed = 'added'
             WHERE c.wrench = (SELECT id FROM wrench WHERE name = ?1) ORDER BY c.done_on, c.id";
        self.rows(sql, [name.trim()], |row| {
            let done = Calibration::of_kept(KeptValue::Text(row.get(1)?));
            Ok(StruckCalibration {
                number: row.get(0)?,
                done: done.map_err(|error| damaged(name, &error))?,
                note: row.get(2)?,
                at: instant(row.get_ref(3)?.as_str().unwrap_or_default())?,
                who: row.get(4)?,
                why: row.get(5)?,
            })
        })
    }

    /// Takes back a calibration of that number, for the reason that the signature gives. False where the wrench has no
    /// such calibration, or it was struck before.
    pub(crate) fn strike_calibration(&mut self, name: &str, number: i64) -> Result<bool, StoreError> {
        let known = self.calibrations(name)?.into_iter().find(|(id, ..)| *id == number);
        let writing = self.write()?;
        let (Some((_, calibration, _)), Some(wrench)) = (known, number_of(&writing, name)?) else {
            return Ok(false);
        };
        let why = writing.signature().why;
        add_calibration(&writing, wrench, calibration, &why, Some(number))?;
        writing.commit()?;
        Ok(true)
    }

    /// Changes what is written of a wrench of that name; its calibrations stay. [`StoreError::WrenchExists`] when a new
    /// name is another one's. False when no wrench has the name.
    pub(crate) fn change_wrench(
        &mut self,
        name: &str,
        changed: &RegisteredWrench,
    ) -> Result<bool, StoreError> {
        let writing = self.write()?;
        let Some(id) = number_of(&writing, name)? else { return Ok(false) };
        let before = record_of_row(&writing, id)?;
        let mut after = WrenchRecord::of(changed);
        after.parts.calibrations.clear();
        put_wrench(&writing, id, &after)?;
        writing.changed((JournalSubject::Wrench, id), &before, &after)?;
        writing.commit()?;
        Ok(true)
    }

    /// Takes a wrench out of use; its history stays. False when no wrench in use has the name.
    pub(crate) fn retire_wrench(&mut self, name: &str, on: Date) -> Result<bool, StoreError> {
        let writing = self.write()?;
        let Some(id) = number_of(&writing, name)? else { return Ok(false) };
        let before = record_of_row(&writing, id)?;
        if before.retired_on.is_some() {
            return Ok(false);
        }
        let mut after = record_of_row(&writing, id)?;
        after.retired_on = Some(on);
        put_wrench(&writing, id, &after)?;
        writing.changed((JournalSubject::Wrench, id), &before, &after)?;
        writing.commit()?;
        Ok(true)
    }

    /// The wrench of a stored row, with its adapters and calibrations, checked again, and its operations
    /// counted.
    fn complete(&self, row: &Row<'_>) -> Result<RegisteredWrench, StoreError> {
        let id: i64 = row.get(0)?;
        let what = WrenchRecord::WHAT;
        let mut stored: WrenchRecord = record::read(row, 1)?;
        let name = stored.parts.name.clone();
        let damaged = |reason: String| StoreError::DamagedRecord { what, name: name.clone(), reason };
        let sql = "SELECT length_mm FROM wrench_adapter WHERE wrench = ?1";
        stored.parts.adapters = self.rows(sql, [id], |row| Ok(Length::new::<millimeter>(row.get(0)?)))?;
        let sql = "SELECT done_on || ' ' || result FROM calibration WHERE wrench = ?1 AND strikes IS NULL
               AND NOT EXISTS (SELECT 1 FROM calibration s WHERE s.strikes = calibration.id) ORDER BY done_on, id";
        stored.parts.calibrations = self.rows(sql, [id], |row| {
            let done = Calibration::of_kept(KeptValue::Text(row.get(0)?));
            done.map_err(|error| damaged(error.to_string()))
        })?;
        let mut registered = stored.registered().map_err(|error| damaged(error.to_string()))?;
        registered.wrench =
            registered.wrench.counted(|stretch, others| self.operation(id, stretch, others))?;
        Ok(registered)
    }
}

/// The column of a wrench's record whose content has lines of its own in the journal.
const CALIBRATIONS: &str = "calibrations";

/// Inserts a wrench with its adapters, without its calibrations: of that number, or of the next.
pub(super) fn insert_wrench(
    connection: &Connection,
    id: Option<i64>,
    wrench: &WrenchRecord,
) -> Result<i64, StoreError> {
    let others = [("id", id.map_or(KeptValue::Null, KeptValue::Whole))];
    let id = record::insert(connection, "wrench", &others, wrench)
        .map_err(|error| taken(error, || StoreError::WrenchExists(wrench.parts.name.clone())))?;
    insert_adapters(connection, id, wrench)?;
    Ok(id)
}

/// Writes a wrench with its adapters over the one of that number; its calibrations stay.
pub(super) fn put_wrench(connection: &Connection, id: i64, wrench: &WrenchRecord) -> Result<(), StoreError> {
    record::update(connection, "wrench", id, wrench)
        .map_err(|error| taken(error, || StoreError::WrenchExists(wrench.parts.name.clone())))?;
    connection.execute("DELETE FROM wrench_adapter WHERE wrench = ?1", [id])?;
    insert_adapters(connection, id, wrench)
}

fn insert_adapters(connection: &Connection, id: i64, wrench: &WrenchRecord) -> Result<(), StoreError> {
    let sql = "INSERT INTO wrench_adapter (wrench, length_mm) VALUES (?1, ?2)";
    for length in &wrench.parts.adapters {
        connection.execute(sql, params![id, in_millimetres(*length)])?;
    }
    Ok(())
}

/// A wrench as it is kept, with its adapters, without its calibrations.
pub(super) fn record_of_row(connection: &Connection, id: i64) -> Result<WrenchRecord, StoreError> {
    let mut wrench: WrenchRecord = record::of_row(connection, "wrench", id)?;
    let mut lengths =
        connection.prepare_cached("SELECT length_mm FROM wrench_adapter WHERE wrench = ?1 ORDER BY rowid")?;
    let lengths = lengths.query_map([id], |row| Ok(Length::new::<millimeter>(row.get(0)?)))?;
    wrench.parts.adapters = lengths.collect::<Result<_, _>>()?;
    Ok(wrench)
}

fn number_of(connection: &Connection, wrench: &str) -> Result<Option<i64>, StoreError> {
    let sql = "SELECT id FROM wrench WHERE name = ?1";
    Ok(connection.query_row(sql, [wrench.trim()], |row| row.get(0)).optional()?)
}

fn add_calibration(
    writing: &Writing<'_>,
    wrench: i64,
    calibration: Calibration,
    note: &str,
    strikes: Option<i64>,
) -> Result<(), StoreError> {
    let (on, result) = (calibration.on.to_string(), calibration.result.word());
    let sql = "INSERT INTO calibration (wrench, done_on, result, note, strikes) VALUES (?1, ?2, ?3, ?4, ?5)";
    writing.execute(sql, params![wrench, on, result, note, strikes])?;
    let id = writing.last_insert_rowid();
    let struck = strikes.map(|struck| key_of(writing, (JournalSubject::Calibration, struck))).transpose()?;
    let struck = struck.unwrap_or_default();
    let content = Content::of([
        ("done_on", on),
        ("result", result.to_owned()),
        ("note", note.to_owned()),
        ("strikes", struck),
    ]);
    writing.added((JournalSubject::Calibration, id), Some((JournalSubject::Wrench, wrench)), content)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conformity::{Deviation, ToolClass};
    use crate::quantity::{TorqueUnit, newton_metres};
    use crate::wrench::{CalibrationResult, Interval, StatedAccuracy, WrenchKind, WrenchParts};
    use jiff::civil::date as day;

    fn parts() -> WrenchParts {
        WrenchParts {
            step: Some(newton_metres(0.1)),
            usable: Some((newton_metres(2.5), newton_metres(10.0))),
            accuracy: StatedAccuracy::Class(ToolClass::IIA),
            anticlockwise: true,
            owner: Some("club".into()),
            lever: Some(Length::new::<millimeter>(180.0)),
            adapters: vec![Length::new::<millimeter>(40.0)],
            calibrations: vec![Calibration { on: day(2026, 3, 1), result: CalibrationResult::Passed }],
            interval: Interval::new(6, 2500).unwrap(),
            ..WrenchParts::new("small-click", WrenchKind::Click, newton_metres(2.0), newton_metres(10.0))
        }
    }

    #[test]
    fn a_wrench_comes_back_as_it_was_registered() {
        let mut store = Store::in_memory().unwrap();
        for (index, accuracy) in [
            StatedAccuracy::Unstated,
            StatedAccuracy::Class(ToolClass::IIA),
            StatedAccuracy::Percent(Deviation::percent(3.0).unwrap()),
            StatedAccuracy::Certificate { expanded: Deviation::percent(1.5).unwrap(), coverage: 2.0 },
        ]
        .into_iter()
        .enumerate()
        {
            let name = format!("wrench {index}");
            let wrench = Wrench::new(
                WrenchParts { name: name.clone(), unit: TorqueUnit::PoundForceInch, accuracy, ..parts() },
                day(2026, 6, 1),
            )
            .unwrap();
            store.add_wrench(&wrench, day(2026, 6, 1)).unwrap();
            let found = store.wrench(&name.to_uppercase()).unwrap().unwrap();
            assert_eq!(found.wrench, wrench);
            assert_eq!((found.wrench.unit(), found.retired_on), (TorqueUnit::PoundForceInch, None));
        }
        assert_eq!(store.wrenches().unwrap().len(), 4);
    }

    #[test]
    fn a_name_is_given_once_and_a_failed_registration_stores_nothing() {
        let mut store = Store::in_memory().unwrap();
        let wrench = Wrench::new(parts(), day(2026, 6, 1)).unwrap();
        store.add_wrench(&wrench, day(2026, 6, 1)).unwrap();
        let again = store.add_wrench(&wrench, day(2026, 6, 1));
        assert!(matches!(again, Err(StoreError::WrenchExists(_))));
        assert_eq!(store.wrenches().unwrap().len(), 1);
    }

    #[test]
    fn a_wrench_is_found_whatever_case_and_blanks_surround_its_name() {
        let mut store = Store::in_memory().unwrap();
        let wrench = Wrench::new(parts(), day(2026, 6, 1)).unwrap();
        store.add_wrench(&wrench, day(2026, 6, 1)).unwrap();
        for name in ["small-click", " Small-Click "] {
            assert!(store.wrench(name).unwrap().is_some(), "{name}");
        }
        assert!(store.wrench("small").unwrap().is_none());
    }

    #[test]
    fn calibrations_are_added_and_never_changed() {
        let mut store = Store::in_memory().unwrap();
        let wrench = Wrench::new(parts(), day(2026, 6, 1)).unwrap();
        store.add_wrench(&wrench, day(2026, 6, 1)).unwrap();
        let failed = Calibration { on: day(2026, 9, 1), result: CalibrationResult::Failed };
        assert!(store.calibrate_wrench("small-click", failed, "dropped").unwrap());
        assert!(!store.calibrate_wrench("no-such", failed, "").unwrap());
        let records = store.wrench("small-click").unwrap().unwrap().wrench.history().records().to_vec();
        assert_eq!(records.last(), Some(&failed));
        for change in ["UPDATE calibration SET result = 'passed'", "DELETE FROM calibration"] {
            assert!(store.connection.execute(change, []).is_err(), "{change}");
        }
    }

    #[test]
    fn a_retired_wrench_keeps_its_history() {
        let mut store = Store::in_memory().unwrap();
        let wrench = Wrench::new(parts(), day(2026, 6, 1)).unwrap();
        store.add_wrench(&wrench, day(2026, 6, 1)).unwrap();
        assert!(store.retire_wrench("small-click", day(2026, 10, 1)).unwrap());
        assert!(!store.retire_wrench("small-click", day(2026, 10, 2)).unwrap());
        assert_eq!(store.wrench("small-click").unwrap().unwrap().retired_on, Some(day(2026, 10, 1)));
    }
}
