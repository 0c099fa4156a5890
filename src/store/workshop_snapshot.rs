//! Loads what judging needs once: the book's hardware, intervals and items, the wrenches.

use std::collections::{HashMap, HashSet};

use super::{Store, StoreError};
use crate::workshop::{
    Hardware, JudgedBicycle, LocalInstant, Reading, StoredBicycle, StoredJoint, Usage, WorkshopSnapshot,
};

impl Store {
    /// Loads what judging the joints by their readings needs.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails or something stored is damaged.
    fn workshop_snapshot<'a>(
        &self,
        joints: &[StoredJoint],
        readings: impl Iterator<Item = &'a Reading>,
        now: LocalInstant,
    ) -> Result<WorkshopSnapshot, StoreError> {
        let mut entries: Vec<String> = joints.iter().map(|stored| stored.joint.entry.clone()).collect();
        entries.sort_unstable();
        entries.dedup();
        let pages = self.pages(&entries)?;
        let used: HashSet<&str> = readings.filter_map(|reading| reading.wrench.as_deref()).collect();
        let wrenches = self.wrenches_where(|name| used.contains(name))?;
        Ok(WorkshopSnapshot {
            now,
            hardware: pages.iter().map(|page| (page.entry.entry.clone(), Hardware::of(page))).collect(),
            items: self.measured_items()?,
            intervals: self.intervals()?,
            wrenches: wrenches.into_iter().map(|w| (w.wrench.name().to_owned(), w.wrench)).collect(),
        })
    }

    /// Judges one bicycle.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails or something stored is damaged.
    pub fn judge(
        &self,
        bicycle: &StoredBicycle,
        now: LocalInstant,
    ) -> Result<(WorkshopSnapshot, JudgedBicycle), StoreError> {
        let (workshop, mut judged) = self.judge_these(vec![bicycle.clone()], Some(bicycle.id), now)?;
        let judged = judged.pop().ok_or_else(|| StoreError::DamagedRecord {
            name: bicycle.bicycle.name.to_string(),
            reason: "it is not there".to_owned(),
        })?;
        Ok((workshop, judged))
    }

    /// Judges every bicycle in use, in the order of their names.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails or something stored is damaged.
    pub fn judge_all(&self, now: LocalInstant) -> Result<(WorkshopSnapshot, Vec<JudgedBicycle>), StoreError> {
        self.judge_these(self.bicycles(false)?, None, now)
    }

    fn judge_these(
        &self,
        bicycles: Vec<StoredBicycle>,
        of: Option<i64>,
        now: LocalInstant,
    ) -> Result<(WorkshopSnapshot, Vec<JudgedBicycle>), StoreError> {
        let joints = self.joints(of)?;
        let mut readings: HashMap<i64, Vec<Reading>> = HashMap::new();
        self.deciding_readings(of, |joint, reading| readings.entry(joint).or_default().push(reading))?;
        let workshop = self.workshop_snapshot(&joints, readings.values().flatten(), now)?;
        let mut events = self.events(of)?;
        let mut by_bicycle: HashMap<i64, Vec<StoredJoint>> = HashMap::new();
        for joint in joints {
            by_bicycle.entry(joint.bicycle).or_default().push(joint);
        }
        let judged = bicycles.into_iter().map(|stored| {
            let usage = Usage::new(events.remove(&stored.id).unwrap_or_default());
            let joints = by_bicycle.remove(&stored.id).unwrap_or_default().into_iter();
            let read =
                joints.map(|StoredJoint { id, joint, .. }| (joint, readings.remove(&id).unwrap_or_default()));
            workshop.judge(stored, usage, read)
        });
        let judged = judged.collect();
        Ok((workshop, judged))
    }
}
