//! Loads what judging needs once: the book's hardware, intervals and items, the wrenches.

use std::collections::{BTreeMap, HashSet};

use super::bicycle::damaged;
use super::{Store, StoreError, grouped};
use crate::book::Check;
use crate::workshop::{
    Before, Hardware, Joint, JudgedBicycle, LocalInstant, Reading, StoredBicycle, StoredJoint, Usage,
    WorkshopSnapshot,
};

impl Store {
    /// Loads what judging the joints by their readings needs.
    pub(super) fn workshop_snapshot<'a>(
        &self,
        (bicycles, joints): (&[StoredBicycle], &[StoredJoint]),
        readings: impl Iterator<Item = &'a Reading>,
        now: LocalInstant,
    ) -> Result<WorkshopSnapshot, StoreError> {
        let pages = self.pages_of(joints.iter().map(|stored| &stored.joint))?;
        let used: HashSet<&str> = readings.filter_map(|reading| reading.wrench.as_deref()).collect();
        let wrenches = self.wrenches_where(|name| used.contains(name))?;
        let hardware: BTreeMap<String, Hardware> =
            pages.into_iter().map(|(entry, page)| (entry, Hardware::of(&page))).collect();
        let has_thread = |joint: &Joint| {
            !joint.bolt_words(hardware.get(&joint.entry)).thread.is_empty() && joint.check == Check::Torque
        };
        let any = joints.iter().any(|stored| has_thread(&stored.joint));
        Ok(WorkshopSnapshot {
            catalogue: any.then(|| self.catalogue()).transpose()?,
            now,
            hardware,
            items: self.measured_items()?,
            intervals: self.intervals()?,
            hand_checks: self.hand_checks(bicycles.iter().map(|stored| stored.bicycle.kind.as_str()))?,
            wrenches: wrenches.into_iter().map(|w| (w.wrench.name().to_owned(), w.wrench)).collect(),
        })
    }

    pub(crate) fn judge(
        &self,
        bicycle: &StoredBicycle,
        now: LocalInstant,
    ) -> Result<(WorkshopSnapshot, JudgedBicycle), StoreError> {
        let (workshop, mut judged) = self.judge_these(vec![bicycle.clone()], Some(bicycle.id), now)?;
        let name = &bicycle.bicycle.name;
        let judged = judged.pop().ok_or_else(|| damaged(name.text(), &"it is not there"))?;
        Ok((workshop, judged))
    }

    /// Judges every bicycle in use, in the order of their names.
    pub(crate) fn judge_all(
        &self,
        now: LocalInstant,
    ) -> Result<(WorkshopSnapshot, Vec<JudgedBicycle>), StoreError> {
        self.judge_these(self.bicycles(false)?, None, now)
    }

    fn judge_these(
        &self,
        bicycles: Vec<StoredBicycle>,
        of: Option<i64>,
        now: LocalInstant,
    ) -> Result<(WorkshopSnapshot, Vec<JudgedBicycle>), StoreError> {
        let joints = self.joints(of)?;
        let mut readings = self.deciding_readings(joints.iter().map(|joint| joint.id), now)?;
        let workshop = self.workshop_snapshot((&bicycles, &joints), readings.values().flatten(), now)?;
        let mut events = self.events(of)?;
        let (mut taken_off, mut renamed) = (self.taken_off(of)?, self.renamed(of)?);
        let mut by_bicycle = grouped(joints.into_iter().map(|joint| (joint.bicycle, joint)));
        let judged = bicycles.into_iter().map(|stored| {
            let usage = Usage::new(events.remove(&stored.id).unwrap_or_default());
            let joints = by_bicycle.remove(&stored.id).unwrap_or_default().into_iter();
            let read =
                joints.map(|StoredJoint { id, joint, .. }| (joint, readings.remove(&id).unwrap_or_default()));
            let before = Before {
                taken_off: taken_off.remove(&stored.id).unwrap_or_default(),
                renamed: renamed.remove(&stored.id).unwrap_or_default(),
            };
            workshop.judge(stored, usage, read, before)
        });
        let judged = judged.collect();
        Ok((workshop, judged))
    }
}
