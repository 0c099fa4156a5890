//! Readings looked up by wrench, entry, person, period, bicycle and joint, whatever became of their joint since.

use std::collections::{BTreeSet, HashMap};

use jiff::civil::Date;
use rusqlite::{Row, ToSql, params_from_iter};

use super::reading::{log_sql, logged};
use super::{Store, StoreError, grouped, record};
use crate::quantity::TorqueUnit;
use crate::workshop::{
    Joint, LocalInstant, Logged, LookBack, Recalled, State, StoredBicycle, StoredJoint, WorkshopSnapshot,
    doubts,
};
use crate::wrench::Wrench;

impl Store {
    /// The readings that are asked for with where they stand now, in the order of their bicycles and joints; those of a
    /// bolt oldest first. Corrected and struck ones are among them.
    pub(crate) fn look_back(&self, asked: &LookBack, now: LocalInstant) -> Result<Vec<Recalled>, StoreError> {
        let found = self.found(asked)?;
        let joints = self.joints_of(found.iter().map(|(joint, _)| *joint))?;
        let stored: Vec<StoredJoint> = joints.values().cloned().collect();
        let workshop =
            self.workshop_snapshot((&[], &stored), found.iter().map(|(_, logged)| &logged.reading), now)?;
        let states = self.states(&stored, now)?;
        let recalled = |(id, logged)| Some(recalled(logged, joints.get(&id)?, &workshop, &states));
        let mut recalled: Vec<Recalled> = found.into_iter().filter_map(recalled).collect();
        for one in &mut recalled {
            let by = one.logged.corrected_by.map(|by| self.logged(by)).transpose()?.flatten();
            one.struck = by.is_some_and(|(_, by)| by.reading.strikes().is_some());
        }
        recalled.sort_by_cached_key(|one| {
            let Logged { bicycle, reading, removed, .. } = &one.logged;
            (bicycle.clone(), one.order, one.joint, *removed, reading.bolt, reading.at, reading.id)
        });
        Ok(recalled)
    }

    fn found(&self, asked: &LookBack) -> Result<Vec<(i64, Logged)>, StoreError> {
        let wrenches = self.wrench_names()?;
        let day = |day: Option<Date>| day.map(|day| day.to_string());
        let (since, until) = (day(asked.since), day(asked.until));
        let wanted: [(&str, Option<&dyn ToSql>); 8] = [
            ("r.wrench = (SELECT id FROM wrench WHERE name = ?)", some(asked.wrench.as_ref())),
            ("j.entry = ?", some(asked.entry.as_ref())),
            ("r.who = ? COLLATE NOCASE", some(asked.by.as_ref())),
            ("j.bicycle = ?", some(asked.bicycle.as_ref())),
            ("j.name = ?", some(asked.joint.as_ref())),
            ("r.bolt = ?", some(asked.bolt.as_ref())),
            ("substr(r.taken_at, 1, 10) >= ?", some(since.as_ref())),
            ("substr(r.taken_at, 1, 10) <= ?", some(until.as_ref())),
        ];
        let (filters, values): (Vec<&str>, Vec<&dyn ToSql>) =
            wanted.into_iter().filter_map(|(filter, value)| Some((filter, value?))).unzip();
        let filter = if filters.is_empty() { "TRUE".to_owned() } else { filters.join(" AND ") };
        let read = |row: &Row<'_>| Ok((row.get(0)?, logged(row, &wrenches)?));
        self.rows(&log_sql(&filter), params_from_iter(values), read)
    }

    /// Everybody who read anything.
    pub(crate) fn people(&self) -> Result<Vec<String>, StoreError> {
        let sql = "SELECT DISTINCT who FROM reading WHERE who <> '' ORDER BY who";
        self.rows(sql, [], |row| Ok(row.get(0)?))
    }

    /// The names and entries of every joint there is or was, of a bicycle or of all.
    pub(crate) fn joints_ever(&self, of: Option<i64>) -> Result<Vec<(String, String)>, StoreError> {
        let sql =
            "SELECT DISTINCT name, entry FROM joint WHERE ?1 IS NULL OR bicycle = ?1 ORDER BY name, entry";
        self.rows(sql, [of], |row| Ok((row.get(0)?, row.get(1)?)))
    }

    /// The joints of those numbers, taken off or not, with their markings.
    fn joints_of(&self, numbers: impl Iterator<Item = i64>) -> Result<HashMap<i64, StoredJoint>, StoreError> {
        let numbers: BTreeSet<i64> = numbers.collect();
        let list = numbers.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
        let columns = record::columns::<Joint>();
        let sql = format!("SELECT id, bicycle, {columns} FROM joint WHERE id IN ({list})");
        let joints = self.rows(&sql, [], |row| {
            Ok(StoredJoint { id: row.get(0)?, bicycle: row.get(1)?, joint: record::read(row, 2)? })
        })?;
        Ok(joints.into_iter().map(|stored| (stored.id, stored)).collect())
    }

    /// What each joint is said to be today, by bicycle and name, and the bicycles that carry them; a joint that was
    /// taken off is said to be nothing.
    fn states(&self, joints: &[StoredJoint], now: LocalInstant) -> Result<States, StoreError> {
        let carried = grouped(joints.iter().map(|stored| (stored.bicycle, ())));
        let mut bicycles = self.bicycles(true)?;
        bicycles.retain(|stored| carried.contains_key(&stored.id));
        let (in_use, retired): (Vec<_>, Vec<_>) =
            bicycles.iter().partition(|stored| stored.bicycle.retired.is_none());
        let mut judged = match in_use.as_slice() {
            [] => Vec::new(),
            [one] => vec![self.judge(one, now)?.1],
            _ => self.judge_all(now)?.1,
        };
        for bicycle in retired {
            judged.push(self.judge(bicycle, now)?.1);
        }
        let states = judged.into_iter().flat_map(|judged| {
            let bicycle = judged.stored.id;
            judged
                .joints
                .into_iter()
                .map(move |(joint, verdict)| ((bicycle, joint.name.text().to_lowercase()), verdict.state()))
        });
        let states = states.collect();
        Ok(States { states, bicycles })
    }
}

struct States {
    states: HashMap<(i64, String), State>,
    bicycles: Vec<StoredBicycle>,
}

fn some<T: ToSql>(value: Option<&T>) -> Option<&dyn ToSql> {
    value.map(|value| value as &dyn ToSql)
}

fn recalled(logged: Logged, stored: &StoredJoint, workshop: &WorkshopSnapshot, states: &States) -> Recalled {
    let bicycle = states.bicycles.iter().find(|bicycle| bicycle.id == stored.bicycle);
    let key = (stored.bicycle, stored.joint.name.text().to_lowercase());
    let wrench = logged.reading.wrench.as_ref().and_then(|name| workshop.wrenches.get(name));
    Recalled {
        doubts: doubts(&logged, &stored.joint, workshop),
        struck: false,
        unit: wrench.map_or(TorqueUnit::NewtonMetre, Wrench::unit),
        now: states.states.get(&key).copied().filter(|_| !logged.removed),
        retired: bicycle.and_then(|bicycle| bicycle.bicycle.retired),
        joint: stored.id,
        order: stored.joint.order,
        logged,
    }
}

#[cfg(test)]
#[path = "look_back_tests.rs"]
mod tests;
