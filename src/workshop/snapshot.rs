//! The workshop as it stands at one moment: bicycles and joints with the numbers by which they are kept,
//! and everything that judging them rests on.

use std::collections::BTreeMap;

use super::crash::{Unexamined, unexamined};
use super::lacking::{lacking, waived};
use super::{
    Bicycle, BicycleVerdict, Fitness, Hardware, Joint, JointVerdict, LocalInstant, Name, Reading, State,
    Usage, Why, judge_bicycle, judge_joint,
};
use crate::book::{Check, EventKind, MeasuredItem, ServiceInterval};
use crate::joint::{Catalogue, KnownBolt};
use crate::wrench::Wrench;

/// In a day, s.
const SECONDS_PER_DAY: i64 = 86_400;

/// A bicycle with its number in the database.
#[derive(Debug, Clone, PartialEq)]
pub struct StoredBicycle {
    pub id: i64,
    pub bicycle: Bicycle,
}

/// A joint with its number in the database.
#[derive(Debug, Clone, PartialEq)]
pub struct StoredJoint {
    pub id: i64,
    pub bicycle: i64,
    pub joint: Joint,
}

/// A reading of the log with what it is about and what became of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Logged {
    pub bicycle: String,
    pub joint: String,
    /// Key of its entry.
    pub entry: String,
    pub reading: Reading,
    /// Number of the reading that corrects it.
    pub corrected_by: Option<i64>,
    /// When it was written down.
    pub recorded: LocalInstant,
    /// Whether its joint was taken off the bicycle.
    pub removed: bool,
}

/// What judging rests on.
#[derive(Debug)]
pub struct WorkshopSnapshot {
    /// The present moment.
    pub now: LocalInstant,
    /// Hardware by entry.
    pub hardware: BTreeMap<String, Hardware>,
    /// What bolts can stand; none where no joint has one whose thread is known.
    pub catalogue: Option<Catalogue>,
    /// Measured checks by item.
    pub items: BTreeMap<String, MeasuredItem>,
    /// What comes round.
    pub intervals: Vec<ServiceInterval>,
    /// The hand checks that decide safety, by kind of bicycle.
    pub hand_checks: BTreeMap<String, Vec<String>>,
    /// The registered wrenches of the readings, by name, retired ones as well: their readings stay.
    pub wrenches: BTreeMap<String, Wrench>,
}

/// What the joints of one bicycle are judged by.
#[derive(Debug, Clone, Copy)]
pub struct JudgingContext<'a> {
    /// The book, the wrenches and the present moment. Readings and events after it do not count.
    pub workshop: &'a WorkshopSnapshot,
    /// Kind of the bicycle.
    pub kind: &'a str,
    /// How the bicycle was used.
    pub usage: &'a Usage,
}

/// A bicycle with its joints and verdicts.
#[derive(Debug)]
pub struct JudgedBicycle {
    pub stored: StoredBicycle,
    /// Its joints with their verdicts, in the order in which one walks round.
    pub joints: Vec<(Joint, JointVerdict)>,
    pub verdict: BicycleVerdict,
    /// What was not examined since its newest crash.
    pub(crate) unexamined: Option<Unexamined>,
    /// The hand checks of its kind that it lacks.
    pub(crate) lacking: Vec<String>,
    /// How it was used.
    pub usage: Usage,
    /// Readings dated after now, which do not count.
    pub in_future: usize,
    /// The hand checks of its kind that nobody is asked for any more, for a reason that was given.
    pub(crate) waived: Vec<String>,
    /// Where less is asked than once was of what decided safety.
    pub taken_off: Vec<TakenOff>,
}

/// How less is asked of a joint than once was.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Less {
    /// It was taken off its bicycle.
    TakenOff,
    /// It was taken off its bicycle, which has no such part.
    NotFitted,
    /// It no longer decides safety.
    DecidesNoMore,
    /// It has fewer bolts.
    FewerBolts { from: u16, to: u16 },
}

/// A joint that decided safety, and of which less is asked now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TakenOff {
    /// Its name.
    pub joint: String,
    /// How it was checked.
    pub(crate) check: Check,
    pub less: Less,
    pub at: LocalInstant,
    /// Who did it, or empty.
    pub who: String,
    /// Why, or empty.
    pub why: String,
}

