//! Registered wrenches and their calibrations in the database.

use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension, Row, TransactionBehavior, named_params, params};
use uom::si::f64::Length;
use uom::si::length::millimeter;

use super::{Store, StoreError};
use crate::conformity::{Deviation, ToolClass};
use crate::quantity::{TorqueUnit, in_newton_metres, newton_metres};
use crate::wrench::{
    Calibration, CalibrationResult, Interval, RegisteredWrench, StatedAccuracy, Wrench, WrenchKind,
    WrenchParts,
};

const COLUMNS: &str = "id, name, kind, unit, low_nm, high_nm, step_nm, usable_low_nm, usable_high_nm, class, \
    percent, coverage, anticlockwise, owner, lever_mm, interval_months, interval_cycles, added_on, retired_on";

impl Store {
    /// Registers a wrench with its adapters and calibrations, all or nothing.
    ///
    /// # Errors
    /// [`StoreError::WrenchExists`] when the name is taken; [`StoreError`] when the database fails.
    pub fn add_wrench(&mut self, wrench: &Wrench, unit: TorqueUnit, today: Date) -> Result<(), StoreError> {
        let parts = wrench.parts();
        let transaction = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        if wrench_id(&transaction, &parts.name)?.is_some() {
            return Err(StoreError::WrenchExists(parts.name.clone()));
        }
        insert(&transaction, parts, unit, today)?;
        let id = transaction.last_insert_rowid();
        for length in &parts.adapters {
            transaction.execute(
                "INSERT INTO wrench_adapter (wrench, length_mm) VALUES (?1, ?2)",
                params![id, length.get::<millimeter>()],
            )?;
        }
        for calibration in &parts.calibrations {
            add_calibration(&transaction, id, *calibration, "")?;
        }
        transaction.commit()?;
        Ok(())
    }

    /// Every registered wrench by name, retired ones as well.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails or a stored wrench does not pass its checks.
    pub fn wrenches(&self) -> Result<Vec<RegisteredWrench>, StoreError> {
        self.wrenches_where(|_| true)
    }

    /// The registered wrenches whose name is wanted, by name; the operations of the others are not
    /// counted.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails or a stored wrench does not pass its checks.
    pub fn wrenches_where(&self, wanted: impl Fn(&str) -> bool) -> Result<Vec<RegisteredWrench>, StoreError> {
        let sql = format!("SELECT {COLUMNS} FROM wrench ORDER BY name");
        let mut query = self.connection.prepare_cached(&sql)?;
        let stored = query.query_map([], StoredWrench::from_row)?.collect::<Result<Vec<_>, _>>()?;
        stored.iter().filter(|stored| wanted(&stored.name)).map(|stored| self.complete(stored)).collect()
    }

    /// A wrench by its name, whatever the case; none when it is not registered.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails or the stored wrench does not pass its checks.
    pub fn wrench(&self, name: &str) -> Result<Option<RegisteredWrench>, StoreError> {
        let sql = format!("SELECT {COLUMNS} FROM wrench WHERE name = ?1");
        let mut query = self.connection.prepare_cached(&sql)?;
        let stored = query.query_row([name.trim()], StoredWrench::from_row).optional()?;
        stored.as_ref().map(|stored| self.complete(stored)).transpose()
    }

    /// Adds a calibration to a wrench; false when no wrench has the name.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails.
    pub fn calibrate_wrench(
        &mut self,
        name: &str,
        calibration: Calibration,
        note: &str,
    ) -> Result<bool, StoreError> {
        let transaction = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let Some(id) = wrench_id(&transaction, name)? else { return Ok(false) };
        add_calibration(&transaction, id, calibration, note)?;
        transaction.commit()?;
        Ok(true)
    }

    /// Takes a wrench out of use; its history stays. False when no wrench in use has the name.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails.
    pub fn retire_wrench(&mut self, name: &str, on: Date) -> Result<bool, StoreError> {
        let changed = self.connection.execute(
            "UPDATE wrench SET retired_on = ?2 WHERE name = ?1 AND retired_on IS NULL",
            params![name.trim(), on.to_string()],
        )?;
        Ok(changed > 0)
    }

