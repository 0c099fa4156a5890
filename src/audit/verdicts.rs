//! The log written back, with what was said behind every row.

use std::hash::{Hash, Hasher};
use std::mem::Discriminant;

use rustc_hash::FxHashMap;

use super::Rule;
use super::reference::assumed;
use super::row::{Judge, Said, Slot};
use super::value::unpacked;
use crate::conformity::slip::{Slip, suspect};
use crate::conformity::{Doubt, Finding, Kind, Label, Limits, Outcome, Probability, assess};
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
    /// Of a bolt that held: whether the lower limit was reached, and whether the upper was passed.
    held: Option<(Option<bool>, bool)>,
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

/// What was told of late, in a table in which every reading has one place: the next one of that place
/// takes it. In a generated log the 16 000 commonest readings make three quarters of all rows.
struct Lately(Vec<Tale>);

/// Places of [`Lately`]; a power of two.
const PLACES: usize = 1 << 14;
/// The words behind a row, chance and slips included; one line of a cache.
#[derive(Clone, Copy)]
struct Tale {
    value: u64,
    /// Stretch, unit, decimals and kind.
    manner: u64,
    slot: u32,
    words: Words,
    slips: (u32, u32),
    /// The chance; not a number where there is none.
    chance: f64,
}

impl Lately {
    fn new() -> Lately {
        let words = Words { start: 0, verdict: 0, field: 0, reason: 0 };
        Lately(vec![Tale { value: 0, manner: 0, slot: 0, words, slips: (0, 0), chance: f64::NAN }; PLACES])
    }

    /// The place of a reading, and whether it holds the words of one just like it.
    #[inline]
    fn place(&mut self, said: &Said) -> (&mut Tale, bool) {
        let (value, slot) = (said.reading.number.value.to_bits(), said.place.slot);
        let manner = u64::from(said.place.stretch) << 32
            | u64::from(said.reading.number.decimals) << 16
            | (said.reading.unit as u64) << 8
            | said.kind as u64;
        let mixed =
            (value ^ u64::from(slot) << 7 ^ manner.rotate_left(13)).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        let tale = &mut self.0[(mixed >> 40) as usize % PLACES];
        let same = tale.words.verdict > tale.words.start
            && (tale.value, tale.slot, tale.manner) == (value, slot, manner);
        (tale.value, tale.slot, tale.manner) = (value, slot, manner);
        (tale, same)
    }

    fn clear(&mut self) {
        for tale in &mut self.0 {
            tale.words.verdict = tale.words.start;
        }
    }
}

/// Tells rows, and remembers how. Logs repeat themselves: a row unlike those of late is told in the words of
/// its like, with only the chance worked out.
pub(super) struct Teller<'a> {
    wording: &'a dyn Wording,
    rule: Rule,
    columns: usize,
    words: FxHashMap<Alike, Words>,
    /// Words by what they say, and where in it verdict and field end.
    phrases: FxHashMap<(Box<[u8]>, u32, u32), Words>,
    slips: FxHashMap<Slipped, (u32, u32)>,
    text: Vec<u8>,
    lately: Lately,
}

impl<'a> Teller<'a> {
    pub(super) fn new(wording: &'a dyn Wording, rule: Rule, columns: usize) -> Teller<'a> {
        let (words, slips) = (FxHashMap::default(), FxHashMap::default());
        Teller {
            wording,
            rule,
            columns,
            words,
            phrases: FxHashMap::default(),
            slips,
            text: Vec::new(),
            lately: Lately::new(),
        }
    }

    /// Appends what is said of a row that was read.
    #[inline]
    pub(super) fn tell(&mut self, judge: &Judge<'_>, said: &Said, text: &mut Vec<u8>) {
        let (tale, known) = self.lately.place(said);
        let mut tale = *tale;
        if !known {
            let Some(found) = self.find(judge, said, tale) else { return };
            tale = found;
            *self.lately.place(said).0 = tale;
        }
        text.extend_from_slice(self.part(tale.words.start, tale.words.verdict));
        self.wording.chance(Probability::new(tale.chance), text);
        text.push(b',');
        if tale.slips.0 == tale.slips.1 {
            text.extend_from_slice(self.part(tale.words.verdict, tale.words.field));
        } else {
            let reason = self.part(tale.words.field, tale.words.reason);
            append_field(text, &[reason, self.part(tale.slips.0, tale.slips.1)]);
        }
    }

    /// Finds what to say of a row that is unlike those of late.
    fn find(&mut self, judge: &Judge<'_>, said: &Said, mut tale: Tale) -> Option<Tale> {
        let Said { place, kind, reading, .. } = *said;
        let slot = judge.slot_at(place)?;
        if self.text.len() > ROOM {
            self.text.clear();
            self.words.clear();
            self.phrases.clear();
            self.slips.clear();
            self.lately.clear();
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
            held: match slot.finding(kind, reading.torque) {
                Some(Finding::HeldAtLeast { reaches_low, above_high, .. }) => Some((reaches_low, above_high)),
                _ => None,
            },
            scale: scale.map(|doubt| std::mem::discriminant(&doubt)),
        };
        tale.words = match self.words.get(&alike) {
            Some(words) => *words,
            None => self.find_words(slot, said, alike),
        };
        let told = said.suspected && self.rule == Rule::Guarded;
        tale.slips = if told { self.slips(slot, said) } else { (0, 0) };
        let gauge = slot.gauge.as_ref().filter(|_| said.label.is_some() && self.rule == Rule::Guarded);
        tale.chance = gauge.map_or(f64::NAN, |gauge| gauge.chance_inside(reading.torque).value());
        Some(tale)
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
        let told = Words { start, verdict, field, reason: self.end() };
        // Most wrenches say the same of an entry: said once, it stays near at hand.
        let bytes: Box<[u8]> = self.part(start, told.reason).into();
        let words = *self.phrases.entry((bytes, verdict - start, field - start)).or_insert(told);
        if words.start != start {
            self.text.truncate(start as usize);
        }
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
