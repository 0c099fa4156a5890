//! What the rows of a log are judged by: entries of the book, joints of bicycles, registered wrenches.

use std::collections::HashMap;

use jiff::civil::Date;

use super::LeftOut;
use crate::conformity::slip::Watch;
use crate::conformity::{Accuracy, Instrument, Kind, Limits};
use crate::quantity::Torque;
use crate::wrench::{Use, Wrench};

/// What a reading is judged against.
#[derive(Debug, Clone, PartialEq)]
pub struct Requirement {
    /// The key of its entry, by which rows are counted.
    pub entry: String,
    /// What is specified; none where nothing is agreed.
    pub limits: Option<Limits>,
    /// On whose word, or why nothing is specified.
    pub basis: String,
    /// Whether the thread is left-hand for certain.
    pub left_hand: bool,
    /// What the bolt bears, where its thread and class are known.
    pub bolt: Option<BoltLimit>,
    /// The torque above which any bolt of its thread tears, so that no reading can be meant; where that is known.
    pub tears_above: Option<Torque>,
}

/// The torque above which a reading is too much for a bolt.
#[derive(Debug, Clone, PartialEq)]
pub struct BoltLimit {
    /// 0 where what is specified is too much by itself.
    pub above: Torque,
    /// Why, in words.
    pub why: String,
}

/// Everything that rows are judged by, looked up by name.
#[derive(Debug, Default)]
pub struct Reference {
    requirements: Vec<KnownRequirement>,
    /// The numbers of the requirements of an entry.
    alike: HashMap<String, Vec<u32>>,
    entries: HashMap<String, u32>,
    joints: HashMap<(String, String), u32>,
    wrenches: Vec<KnownWrench>,
}

/// What a reading is judged against, with a watch over the readings outside.
#[derive(Debug)]
pub(super) struct KnownRequirement {
    pub(super) requirement: Requirement,
    pub(super) watch: Option<Watch>,
    /// The joint, as BIKE/JOINT, where a figure of its own cannot be read.
    pub(super) unreadable: Option<String>,
    /// Why rows of it are left out, where no torque decides it.
    pub(super) left_out: Option<LeftOut>,
}

/// A registered wrench with the days on which the worth of its readings changes.
#[derive(Debug)]
pub(super) struct KnownWrench {
    pub(super) wrench: Wrench,
    /// The days from each of which on an interval of equal worth lasts.
    breakpoints: Vec<Date>,
    /// For bolts turned clockwise and anticlockwise: whether each interval is in doubt; the one before the
    /// first breakpoint comes first.
    doubted: [Vec<bool>; 2],
}

impl KnownWrench {
    fn new(wrench: Wrench) -> KnownWrench {
        let breakpoints = wrench.history().turning_days();
        // A right-hand thread is tightened clockwise, a left-hand one anticlockwise.
        let doubted = [false, true].map(|left_hand_thread| {
            let in_doubt = |on: Date| {
                let usage = Use { left_hand_thread, ..Use::on(on) };
                !wrench.lasting_doubts(Kind::Tightened, &usage).is_empty()
            };
            std::iter::once(Date::MIN).chain(breakpoints.iter().copied()).map(in_doubt).collect()
        });
        KnownWrench { wrench, breakpoints, doubted }
    }

    /// The interval of equal worth in which a day lies.
    pub(super) fn interval(&self, day: Date) -> u32 {
        u32::try_from(self.breakpoints.partition_point(|&from| from <= day)).unwrap_or(u32::MAX)
    }

    /// Whether the readings of an interval are in doubt whatever they read.
    pub(super) fn is_doubted(&self, interval: u32, anticlockwise: bool) -> bool {
        self.doubted[usize::from(anticlockwise)].get(interval as usize).copied().unwrap_or(true)
    }
}

impl Reference {
    pub fn add_entry(&mut self, requirement: Requirement) {
        let entry = requirement.entry.clone();
        let place = self.number_of(requirement, None);
        self.entries.insert(entry, place);
    }

    /// Adds a joint of a bicycle; its limits are its own (marking, maker) or those of its entry. Where a figure of it
    /// cannot be read, the basis says which and why.
    pub fn add_joint(&mut self, (bike, joint): (&str, &str), requirement: Requirement, is_readable: bool) {
        let unreadable = (!is_readable).then(|| format!("{bike}/{joint}"));
        let place = self.number_of(requirement, unreadable);
        self.joints.insert((folded(bike), folded(joint)), place);
    }

    pub fn add_wrench(&mut self, wrench: Wrench) {
        self.wrenches.push(KnownWrench::new(wrench));
    }

    /// Joints that are judged alike share a number, so that a fleet takes little room.
    fn number_of(&mut self, requirement: Requirement, unreadable: Option<String>) -> u32 {
        let known = self.alike.get(&requirement.entry).into_iter().flatten().copied();
        let same =
            |known: &KnownRequirement| known.requirement == requirement && known.unreadable == unreadable;
        if let Some(place) = known.into_iter().find(|&place| self.requirement(place).is_some_and(same)) {
            return place;
        }
        let place = u32::try_from(self.requirements.len()).unwrap_or(u32::MAX);
        self.alike.entry(requirement.entry.clone()).or_default().push(place);
        let watch = requirement.limits.as_ref().map(Watch::new);
        self.requirements.push(KnownRequirement { requirement, watch, unreadable, left_out: None });
        place
    }

    /// Adds an entry that no torque decides.
    pub fn add_other_entry(&mut self, entry: &str, why: LeftOut) {
        let place = self.number_of_other(why);
        self.entries.entry(entry.to_owned()).or_insert(place);
    }

    /// Adds a joint of a bicycle that no torque decides.
    pub fn add_other_joint(&mut self, (bike, joint): (&str, &str), why: LeftOut) {
        let place = self.number_of_other(why);
        self.joints.insert((folded(bike), folded(joint)), place);
    }

    fn number_of_other(&mut self, why: LeftOut) -> u32 {
        let known = self.requirements.iter().position(|known| known.left_out == Some(why));
        let place = known.unwrap_or(self.requirements.len());
        if known.is_none() {
            let requirement = Requirement {
                entry: String::new(),
                limits: None,
                basis: String::new(),
                left_hand: false,
                bolt: None,
                tears_above: None,
            };
            let left_out = Some(why);
            self.requirements.push(KnownRequirement { requirement, watch: None, unreadable: None, left_out });
        }
        u32::try_from(place).unwrap_or(u32::MAX)
    }

    pub(super) fn requirement(&self, place: u32) -> Option<&KnownRequirement> {
        self.requirements.get(place as usize)
    }

    pub(super) fn entry(&self, key: &str) -> Option<u32> {
        self.entries.get(key.trim()).copied()
    }

    pub(super) fn joint(&self, bike: &str, joint: &str) -> Option<u32> {
        self.joints.get(&(folded(bike), folded(joint))).copied()
    }

    pub(super) fn has_joints(&self) -> bool {
        !self.joints.is_empty()
    }

    pub(super) fn wrenches(&self) -> &[KnownWrench] {
        &self.wrenches
    }

    pub fn limits(&self, entry: &str) -> Option<&Limits> {
        self.requirement(self.entry(entry)?)?.requirement.limits.as_ref()
    }
}

/// The name of a bicycle or joint as it is looked up: case does not count.
fn folded(name: &str) -> String {
    name.trim().to_ascii_lowercase()
}

/// What is taken for a wrench that is not registered, where `limits` are judged.
pub(super) fn assumed(limits: Option<&Limits>) -> Instrument {
    Instrument::of_accuracy(Accuracy::assumed(limits.map_or(Torque::default(), Limits::largest)))
}
