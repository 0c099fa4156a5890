//! The log written back, with what was said behind every row.

use std::hash::{Hash, Hasher};
use std::mem::Discriminant;

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
    },
    /// A row judged by simple acceptance.
    Plain {
        /// What it was judged against.
        limits: Option<&'a Limits>,
        /// The label.
        label: Label,
    },
    /// A row that cannot be read.
    Rejected {
        /// Why not.
        reason: &'a str,
    },
}

/// Puts into words what was said of a row.
pub trait Wording: Sync {
    /// The names of the fields that are added, each behind a comma: verdict, limits, chance, reason.
    fn header(&self) -> &'static str;
    /// Appends the verdict and the limits as CSV fields, each behind a comma.
    fn verdict(&self, told: &Told<'_>, text: &mut Vec<u8>);
    /// Appends the chance of being inside as a CSV field, behind a comma.
    fn chance(&self, chance: Option<Probability>, text: &mut Vec<u8>);
    /// Why, as plain text.
    fn reason(&self, told: &Told<'_>) -> String;
    /// Slips of unit, as plain text.
    fn slips(&self, slips: &[Slip]) -> String;
}

/// Rows that are told in the same words, the chance and the slips of unit apart.
#[derive(Debug, PartialEq, Eq)]
struct Alike {
    slot: u32,
    stretch: u32,
    kind: Kind,
    label: Option<Label>,
    /// The label that it would have with a wrench to be believed; reasons hang on it.
    otherwise: Option<Label>,
    reaches_low: Option<bool>,
    scale: Option<Discriminant<Doubt>>,
}

impl Hash for Alike {
    /// Slots and stretches tell most rows apart; the rest is mixed in where it seldom collides.
    #[inline]
    fn hash<H: Hasher>(&self, state: &mut H) {
        let label = |label: Option<Label>| label.map_or(7, |label| label as u64);
        let little = label(self.label) | label(self.otherwise) << 3 | (self.kind as u64) << 6;
        state.write_u64(u64::from(self.slot) << 32 | u64::from(self.stretch) << 9 | little);
    }
}

/// The words of a row, by where they end; each begins where the one before ends.
#[derive(Debug, Clone, Copy)]
struct Words {
    start: u32,
    /// Verdict and limits, as CSV fields.
    verdict: u32,
    /// The reason, as a CSV field.
    field: u32,
    /// The reason as plain text.
    reason: u32,
}

/// Readings that slip alike: the number, its decimals and unit, and the place of what it was judged
/// against.
type Slipped = (u64, u8, TorqueUnit, u32);

/// Tells rows, and remembers how. Logs repeat themselves: only the chance is worked out for every row.
pub(super) struct Teller<'a> {
    wording: &'a dyn Wording,
    rule: Rule,
    columns: usize,
    words: FxHashMap<Alike, Words>,
    slips: FxHashMap<Slipped, (u32, u32)>,
    text: Vec<u8>,
}

impl<'a> Teller<'a> {
    pub(super) fn new(wording: &'a dyn Wording, rule: Rule, columns: usize) -> Teller<'a> {
        let (words, slips) = (FxHashMap::default(), FxHashMap::default());
        Teller { wording, rule, columns, words, slips, text: Vec::new() }
    }

    /// Appends a row that was read.
    #[inline]
    pub(super) fn tell(&mut self, judge: &Judge<'_>, said: &Said, text: &mut Vec<u8>) {
        let Said { place, kind, reading, .. } = *said;
        let Some(slot) = judge.slot_at(place) else { return };
        if self.text.len() > ROOM {
            self.text.clear();
            self.words.clear();
            self.slips.clear();
        }
        let wrench = slot.wrench.filter(|_| kind.has_torque());
        let scale = wrench.and_then(|known| known.wrench.scale_doubt(reading.torque));
        let alike = Alike {
            slot: place.slot,
            stretch: place.stretch,
            kind,
            label: said.label,
            otherwise: match (said.label, &slot.gauge) {
                (Some(Label::NotSettled), Some(gauge)) => Some(gauge.label(reading.torque)),
                _ => None,
            },
            reaches_low: match finding(kind, slot.low, reading.torque) {
                Some(Finding::HeldAtLeast { reaches_low, .. }) => reaches_low,
                _ => None,
            },
            scale: scale.map(|doubt| std::mem::discriminant(&doubt)),
        };
        let words = match self.words.get(&alike) {
            Some(words) => *words,
            None => self.find_words(slot, said, alike),
        };
        let gauge = slot.gauge.as_ref().filter(|_| said.label.is_some() && self.rule == Rule::Guarded);
        let chance = gauge.map(|gauge| gauge.chance_inside(reading.torque));
        text.extend_from_slice(self.part(words.start, words.verdict));
        self.wording.chance(chance, text);
        text.push(b',');
        if said.suspected && self.rule == Rule::Guarded {
            let slips = self.slips(slot, said);
            append_field(text, &[self.part(words.field, words.reason), self.part(slips.0, slips.1)]);
        } else {
            text.extend_from_slice(self.part(words.verdict, words.field));
        }
    }

    /// Finds the words for a row whose like was not told before.
    fn find_words(&mut self, slot: &Slot<'_>, said: &Said, alike: Alike) -> Words {
        let subject = slot.subject;
        let limits = subject.limits.as_ref();
        let ground = subject.ground.as_str();
        if let (Rule::Plain, Some(label)) = (self.rule, said.label) {
            return self.remember(&Told::Plain { limits, label }, alike);
        }
        let (kind, torque) = (said.kind, said.reading.torque);
        let outcome = match slot.wrench {
            Some(known) if kind.has_torque() => {
                let usage = Use { left_hand_thread: subject.left_hand, ..Use::on(unpacked(said.place.day)) };
                known.wrench.assess(kind, limits, torque, &usage)
            }
            _ => assess(kind, limits, torque, &assumed(limits), &[]),
        };
        self.remember(&Told::Read { limits, ground, outcome: &outcome }, alike)
    }

    fn remember(&mut self, told: &Told<'_>, alike: Alike) -> Words {
        let reason = self.wording.reason(told);
        let start = self.end();
        self.wording.verdict(told, &mut self.text);
        let verdict = self.end();
        append_field(&mut self.text, &[reason.as_bytes()]);
        let field = self.end();
        self.text.extend_from_slice(reason.as_bytes());
        let words = Words { start, verdict, field, reason: self.end() };
        self.words.insert(alike, words);
        words
    }

    /// A part of the remembered words.
    fn part(&self, from: u32, to: u32) -> &[u8] {
        self.text.get(from as usize..to as usize).unwrap_or_default()
    }

    /// Where the remembered words end: a few million bytes on at most.
    fn end(&self) -> u32 {
        u32::try_from(self.text.len()).unwrap_or(u32::MAX)
    }

    /// The slips that would explain a reading, as plain text.
    fn slips(&mut self, slot: &Slot<'_>, said: &Said) -> (u32, u32) {
        let number = said.reading.number;
        let slipped = (number.value.to_bits(), number.decimals, said.reading.unit, slot.subject_place);
        if let Some(&known) = self.slips.get(&slipped) {
            return known;
        }
        let start = self.end();
        if let (Some(limits), Some(label)) = (&slot.subject.limits, said.label) {
            let slips = suspect(limits, said.reading, label);
            self.text.extend_from_slice(self.wording.slips(&slips).as_bytes());
        }
        let slips = (start, self.end());
        self.slips.insert(slipped, slips);
        slips
    }

    /// Appends a row that cannot be read; one with too few fields gets the missing ones, so that what
    /// follows stands in its own columns.
    pub(super) fn tell_rejected(&self, fields: usize, reason: &str, text: &mut Vec<u8>) {
        text.extend(std::iter::repeat_n(b',', self.columns.saturating_sub(fields)));
        let told = Told::Rejected { reason };
        self.wording.verdict(&told, text);
        self.wording.chance(None, text);
        text.push(b',');
        append_field(text, &[self.wording.reason(&told).as_bytes()]);
    }
}

/// Appends texts as one CSV field, quoted where it has to be.
fn append_field(text: &mut Vec<u8>, parts: &[&[u8]]) {
    let quoted = parts.iter().any(|part| part.iter().any(|byte| b",\"\r\n".contains(byte)));
    let start = text.len();
    for part in parts.iter().filter(|part| !part.is_empty()) {
        if text.len() > start {
            text.extend_from_slice(b"; ");
        }
        text.extend_from_slice(part);
    }
    if quoted {
        let field = text.split_off(start);
        text.push(b'"');
        for byte in field {
            text.extend_from_slice(if byte == b'"' { b"\"\"" } else { std::slice::from_ref(&byte) });
        }
        text.push(b'"');
    }
}