/// A hand check that has another name than once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Renamed {
    pub(crate) from: String,
    /// What it is called now, or was when it was taken off.
    pub(crate) to: String,
}

/// What the joints of a bicycle were before.
#[derive(Debug, Default)]
pub(crate) struct Before {
    pub(crate) taken_off: Vec<TakenOff>,
    pub(crate) renamed: Vec<Renamed>,
}

/// The oldest evidence that a bicycle stands on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct OldestEvidence {
    pub(crate) joint: Name,
    pub(crate) at: LocalInstant,
    /// Whole days from then to the moment asked about.
    pub(crate) days: u32,
}

impl JudgedBicycle {
    /// The joint whose evidence is the oldest, and how old; none where nothing was checked.
    pub(crate) fn oldest_evidence(&self, now: LocalInstant) -> Option<OldestEvidence> {
        let dated = self.joints.iter().filter_map(|(joint, verdict)| Some((joint, verdict.worst.at?)));
        let (joint, at) = dated.min_by_key(|(_, at)| *at)?;
        let day = |instant: LocalInstant| instant.instant().as_second();
        let days = u32::try_from((day(now) - day(at)) / SECONDS_PER_DAY).unwrap_or(0);
        Some(OldestEvidence { joint: joint.name.clone(), at, days })
    }

    /// The sound joints that rest on a torque whose wrench is not known.
    pub(crate) fn without_known_wrench(&self) -> Vec<&str> {
        let unknown = |why: &Why| {
            matches!(why, Why::Tightened { known_wrench: false, .. } | Why::Held { known_wrench: false, .. })
        };
        let sound = self.joints.iter().filter(|(_, verdict)| verdict.state() == State::Sound);
        sound.filter(|(_, verdict)| unknown(&verdict.worst.why)).map(|(joint, _)| joint.name.text()).collect()
    }
}

impl WorkshopSnapshot {
    /// The bolt of a joint, where its thread is known. What was noted of it was checked when it was stated; what the
    /// book has dropped since is known no longer.
    pub(crate) fn bolt_of(&self, joint: &Joint) -> Option<KnownBolt> {
        let words = joint.bolt_words(self.hardware.get(&joint.entry));
        self.catalogue.as_ref().filter(|_| joint.check == Check::Torque)?.known_bolt(&words).ok().flatten()
    }

    pub(crate) fn judging<'a>(&'a self, kind: &'a str, usage: &'a Usage) -> JudgingContext<'a> {
        JudgingContext { workshop: self, kind, usage }
    }

    pub(crate) fn judge(
        &self,
        stored: StoredBicycle,
        usage: Usage,
        joints: impl Iterator<Item = (Joint, Vec<Reading>)>,
        before: Before,
    ) -> JudgedBicycle {
        let judging = self.judging(&stored.bicycle.kind, &usage);
        let mut in_future = 0;
        let joints: Vec<(Joint, JointVerdict)> = joints
            .map(|(joint, readings)| {
                in_future += readings.iter().filter(|reading| reading.at > self.now).count();
                let verdict = judge_joint(&joint, &readings, &judging);
                (joint, verdict)
            })
            .collect();
        let crash = usage.newest(EventKind::Crash, self.now).map(|crash| crash.at);
        let unexamined = unexamined(crash, &joints, &before.renamed);
        let of_kind = self.hand_checks.get(&stored.bicycle.kind).map(Vec::as_slice).unwrap_or_default();
        let there: Vec<&Joint> = joints.iter().map(|(joint, _)| joint).collect();
        let lacking = lacking(of_kind, &there, &before);
        let waived = waived(of_kind, &there, &before);
        let at_best = match (unexamined.is_some() || !lacking.is_empty(), waived.is_empty()) {
            (true, _) => Fitness::Unproven,
            (false, false) => Fitness::FitWithConditions,
            (false, true) => Fitness::Fit,
        };
        let verdict = judge_bicycle(&joints, at_best);
        let taken_off = before.taken_off;
        JudgedBicycle { stored, joints, verdict, unexamined, lacking, usage, in_future, waived, taken_off }
    }
}
