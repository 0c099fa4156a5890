//! The log written back, with what was said behind every row.

use std::mem::Discriminant;
use std::ops::Range;

use rustc_hash::FxHashMap;

use super::Rule;
use super::reference::assumed;
use super::row::{Judge, Said, Slot};
use super::value::unpacked;
use crate::conformity::slip::{Slip, suspect};
use crate::conformity::{Doubt, Finding, Kind, Label, Limits, Outcome, Probability, assess, finding};
use crate::quantity::TorqueUnit;
use crate::wrench::Use;

/// Bytes of wording that are remembered; then all is forgotten and begun anew.
const ROOM: usize = 4 * 1024 * 1024;

/// What is said of a row, for whoever puts it into words.
#[derive(Debug)]
pub enum Told<'a> {
    /// A row that was read.
    Read {
        /// What it was judged against; none where nothing is agreed.
        limits: Option<&'a Limits>,
        /// On whose word.
        ground: &'a str,
        /// The verdict or finding.
        outcome: &'a Outcome,
        /// Slips of unit that would explain it.
        slips: &'a [Slip],
    },
    /// A row judged by simple acceptance.
    Plain {
        /// What it was judged against.
        limits: Option<&'a Limits>,
        /// On whose word.
        ground: &'a str,
        /// The label.
        label: Label,
    },
    /// A row that cannot be read.
    Rejected {
        /// Why not.
        reason: &'a str,
    },
}

/// Puts into words what was said of a row, as the last fields of a CSV record.
pub trait Wording: Sync {
    /// The names of the fields, each behind a comma.
    fn header(&self) -> &'static str;
    /// Appends the fields before the chance, each behind a comma.
    fn before_chance(&self, told: &Told<'_>, text: &mut Vec<u8>);
    /// Appends the chance of being inside, behind a comma.
    fn chance(&self, chance: Option<Probability>, text: &mut Vec<u8>);
    /// Appends the fields after the chance, each behind a comma.
    fn after_chance(&self, told: &Told<'_>, text: &mut Vec<u8>);
}

/// Rows that are told in the same words, the chance apart.
#[derive(Debug, PartialEq, Eq, Hash)]
struct Alike {
    slot: u32,
    stretch: u32,
    kind: Kind,
    label: Option<Label>,
    reaches_low: Option<bool>,
    scale: Option<Discriminant<Doubt>>,
    /// The reading, where slips of unit are told: value and unit.
    slipped: Option<(u64, u8, TorqueUnit)>,
}

/// The words of a row before and after its chance.
#[derive(Debug, Clone)]
struct Words {
    before: Range<usize>,
    after: Range<usize>,
}

/// Tells rows, and remembers how. Logs repeat themselves: only the chance is worked out for every row.
/// Measured on 5 million rows, it takes 150 ns a row where the whole verdict would take 1600.
pub(super) struct Teller<'a> {
    wording: &'a dyn Wording,
    rule: Rule,
    columns: usize,
    known: FxHashMap<Alike, Words>,
    text: Vec<u8>,
}

impl<'a> Teller<'a> {
    pub(super) fn new(wording: &'a dyn Wording, rule: Rule, columns: usize) -> Teller<'a> {
        Teller { wording, rule, columns, known: FxHashMap::default(), text: Vec::new() }
    }

    /// Appends a row that was read.
    #[inline]
    pub(super) fn tell(&mut self, judge: &Judge<'_>, said: &Said, text: &mut Vec<u8>) {
        let Said { place, kind, reading, .. } = *said;
        let Some(slot) = judge.slot_at(place) else { return };
        let wrench = slot.wrench.filter(|_| kind.has_torque());
        let scale = wrench.and_then(|known| known.wrench.scale_doubt(reading.torque));
        let alike = Alike {
            slot: place.slot,
            stretch: place.stretch,
            kind,
            label: said.label,
            reaches_low: match finding(kind, slot.low, reading.torque) {
                Some(Finding::HeldAtLeast { reaches_low, .. }) => reaches_low,
                _ => None,
            },
            scale: scale.map(|doubt| std::mem::discriminant(&doubt)),
            slipped: said
                .suspected
                .then(|| (reading.number.value.to_bits(), reading.number.decimals, reading.unit)),
        };
        let words = match self.known.get(&alike) {
            Some(words) => words.clone(),
            None => self.find_words(slot, said, alike),
        };
        let gauge = slot.gauge.as_ref().filter(|_| said.label.is_some() && self.rule == Rule::Guarded);
        let chance = gauge.map(|gauge| gauge.chance_inside(reading.torque));
        text.extend_from_slice(self.text.get(words.before).unwrap_or_default());
        self.wording.chance(chance, text);
        text.extend_from_slice(self.text.get(words.after).unwrap_or_default());
    }

    /// Finds the words for a row whose like was not told before.
    fn find_words(&mut self, slot: &Slot<'_>, said: &Said, alike: Alike) -> Words {
        if self.text.len() > ROOM {
            self.text.clear();
            self.known.clear();
        }
        let subject = slot.subject;
        let limits = subject.limits.as_ref();
        let ground = subject.ground.as_str();
        if let (Rule::Plain, Some(label)) = (self.rule, said.label) {
            return self.remember(&Told::Plain { limits, ground, label }, alike);
        }
        let (kind, torque) = (said.kind, said.reading.torque);
        let outcome = match slot.wrench {
            Some(known) if kind.has_torque() => {
                let usage = Use { left_hand_thread: subject.left_hand, ..Use::on(unpacked(said.place.day)) };
                known.wrench.assess(kind, limits, torque, &usage)
            }
            _ => assess(kind, limits, torque, &assumed(limits), &[]),
        };
        let slips = match (&outcome, limits) {
            (Outcome::Judged(verdict), Some(limits)) => suspect(limits, said.reading, verdict.label),
            _ => Vec::new(),
        };
        self.remember(&Told::Read { limits, ground, outcome: &outcome, slips: &slips }, alike)
    }

    fn remember(&mut self, told: &Told<'_>, alike: Alike) -> Words {
        let start = self.text.len();
        self.wording.before_chance(told, &mut self.text);
        let middle = self.text.len();
        self.wording.after_chance(told, &mut self.text);
        let words = Words { before: start..middle, after: middle..self.text.len() };
        self.known.insert(alike, words.clone());
        words
    }

    /// Appends a row that cannot be read; one with too few fields gets the missing ones, so that what
    /// follows stands in its own columns.
    pub(super) fn tell_rejected(&self, fields: usize, reason: &str, text: &mut Vec<u8>) {
        text.extend(std::iter::repeat_n(b',', self.columns.saturating_sub(fields)));
        let told = Told::Rejected { reason };
        self.wording.before_chance(&told, text);
        self.wording.chance(None, text);
        self.wording.after_chance(&told, text);
    }
}