    /// The wrench of a stored row, with its adapters and calibrations, checked again, and its operations
    /// counted.
    fn complete(&self, stored: &StoredWrench) -> Result<RegisteredWrench, StoreError> {
        let damaged = |reason: String| StoreError::DamagedWrench { name: stored.name.clone(), reason };
        let mut adapters =
            self.connection.prepare_cached("SELECT length_mm FROM wrench_adapter WHERE wrench = ?1")?;
        let adapters = adapters.query_map([stored.id], |row| row.get(0))?.collect::<Result<Vec<f64>, _>>()?;
        let mut calibrations = self.connection.prepare_cached(
            "SELECT done_on, result FROM calibration WHERE wrench = ?1 ORDER BY done_on, id",
        )?;
        let calibrations = calibrations
            .query_map([stored.id], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<Vec<(String, String)>, _>>()?;
        let calibrations = calibrations
            .into_iter()
            .map(|(on, result)| {
                Ok(Calibration { on: date(&on).map_err(damaged)?, result: result_of(&result) })
            })
            .collect::<Result<Vec<_>, StoreError>>()?;
        let parts = stored.parts(adapters, calibrations).map_err(damaged)?;
        // What was stored was checked against the day it was stored on; no later day can make it wrong.
        let wrench = Wrench::new(parts, Date::MAX).map_err(|error| damaged(error.to_string()))?;
        Ok(RegisteredWrench {
            wrench: wrench.counted(|stretch, others| self.operation(stored.id, stretch, others))?,
            unit: TorqueUnit::parse(&stored.unit).map_err(|error| damaged(error.to_string()))?,
            added_on: date(&stored.added_on).map_err(damaged)?,
            retired_on: stored.retired_on.as_deref().map(date).transpose().map_err(damaged)?,
        })
    }
}

/// A row of the table, not yet checked.
struct StoredWrench {
    id: i64,
    name: String,
    kind: String,
    unit: String,
    low_nm: f64,
    high_nm: f64,
    step_nm: Option<f64>,
    usable_nm: (Option<f64>, Option<f64>),
    class: Option<String>,
    percent: Option<f64>,
    coverage: Option<f64>,
    anticlockwise: bool,
    owner: Option<String>,
    lever_mm: Option<f64>,
    interval: (u16, u32),
    added_on: String,
    retired_on: Option<String>,
}

impl StoredWrench {
    fn from_row(row: &Row<'_>) -> Result<StoredWrench, rusqlite::Error> {
        Ok(StoredWrench {
            id: row.get("id")?,
            name: row.get("name")?,
            kind: row.get("kind")?,
            unit: row.get("unit")?,
            low_nm: row.get("low_nm")?,
            high_nm: row.get("high_nm")?,
            step_nm: row.get("step_nm")?,
            usable_nm: (row.get("usable_low_nm")?, row.get("usable_high_nm")?),
            class: row.get("class")?,
            percent: row.get("percent")?,
            coverage: row.get("coverage")?,
            anticlockwise: row.get("anticlockwise")?,
            owner: row.get("owner")?,
            lever_mm: row.get("lever_mm")?,
            interval: (row.get("interval_months")?, row.get("interval_cycles")?),
            added_on: row.get("added_on")?,
            retired_on: row.get("retired_on")?,
        })
    }

    fn parts(&self, adapters: Vec<f64>, calibrations: Vec<Calibration>) -> Result<WrenchParts, String> {
        let kind = WrenchKind::parse(&self.kind).ok_or_else(|| format!("unknown type `{}`", self.kind))?;
        let (low, high) = (newton_metres(self.low_nm), newton_metres(self.high_nm));
        Ok(WrenchParts {
            step: self.step_nm.map(newton_metres),
            usable: self.usable_nm.0.zip(self.usable_nm.1).map(|(a, b)| (newton_metres(a), newton_metres(b))),
            accuracy: self.accuracy()?,
            anticlockwise: self.anticlockwise,
            owner: self.owner.clone(),
            lever: self.lever_mm.map(Length::new::<millimeter>),
            adapters: adapters.into_iter().map(Length::new::<millimeter>).collect(),
            calibrations,
            interval: Interval::new(self.interval.0, self.interval.1).map_err(|error| error.to_string())?,
            ..WrenchParts::new(self.name.clone(), kind, low, high)
        })
    }

