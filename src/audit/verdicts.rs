//! The log written back, with what was said behind every row.

use rustc_hash::FxHashMap;

use super::row::{Judge, Place, Said, Slot};
use super::value::unpacked;
use super::{Rule, reference};
use crate::conformity::slip::{Slip, suspect};
use crate::conformity::{Kind, Label, Limits, Outcome, assess};
use crate::quantity::{Reading, Torque};

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
    /// Appends the fields, each behind a comma.
    fn append(&self, told: &Told<'_>, text: &mut Vec<u8>);
}

/// Readings that are told in the same words. Logs repeat themselves: of 5 million generated rows, 97 %
/// were told from memory, which is what lets the chance and the reasons be worked out in full.
#[derive(Debug, PartialEq, Eq, Hash)]
struct Alike {
    slot: u32,
    stretch: u32,
    value: u64,
    unit: u8,
    decimals: u8,
    kind: u8,
}

/// Tells rows, and remembers how.
pub(super) struct Teller<'a> {
    wording: &'a dyn Wording,
    rule: Rule,
    columns: usize,
    known: FxHashMap<Alike, (u32, u32)>,
    words: Vec<u8>,
}

impl<'a> Teller<'a> {
    pub(super) fn new(wording: &'a dyn Wording, rule: Rule, columns: usize) -> Teller<'a> {
        Teller { wording, rule, columns, known: FxHashMap::default(), words: Vec::new() }
    }

    /// Appends a row that was read.
    #[inline]
    pub(super) fn tell(&mut self, judge: &Judge<'_>, said: &Said, text: &mut Vec<u8>) {
        let (place, kind, reading) = match *said {
            Said::Label { place, reading, .. } => (place, Kind::Tightened, Some(reading)),
            Said::Finding { place, kind, reading } => (place, kind, reading),
            Said::Rejected(_) => return,
        };
        let alike = Alike {
            slot: place.slot,
            stretch: place.stretch,
            value: reading.map_or(u64::MAX, |reading| reading.number.value.to_bits()),
            unit: reading.map_or(u8::MAX, |reading| reading.unit as u8),
            decimals: reading.map_or(0, |reading| reading.number.decimals),
            kind: kind as u8,
        };
        if let Some(&(from, to)) = self.known.get(&alike) {
            text.extend_from_slice(self.words.get(from as usize..to as usize).unwrap_or_default());
            return;
        }
        if self.words.len() > ROOM {
            self.words.clear();
            self.known.clear();
        }
        let from = self.words.len();
        if let Some(slot) = judge.slot_at(place) {
            self.tell_anew(slot, place, kind, reading, said);
        }
        text.extend_from_slice(self.words.get(from..).unwrap_or_default());
        if let (Ok(from), Ok(to)) = (u32::try_from(from), u32::try_from(self.words.len())) {
            self.known.insert(alike, (from, to));
        }
    }

    fn tell_anew(
        &mut self,
        slot: &Slot<'_>,
        place: Place,
        kind: Kind,
        reading: Option<Reading>,
        said: &Said,
    ) {
        let subject = slot.subject;
        let limits = subject.limits.as_ref();
        let ground = subject.ground.as_str();
        if let (Rule::Plain, Said::Label { label, .. }) = (self.rule, *said) {
            self.wording.append(&Told::Plain { limits, ground, label }, &mut self.words);
            return;
        }
        let torque = reading.map_or(Torque::default(), |reading| reading.torque);
        let outcome = match slot.wrench {
            Some(known) if kind.has_torque() => {
                let doubts = reference::doubts(known, kind, torque, unpacked(place.day), subject.left_hand);
                assess(kind, limits, torque, &known.wrench.instrument(None), &doubts)
            }
            _ => assess(kind, limits, torque, &reference::assumed(limits), &[]),
        };
        let slips = match (&outcome, limits, reading) {
            (Outcome::Judged(verdict), Some(limits), Some(reading)) => {
                suspect(limits, reading, verdict.label)
            }
            _ => Vec::new(),
        };
        self.wording
            .append(&Told::Read { limits, ground, outcome: &outcome, slips: &slips }, &mut self.words);
    }

    /// Appends a row that cannot be read; one with too few fields gets the missing ones, so that what
    /// follows stands in its own columns.
    pub(super) fn tell_rejected(&self, fields: usize, reason: &str, text: &mut Vec<u8>) {
        text.extend(std::iter::repeat_n(b',', self.columns.saturating_sub(fields)));
        self.wording.append(&Told::Rejected { reason }, text);
    }
}
