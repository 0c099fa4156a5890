//! The log written back, with what was said behind every row.

use std::hash::{Hash, Hasher};
use std::mem::Discriminant;

use rustc_hash::FxHashMap;

use super::Rule;
use super::chances::Chances;
use super::ladder::ZONES;
use super::reference::assumed;
use super::row::{Judge, Said};
use super::slot::Slot;
use super::text::Text;
use super::value::unpacked;
use crate::conformity::slip::{Slip, likeliest};
use crate::conformity::{Doubt, Finding, Kind, Label, Limits, Outcome, Probability, assess};
use crate::quantity::{TorqueUnit, in_newton_metres};
use crate::wrench::Use;

/// Bytes of wording that are remembered; then all is forgotten and begun anew.
const ROOM: usize = 4 * 1024 * 1024;

/// What is said of a row, for whoever puts it into words.
#[derive(Debug)]
pub enum Told<'a> {
    /// A row that was read.
    Read {
        /// On whose word its limits are.
        ground: &'a str,
        /// The verdict or finding.
        outcome: &'a Outcome,
    },
    /// A row judged by simple acceptance.
    Plain {
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
    /// Appends the verdict as a CSV field, behind a comma.
    fn verdict(&self, told: &Told<'_>, text: &mut Vec<u8>);
    /// Appends the limits that it was judged against as CSV fields, each behind a comma.
    fn limits(&self, limits: Option<&Limits>, text: &mut Vec<u8>);
    /// Appends the chance of being inside as a CSV field, behind a comma.
    fn chance(&self, chance: Option<Probability>, text: &mut Vec<u8>);
    /// Why, as plain text.
    fn reason(&self, told: &Told<'_>) -> String;
    /// A slip of unit, as plain text.
    fn slip(&self, slip: Slip) -> String;
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
    /// The reason, as a CSV field behind a comma.
    field: u32,
    /// The reason as plain text.
    reason: u32,
}

impl Words {
    const NONE: Words = Words { start: 0, verdict: 0, field: 0, reason: 0 };
}

/// Readings that slip alike and have the same reason: the number, its decimals and unit, the place of what
/// it was judged against, and where the reason stands.
type Slipped = (u64, u8, TorqueUnit, u32, u32);

/// The words for the zones of a slot, in the stretch of its wrench that was met last, and the number of its
/// gauge.
#[derive(Debug, Clone, Copy)]
struct Page {
    stretch: u32,
    gauge: u32,
    words: [Words; ZONES],
}

/// Places for the words of readings that are no tightenings, by zone, and of those at a turn, by torque: the
/// next one of a place takes it. A power of two.
const NOTES: usize = 1 << 12;

/// Tells rows, and remembers how: tightenings in one zone of a slot are told in the same words, and other
/// rows in those of their like.
pub(super) struct Teller<'a> {
    wording: &'a dyn Wording,
    rule: Rule,
    columns: usize,
    pages: Vec<Page>,
    notes: Vec<([u64; 2], Words)>,
    words: FxHashMap<Alike, Words>,
    /// Limits as CSV fields, each behind a comma, by the place of what is judged.
    limits: FxHashMap<u32, Vec<u8>>,
    /// Words by what they say, and where in it verdict and field end.
    phrases: FxHashMap<(Box<[u8]>, u32, u32), Words>,
    /// Reasons with a slip of unit, as CSV fields behind a comma.
    slips: FxHashMap<Slipped, (u32, u32)>,
    text: Vec<u8>,
    chances: Chances,
    /// The field of a row without a chance.
    no_chance: Vec<u8>,
}

impl<'a> Teller<'a> {
    pub(super) fn new(wording: &'a dyn Wording, rule: Rule, columns: usize) -> Teller<'a> {
        let mut no_chance = Vec::new();
        wording.chance(None, &mut no_chance);
        Teller {
            no_chance,
            wording,
            rule,
            columns,
            pages: Vec::new(),
            notes: vec![([0; 2], Words::NONE); NOTES],
            words: FxHashMap::default(),
            limits: FxHashMap::default(),
            phrases: FxHashMap::default(),
            slips: FxHashMap::default(),
            text: Vec::new(),
            chances: Chances::new(),
        }
    }

    /// Appends what is said of a row that was read.
    #[inline]
    pub(super) fn tell(&mut self, judge: &Judge<'_>, said: &Said, text: &mut Text) {
        if self.text.len() > ROOM {
            self.forget();
        }
        let Some(slot) = judge.slot_at(said.place) else { return };
        let page = match self.pages.get(said.place.slot as usize) {
            Some(page) => page,
            None => self.new_page(judge, said.place.slot),
        };
        let gauge = page.gauge;
        let words = match said.zone {
            Some(zone) if said.kind == Kind::Tightened => {
                page.words.get(zone).filter(|_| page.stretch == said.place.stretch).copied()
            }
            _ => self.noted(said),
        };
        let words = match words.filter(|words| words.start < words.verdict) {
            Some(words) => words,
            None => self.find(slot, said),
        };
        text.append_part(&self.text, words.start as usize, words.verdict as usize);
        match &slot.gauge {
            Some(known) if said.label.is_some() && self.rule == Rule::Guarded => {
                self.chances.append((known, gauge), said.reading.torque, self.wording, text);
            }
            _ => text.append_slowly(&self.no_chance),
        }
        let (from, to) = if said.suspected && self.rule == Rule::Guarded {
            self.with_slip(slot, said, words)
        } else {
            (words.verdict, words.field)
        };
        text.append_part(&self.text, from as usize, to as usize);
    }

    /// Where the words for a reading that is no tightening or lies at a turn may be, with what they are for.
    fn note(said: &Said) -> (usize, [u64; 2]) {
        let (zone, torque) = match said.zone {
            Some(zone) => (zone as u64, 0),
            None => (ZONES as u64, in_newton_metres(said.reading.torque).to_bits()),
        };
        let key = u64::from(said.place.slot) << 32
            | u64::from(said.place.stretch & 0xf_ffff) << 12
            | zone << 4
            | said.kind as u64;
        let mixed = (key ^ torque.rotate_left(17)).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        ((mixed >> 40) as usize % NOTES, [key, torque])
    }

    fn noted(&self, said: &Said) -> Option<Words> {
        let (at, key) = Self::note(said);
        self.notes.get(at).filter(|(known, _)| *known == key).map(|(_, words)| *words)
    }

    /// Forgets all words.
    #[cold]
    fn forget(&mut self) {
        self.text.clear();
        self.words.clear();
        self.phrases.clear();
        self.slips.clear();
        self.notes.fill(([0; 2], Words::NONE));
        for page in &mut self.pages {
            page.words = [Words::NONE; ZONES];
        }
    }

    /// Begins the pages of slots that were not met before.
    #[cold]
    fn new_page(&mut self, judge: &Judge<'_>, slot: u32) -> &Page {
        while self.pages.len() <= slot as usize {
            let place = u32::try_from(self.pages.len()).unwrap_or(u32::MAX);
            let gauge = judge.slot_of(place).and_then(|slot| slot.gauge);
            let gauge = self.chances.number(gauge.as_ref());
            self.pages.push(Page { stretch: 0, gauge, words: [Words::NONE; ZONES] });
        }
        &self.pages[slot as usize]
    }

    /// Finds the words for a row whose like was not told of late.
    fn find(&mut self, slot: &Slot<'_>, said: &Said) -> Words {
        let Said { place, kind, reading, .. } = *said;
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
        let words = match self.words.get(&alike) {
            Some(words) => *words,
            None => self.find_words(slot, said, alike),
        };
        match (said.zone, self.pages.get_mut(place.slot as usize)) {
            (Some(zone), Some(page)) if kind == Kind::Tightened => {
                if page.stretch != place.stretch {
                    page.stretch = place.stretch;
                    page.words = [Words::NONE; ZONES];
                }
                if let Some(known) = page.words.get_mut(zone) {
                    *known = words;
                }
            }
            _ => {
                let (at, key) = Self::note(said);
                if let Some(known) = self.notes.get_mut(at) {
                    *known = (key, words);
                }
            }
        }
        words
    }

    /// Finds the words for a row whose like was not told before.
    fn find_words(&mut self, slot: &Slot<'_>, said: &Said, alike: Alike) -> Words {
        let subject = slot.subject;
        let limits = subject.limits.as_ref();
        let ground = subject.ground.as_str();
        if let (Rule::Plain, Some(label)) = (self.rule, said.label) {
            return self.remember(&Told::Plain { label }, slot, alike);
        }
        let (kind, torque) = (said.kind, said.reading.torque);
        let outcome = match slot.wrench {
            Some(known) if kind.has_torque() => {
                let usage = Use { left_hand_thread: subject.left_hand, ..Use::on(unpacked(said.place.day)) };
                known.wrench.assess(kind, limits, torque, &usage)
            }
            _ => assess(kind, limits, torque, &assumed(limits), &[]),
        };
        self.remember(&Told::Read { ground, outcome: &outcome }, slot, alike)
    }

    fn remember(&mut self, told: &Told<'_>, slot: &Slot<'_>, alike: Alike) -> Words {
        let reason = self.wording.reason(told);
        let start = self.end();
        self.wording.verdict(told, &mut self.text);
        let limits = self.limits.entry(slot.subject_place).or_insert_with(|| {
            let mut fields = Vec::new();
            self.wording.limits(slot.subject.limits.as_ref(), &mut fields);
            fields
        });
        self.text.extend_from_slice(limits);
        let verdict = self.end();
        self.text.push(b',');
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

    /// The reason with the likeliest slip that would explain the reading.
    fn with_slip(&mut self, slot: &Slot<'_>, said: &Said, words: Words) -> (u32, u32) {
        let number = said.reading.number;
        let (unit, subject) = (said.reading.unit, slot.subject_place);
        let slipped = (number.value.to_bits(), number.decimals, unit, subject, words.field);
        if let Some(&known) = self.slips.get(&slipped) {
            return known;
        }
        let reason = self.part(words.field, words.reason).to_vec();
        let slip = match (&slot.subject.limits, said.label) {
            (Some(limits), Some(label)) => likeliest(limits, said.reading, label),
            _ => None,
        };
        let slip = slip.map(|slip| self.wording.slip(slip)).unwrap_or_default();
        let start = self.end();
        self.text.push(b',');
        append_field(&mut self.text, &[&reason, slip.as_bytes()]);
        let field = (start, self.end());
        self.slips.insert(slipped, field);
        field
    }

    /// Appends a row that cannot be read; one with too few fields gets the missing ones, so that what
    /// follows stands in its own columns.
    pub(super) fn tell_rejected(&self, fields: usize, reason: &str, text: &mut Text) {
        let mut added = vec![b','; self.columns.saturating_sub(fields)];
        let told = Told::Rejected { reason };
        self.wording.verdict(&told, &mut added);
        self.wording.limits(None, &mut added);
        added.extend_from_slice(&self.no_chance);
        added.push(b',');
        append_field(&mut added, &[self.wording.reason(&told).as_bytes()]);
        text.append_slowly(&added);
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