    fn accuracy(&self) -> Result<StatedAccuracy, String> {
        match (&self.class, self.percent, self.coverage) {
            (Some(class), _, _) => {
                class.parse::<ToolClass>().map(StatedAccuracy::Class).map_err(|error| error.to_string())
            }
            (None, Some(percent), None) => {
                Deviation::percent(percent).map(StatedAccuracy::Percent).map_err(|error| error.to_string())
            }
            (None, Some(percent), Some(coverage)) => Deviation::percent(percent)
                .map(|expanded| StatedAccuracy::Certificate { expanded, coverage })
                .map_err(|error| error.to_string()),
            (None, None, _) => Ok(StatedAccuracy::Unstated),
        }
    }
}

fn insert(
    connection: &Connection,
    parts: &WrenchParts,
    unit: TorqueUnit,
    today: Date,
) -> Result<(), StoreError> {
    let (class, percent, coverage) = match parts.accuracy {
        StatedAccuracy::Unstated => (None, None, None),
        StatedAccuracy::Class(class) => (Some(class.text()), None, None),
        StatedAccuracy::Percent(deviation) => (None, Some(deviation.in_percent()), None),
        StatedAccuracy::Certificate { expanded, coverage } => {
            (None, Some(expanded.in_percent()), Some(coverage))
        }
    };
    connection.execute(
        "INSERT INTO wrench (name, kind, unit, low_nm, high_nm, step_nm, usable_low_nm, usable_high_nm, class,
           percent, coverage, anticlockwise, owner, lever_mm, interval_months, interval_cycles, added_on)
         VALUES (:name, :kind, :unit, :low, :high, :step, :usable_low, :usable_high, :class, :percent, :coverage,
           :anticlockwise, :owner, :lever, :months, :cycles, :added_on)",
        named_params! {
            ":name": parts.name.trim(),
            ":kind": parts.kind.text(),
            ":unit": unit.symbol(),
            ":low": in_newton_metres(parts.low),
            ":high": in_newton_metres(parts.high),
            ":step": parts.step.map(in_newton_metres),
            ":usable_low": parts.usable.map(|(low, _)| in_newton_metres(low)),
            ":usable_high": parts.usable.map(|(_, high)| in_newton_metres(high)),
            ":class": class,
            ":percent": percent,
            ":coverage": coverage,
            ":anticlockwise": parts.anticlockwise,
            ":owner": parts.owner,
            ":lever": parts.lever.map(|lever| lever.get::<millimeter>()),
            ":months": parts.interval.months(),
            ":cycles": parts.interval.cycles(),
            ":added_on": today.to_string(),
        },
    )?;
    Ok(())
}

fn add_calibration(
    connection: &Connection,
    wrench: i64,
    calibration: Calibration,
    note: &str,
) -> Result<(), rusqlite::Error> {
    let result = match calibration.result {
        CalibrationResult::Passed => "passed",
        CalibrationResult::Failed => "failed",
    };
    connection.execute(
        "INSERT INTO calibration (wrench, done_on, result, note) VALUES (?1, ?2, ?3, ?4)",
        params![wrench, calibration.on.to_string(), result, note],
    )?;
    Ok(())
}

fn wrench_id(connection: &Connection, name: &str) -> Result<Option<i64>, rusqlite::Error> {
    connection.query_row("SELECT id FROM wrench WHERE name = ?1", [name.trim()], |row| row.get(0)).optional()
}

fn date(text: &str) -> Result<Date, String> {
    text.parse().map_err(|_| format!("`{text}` is no date"))
}

fn result_of(word: &str) -> CalibrationResult {
    if word == "failed" { CalibrationResult::Failed } else { CalibrationResult::Passed }
}

#[cfg(test)]
mod tests {
    use super::*;
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
            let wrench =
                Wrench::new(WrenchParts { name: name.clone(), accuracy, ..parts() }, day(2026, 6, 1))
                    .unwrap();
            store.add_wrench(&wrench, TorqueUnit::PoundForceInch, day(2026, 6, 1)).unwrap();
            let found = store.wrench(&name.to_uppercase()).unwrap().unwrap();
            assert_eq!(found.wrench, wrench);
            assert_eq!((found.unit, found.retired_on), (TorqueUnit::PoundForceInch, None));
        }
        assert_eq!(store.wrenches().unwrap().len(), 4);
    }

    #[test]
    fn a_name_is_given_once_and_a_failed_registration_stores_nothing() {
        let mut store = Store::in_memory().unwrap();
        let wrench = Wrench::new(parts(), day(2026, 6, 1)).unwrap();
        store.add_wrench(&wrench, TorqueUnit::NewtonMetre, day(2026, 6, 1)).unwrap();
        let again = store.add_wrench(&wrench, TorqueUnit::NewtonMetre, day(2026, 6, 1));
        assert!(matches!(again, Err(StoreError::WrenchExists(_))));
        assert_eq!(store.wrenches().unwrap().len(), 1);
    }

    #[test]
    fn calibrations_are_added_and_never_changed() {
        let mut store = Store::in_memory().unwrap();
        let wrench = Wrench::new(parts(), day(2026, 6, 1)).unwrap();
        store.add_wrench(&wrench, TorqueUnit::NewtonMetre, day(2026, 6, 1)).unwrap();
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
        store.add_wrench(&wrench, TorqueUnit::NewtonMetre, day(2026, 6, 1)).unwrap();
        assert!(store.retire_wrench("small-click", day(2026, 10, 1)).unwrap());
        assert!(!store.retire_wrench("small-click", day(2026, 10, 2)).unwrap());
        assert_eq!(store.wrench("small-click").unwrap().unwrap().retired_on, Some(day(2026, 10, 1)));
    }
}
