//! What the rows of a log are judged by: entries of the book, joints of bicycles, registered wrenches.

use std::collections::HashMap;

use jiff::civil::Date;

use crate::conformity::slip::Watch;
use crate::conformity::{Accuracy, Instrument, Kind, Limits};
use crate::quantity::Torque;
use crate::wrench::{Turn, Use, Wrench};

/// What a reading is judged against.
#[derive(Debug, Clone, PartialEq)]
pub struct Subject {
    /// The key of its entry, by which rows are counted.
    pub entry: String,
    /// What is specified; none where nothing is agreed.
    pub limits: Option<Limits>,
    /// On whose word, or why nothing is specified.
    pub basis: String,
    /// Whether the thread is left-hand for certain.
    pub left_hand: bool,
}

/// Everything that rows are judged by, looked up by name.
#[derive(Debug, Default)]
pub struct Reference {
    subjects: Vec<KnownSubject>,
    /// The places of the subjects of an entry.
    alike: HashMap<String, Vec<u32>>,
    entries: HashMap<String, u32>,
    joints: HashMap<(String, String), u32>,
    wrenches: Vec<KnownWrench>,
}

/// What a reading is judged against, with a watch over the readings outside.
#[derive(Debug)]
pub(super) struct KnownSubject {
    pub(super) subject: Subject,
    pub(super) watch: Option<Watch>,
}

/// A registered wrench with the days on which the worth of its readings changes.
#[derive(Debug)]
pub(super) struct KnownWrench {
    pub(super) wrench: Wrench,
    /// Packed days (see [`packed`]) from each of which on a stretch of equal worth lasts.
    turns: Vec<u32>,
    /// For bolts turned clockwise and anticlockwise: whether each stretch is in doubt; the one before the
    /// first turn comes first.
    doubted: [Vec<bool>; 2],
}

/// What a registered wrench is worth on a day.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct OnDay {
    /// The day, packed.
    pub(super) day: u32,
    /// The stretch of equal worth in which it lies.
    pub(super) stretch: u32,
    /// Whether bolts turned clockwise and anticlockwise are in doubt whatever is read.
    pub(super) doubted: [bool; 2],
}

/// A day as one number that sorts as days do.
pub(super) fn packed(day: Date) -> u32 {
    u32::from(day.year().unsigned_abs()) * 10_000
        + u32::from(day.month().unsigned_abs()) * 100
        + u32::from(day.day().unsigned_abs())
}

impl KnownWrench {
    fn new(wrench: Wrench) -> KnownWrench {
        let turns = wrench.history().turning_days();
        // A right-hand thread is tightened clockwise, a left-hand one anticlockwise.
        let doubted = [false, true].map(|left_hand_thread| {
            let in_doubt = |on: Date| {
                let usage = Use { left_hand_thread, ..Use::on(on) };
                !wrench.lasting_doubts(Kind::Tightened, &usage).is_empty()
            };
            std::iter::once(Date::MIN).chain(turns.iter().copied()).map(in_doubt).collect()
        });
        KnownWrench { turns: turns.into_iter().map(packed).collect(), doubted, wrench }
    }

    /// What the wrench is worth on a packed day.
    pub(super) fn on(&self, day: u32) -> OnDay {
        let stretch = u32::try_from(self.turns.partition_point(|&turn| turn <= day)).unwrap_or(u32::MAX);
        let doubted = [Turn::Clockwise, Turn::Anticlockwise].map(|turn| self.is_doubted(stretch, turn));
        OnDay { day, stretch, doubted }
    }

    /// Whether the readings of a stretch are in doubt whatever they read.
    #[inline]
    pub(super) fn is_doubted(&self, stretch: u32, turn: Turn) -> bool {
        self.doubted[turn as usize].get(stretch as usize).copied().unwrap_or(true)
    }
}

impl Reference {
    /// Nothing yet.
    #[must_use]
    pub fn new() -> Reference {
        Reference::default()
    }

    /// Adds an entry of the book.
    pub fn add_entry(&mut self, subject: Subject) {
        let entry = subject.entry.clone();
        let place = self.place(subject);
        self.entries.insert(entry, place);
    }

    /// Adds a joint of a bicycle; its limits are its own (marking, maker) or those of its entry.
    pub fn add_joint(&mut self, bike: &str, joint: &str, subject: Subject) {
        let place = self.place(subject);
        self.joints.insert((folded(bike), folded(joint)), place);
    }

    /// Adds a registered wrench.
    pub fn add_wrench(&mut self, wrench: Wrench) {
        self.wrenches.push(KnownWrench::new(wrench));
    }

    /// Joints that are judged alike share a place, so that a fleet takes little room.
    fn place(&mut self, subject: Subject) -> u32 {
        let known = self.alike.get(&subject.entry).into_iter().flatten().copied();
        if let Some(place) =
            known.into_iter().find(|&place| self.subject(place).is_some_and(|known| known.subject == subject))
        {
            return place;
        }
        let place = u32::try_from(self.subjects.len()).unwrap_or(u32::MAX);
        self.alike.entry(subject.entry.clone()).or_default().push(place);
        let watch = subject.limits.as_ref().map(Watch::new);
        self.subjects.push(KnownSubject { subject, watch });
        place
    }

    pub(super) fn subject(&self, place: u32) -> Option<&KnownSubject> {
        self.subjects.get(place as usize)
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

    /// The registered wrenches.
    pub(super) fn wrenches(&self) -> &[KnownWrench] {
        &self.wrenches
    }

    /// The limits of an entry of the book.
    #[must_use]
    pub fn limits(&self, entry: &str) -> Option<&Limits> {
        self.subject(self.entry(entry)?)?.subject.limits.as_ref()
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
