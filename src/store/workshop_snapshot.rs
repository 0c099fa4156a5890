//! Everything that judging needs, loaded once: the book's hardware, intervals and items, the wrenches.

use std::collections::{BTreeMap, HashMap, HashSet};

use super::{Store, StoreError, StoredBicycle, StoredJoint};
use crate::book::{MeasuredItem, ServiceInterval};
use crate::workshop::{
    BicycleVerdict, Hardware, Joint, JointVerdict, JudgingContext, LocalInstant, Reading, Usage,
    judge_bicycle, judge_joint,
};
use crate::wrench::Wrench;

/// What judging rests on.
#[derive(Debug)]
pub struct WorkshopSnapshot {
    /// The present moment.
    pub now: LocalInstant,
    /// Hardware by entry.
    pub hardware: BTreeMap<String, Hardware>,
    /// Measured checks by item.
    pub items: BTreeMap<String, MeasuredItem>,
    /// What comes round.
    pub intervals: Vec<ServiceInterval>,
    /// The registered wrenches of the readings, by name, retired ones as well: their readings stay.
    pub wrenches: BTreeMap<String, Wrench>,
}

/// A bicycle with its joints and verdicts.
#[derive(Debug)]
pub struct JudgedBicycle {
    /// The bicycle.
    pub stored: StoredBicycle,
    /// Its joints with their verdicts, in the order in which one walks round.
    pub joints: Vec<(Joint, JointVerdict)>,
    /// The verdict.
    pub verdict: BicycleVerdict,
    /// How it was used.
    pub usage: Usage,
    /// Readings dated after now, which do not count.
    pub in_future: usize,
}

impl WorkshopSnapshot {
    /// Loads what judging the joints by their readings needs.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails or something stored is damaged.
    fn open<'a>(
        store: &Store,
        joints: &[StoredJoint],
        readings: impl Iterator<Item = &'a Reading>,
        now: LocalInstant,
    ) -> Result<WorkshopSnapshot, StoreError> {
        let mut entries: Vec<String> = joints.iter().map(|stored| stored.joint.entry.clone()).collect();
        entries.sort_unstable();
        entries.dedup();
        let pages = store.pages(&entries)?;
        let used: HashSet<&str> = readings.filter_map(|reading| reading.wrench.as_deref()).collect();
        let wrenches = store.wrenches_where(|name| used.contains(name))?;
        Ok(WorkshopSnapshot {
            now,
            hardware: pages.iter().map(|page| (page.entry.entry.clone(), Hardware::of(page))).collect(),
            items: store.measured_items()?,
            intervals: store.intervals()?,
            wrenches: wrenches.into_iter().map(|w| (w.wrench.name().to_owned(), w.wrench)).collect(),
        })
    }

    /// The judging for a bicycle.
    #[must_use]
    pub fn judging<'a>(&'a self, kind: &'a str, usage: &'a Usage) -> JudgingContext<'a> {
        JudgingContext {
            now: self.now,
            kind,
            usage,
            wrenches: &self.wrenches,
            intervals: &self.intervals,
            hardware: &self.hardware,
            items: &self.items,
        }
    }
}

impl Store {
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
        let workshop = WorkshopSnapshot::open(self, &joints, readings.values().flatten(), now)?;
        let mut events = self.events(of)?;
        let mut by_bicycle: HashMap<i64, Vec<StoredJoint>> = HashMap::new();
        for joint in joints {
            by_bicycle.entry(joint.bicycle).or_default().push(joint);
        }
        let judged = bicycles.into_iter().map(|stored| {
            let usage = Usage::new(events.remove(&stored.id).unwrap_or_default());
            let judging = workshop.judging(&stored.bicycle.kind, &usage);
            let mut in_future = 0;
            let joints: Vec<(Joint, JointVerdict)> = by_bicycle
                .remove(&stored.id)
                .unwrap_or_default()
                .into_iter()
                .map(|StoredJoint { id, joint, .. }| {
                    let readings = readings.remove(&id).unwrap_or_default();
                    in_future += readings.iter().filter(|reading| reading.at > now).count();
                    let verdict = judge_joint(&joint, &readings, &judging);
                    (joint, verdict)
                })
                .collect();
            let verdict = judge_bicycle(&joints);
            JudgedBicycle { stored, joints, verdict, usage, in_future }
        });
        let judged = judged.collect();
        Ok((workshop, judged))
    }
}
