//! The log written back, with what was said behind every row.

use std::hash::{Hash, Hasher};

use rustc_hash::FxHashMap;

use super::Rule;
use super::chances::{Chances, GaugeNumber, Sure, chance_field};
use super::ladder::ZONES;
use super::phrases::{PhraseAt, Phrases};
use super::reference::assumed;
use super::row::{Judge, Said};
use super::slot::Slot;
use super::text::{Piece, Text};
use super::value::unpacked;
use crate::conformity::slip::MixUp;
use crate::conformity::{Doubt, Finding, Instrument, Kind, Label, Limits, Outcome, Probability, assess};
use crate::wrench::Use;

/// What is said of a row, for whoever puts it into words.
#[derive(Debug)]
pub enum Told<'a> {
    /// A row that was read.
    Read {
        /// On whose word its limits are.
        basis: &'a str,
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
    /// Which units were perhaps mixed up, as plain text.
    fn mix_up(&self, mix_up: MixUp) -> String;
    /// A chance from which on all are told like 1, as all below its complement are told like 0; none where
    /// there is no such.
    fn certain(&self) -> Option<Probability>;
}

/// How many kinds of row are known by their like; then all are forgotten: a fleet with many wrenches in doubt
/// has far more of them than phrases.
const MOST_KNOWN: usize = 1 << 16;

/// Rows that are told in the same words, the chance apart.
#[derive(Debug, PartialEq, Eq)]
struct Alike {
    subject: u32,
    /// Of a tightening.
    instrument: u32,
    /// Slot, and stretch where the doubt lasts, where the wrench is in doubt: reasons name what is the matter
    /// with it.
    doubted: Option<(u32, Option<u32>)>,
    kind: Kind,
    label: Option<Label>,
    /// Whether the wrench could settle nothing if it were to be believed.
    too_coarse: bool,
    /// Of a bolt that held: whether the lower limit was reached, and whether the upper was passed.
    held: Option<(Option<bool>, bool)>,
    /// Whether it is below the usable scale rather than above, where it is off it.
    off_scale: Option<bool>,
}

impl Hash for Alike {
    /// What tells most rows apart, in the low bits, which reach all others when they are mixed; the rest is
    /// left to comparing.
    #[inline]
    fn hash<H: Hasher>(&self, state: &mut H) {
        let label = |label: Option<Label>| label.map_or(7, |label| label as u64);
        let little = label(self.label) | u64::from(self.too_coarse) << 3 | (self.kind as u64) << 4;
        let (slot, stretch) = self.doubted.map_or((0, 0), |(slot, stretch)| (slot + 1, stretch.unwrap_or(0)));
        state.write_u64(little | u64::from(self.subject) << 8 | u64::from(self.instrument) << 40);
        state.write_u64(u64::from(stretch) | u64::from(slot) << 16);
    }
}

/// What the rows of a slot are told by, on one line of the processor's cache.
#[derive(Debug, Clone, Copy)]
#[repr(align(64))]
struct Page {
    /// The stretch of the wrench that was met last, for which the phrases are.
    stretch: u32,
    /// Number of the gauge by which chances are told.
    gauge: GaugeNumber,
    /// Number of the instrument: slots with equal ones have the same.
    instrument: u32,
    /// The phrases for the zones.
    phrases: [PhraseAt; ZONES],
    /// The readings whose chance needs no working out.
    sure: Sure,
}

/// Tells rows, and remembers how: tightenings in one zone of a slot are told in the same words, and other
/// rows in those of their like.
pub(super) struct Teller<'a> {
    wording: &'a dyn Wording,
    rule: Rule,
    columns: usize,
    pages: Vec<Page>,
    instruments: Vec<Instrument>,
    known: FxHashMap<Alike, PhraseAt>,
    /// Phrases for rows that are merely noted, by what is judged and by kind.
    noted: Vec<[PhraseAt; Kind::ALL.len()]>,
    /// Phrases by the one without the suspicion, and the suspicion.
    mixed_up: FxHashMap<(PhraseAt, MixUp), PhraseAt>,
    phrases: Phrases,
    /// The reasons of phrases as plain text, where no units were mixed up.
    reasons: FxHashMap<PhraseAt, String>,
    /// Limits as CSV fields, each behind a comma, by the place of what is judged.
    limits: FxHashMap<u32, Vec<u8>>,
    chances: Chances<'a>,
    /// The field of a row without a chance.
    no_chance: Piece,
}

impl<'a> Teller<'a> {
    pub(super) fn new(wording: &'a dyn Wording, rule: Rule, columns: usize) -> Teller<'a> {
        Teller {
            no_chance: chance_field(wording, None),
            wording,
            rule,
            columns,
            pages: Vec::new(),
            instruments: Vec::new(),
            known: FxHashMap::default(),
            noted: Vec::new(),
            mixed_up: FxHashMap::default(),
            phrases: Phrases::default(),
            reasons: FxHashMap::default(),
            limits: FxHashMap::default(),
            chances: Chances::new(wording),
        }
    }

    /// Appends what is said of a row that was read, and a line end.
    #[inline]
    pub(super) fn tell(&mut self, judge: &Judge<'_>, said: &Said, text: &mut Text) {
        if self.phrases.are_many() {
            self.forget();
        }
        let page = match self.pages.get(said.place.slot as usize) {
            Some(page) => page,
            None => self.new_page(judge, said.place.slot),
        };
        let (gauge, sure) = (page.gauge, page.sure);
        let of_zone = match (said.zone, said.kind) {
            (Some(zone), Kind::Tightened) if page.stretch == said.place.stretch => {
                page.phrases.get(zone).copied()
            }
            _ => None,
        };
        let mut phrase = match of_zone {
            Some(phrase) if phrase != PhraseAt::NONE => phrase,
            _ => self.find(judge, said),
        };
        if let (Some(mix_up), Rule::Guarded) = (said.mix_up, self.rule) {
            phrase = self.with_mix_up(phrase, mix_up);
        }
        let parts = self.phrases.parts(phrase);
        parts.append_first(text);
        if said.label.is_none() || gauge == GaugeNumber::NONE {
            self.no_chance.append_to(text);
        } else {
            self.chances.append(gauge, sure, said.reading.torque, text);
        }
        parts.append_second(text);
    }

    /// Forgets all phrases.
    #[cold]
    fn forget(&mut self) {
        self.phrases.clear();
        self.known.clear();
        self.noted.clear();
        self.mixed_up.clear();
        self.reasons.clear();
        for page in &mut self.pages {
            page.phrases = [PhraseAt::NONE; ZONES];
        }
    }

    /// Begins the pages of slots that were not met before.
    #[cold]
    fn new_page(&mut self, judge: &Judge<'_>, slot: u32) -> &Page {
        while self.pages.len() <= slot as usize {
            let place = u32::try_from(self.pages.len()).unwrap_or(u32::MAX);
            let slot = judge.slot_of(place);
            let page = self.page(slot);
            self.pages.push(page);
        }
        &self.pages[slot as usize]
    }

    fn page(&mut self, slot: Option<&Slot<'_>>) -> Page {
        let gauge = slot.and_then(|slot| slot.gauge).filter(|_| self.rule == Rule::Guarded);
        let instrument = slot.map(|slot| match slot.wrench {
            Some(known) => known.wrench.instrument(None),
            None => assumed(slot.subject.limits.as_ref()),
        });
        let known = self.instruments.iter().position(|known| Some(*known) == instrument);
        let number = known.unwrap_or_else(|| {
            self.instruments.extend(instrument);
            self.instruments.len() - 1
        });
        Page {
            stretch: 0,
            gauge: gauge.map_or(GaugeNumber::NONE, |gauge| self.chances.number(gauge)),
            instrument: u32::try_from(number).unwrap_or(u32::MAX),
            phrases: [PhraseAt::NONE; ZONES],
            sure: gauge.map_or(Sure::NOTHING, |gauge| self.chances.sure(&gauge)),
        }
    }

    /// Finds the phrase for a row whose zone has none.
    #[inline(never)]
    fn find(&mut self, judge: &Judge<'_>, said: &Said) -> PhraseAt {
        let Some(slot) = judge.slot_of(said.place.slot) else { return PhraseAt::NONE };
        let doubts = slot.doubts(said);
        if doubts == (false, None) && !matches!(said.kind, Kind::Tightened | Kind::Held) {
            return self.note(slot, said);
        }
        let alike = self.alike(slot, said, doubts);
        let phrase = if let Some(phrase) = self.known.get(&alike) {
            *phrase
        } else {
            let phrase = self.say(slot, said);
            if self.known.len() >= MOST_KNOWN {
                self.known.clear();
            }
            self.known.insert(alike, phrase);
            phrase
        };
        if let (Some(zone), Kind::Tightened) = (said.zone, said.kind)
            && let Some(page) = self.pages.get_mut(said.place.slot as usize)
        {
            if page.stretch != said.place.stretch {
                page.stretch = said.place.stretch;
                page.phrases = [PhraseAt::NONE; ZONES];
            }
            if let Some(known) = page.phrases.get_mut(zone) {
                *known = phrase;
            }
        }
        phrase
    }

    /// Finds the phrase for a row that is merely noted: it hangs on the kind and on what is judged alone.
    fn note(&mut self, slot: &Slot<'_>, said: &Said) -> PhraseAt {
        let (subject, kind) = (slot.subject_place as usize, said.kind as usize);
        if self.noted.len() <= subject {
            self.noted.resize(subject + 1, [PhraseAt::NONE; Kind::ALL.len()]);
        }
        if self.noted[subject][kind] == PhraseAt::NONE {
            self.noted[subject][kind] = self.say(slot, said);
        }
        self.noted[subject][kind]
    }

    fn alike(&self, slot: &Slot<'_>, said: &Said, (lasting, off_scale): (bool, Option<Doubt>)) -> Alike {
        let Said { place, kind, reading, .. } = *said;
        let doubted = lasting || off_scale.is_some();
        let page = self.pages.get(place.slot as usize);
        Alike {
            subject: slot.subject_place,
            instrument: page.filter(|_| kind == Kind::Tightened).map_or(u32::MAX, |page| page.instrument),
            doubted: doubted.then_some((place.slot, lasting.then_some(place.stretch))),
            kind,
            label: said.label,
            too_coarse: said.label == Some(Label::NotSettled)
                && slot.gauge.is_some_and(|gauge| gauge.label(reading.torque) == Label::NotSettled),
            held: match slot.finding(kind, reading.torque) {
                Some(Finding::HeldAtLeast { reaches_low, above_high, .. }) => Some((reaches_low, above_high)),
                _ => None,
            },
            off_scale: off_scale.map(|doubt| matches!(doubt, Doubt::BelowUsableScale { .. })),
        }
    }

    /// The phrase for a row that would have `phrase`, were it not that units were perhaps mixed up.
    #[inline(never)]
    fn with_mix_up(&mut self, phrase: PhraseAt, mix_up: MixUp) -> PhraseAt {
        if let Some(&mixed_up) = self.mixed_up.get(&(phrase, mix_up)) {
            return mixed_up;
        }
        let verdict = self.phrases.first(phrase).to_vec();
        let reason = self.reasons.get(&phrase).map_or("", String::as_str);
        let mixed_up = self.phrases.keep(&verdict, &reason_field([reason, &self.wording.mix_up(mix_up)]));
        self.mixed_up.insert((phrase, mix_up), mixed_up);
        mixed_up
    }

    /// Puts into words what is said of a row, chance and mixed up units apart.
    fn say(&mut self, slot: &Slot<'_>, said: &Said) -> PhraseAt {
        let subject = slot.subject;
        let limits = subject.limits.as_ref();
        if let (Rule::Plain, Some(label)) = (self.rule, said.label) {
            return self.keep(&Told::Plain { label }, slot);
        }
        let (kind, torque) = (said.kind, said.reading.torque);
        let outcome = match slot.wrench {
            Some(known) if kind.has_torque() => {
                let usage = Use { left_hand_thread: subject.left_hand, ..Use::on(unpacked(said.place.day)) };
                known.wrench.assess(kind, limits, torque, &usage)
            }
            _ => assess(kind, limits, torque, &assumed(limits), &[]),
        };
        self.keep(&Told::Read { basis: &subject.basis, outcome: &outcome }, slot)
    }

    fn keep(&mut self, told: &Told<'_>, slot: &Slot<'_>) -> PhraseAt {
        let mut verdict = Vec::new();
        self.wording.verdict(told, &mut verdict);
        verdict.extend_from_slice(self.limits.entry(slot.subject_place).or_insert_with(|| {
            let mut fields = Vec::new();
            self.wording.limits(slot.subject.limits.as_ref(), &mut fields);
            fields
        }));
        let reason = self.wording.reason(told);
        let phrase = self.phrases.keep(&verdict, &reason_field([&reason, ""]));
        self.reasons.entry(phrase).or_insert(reason);
        phrase
    }

    /// Appends what is said of a row that cannot be read, and a line end; one with too few fields gets the
    /// missing ones, so that what follows stands in its own columns.
    pub(super) fn tell_rejected(&self, fields: usize, reason: &str, text: &mut Text) {
        let mut added = vec![b','; self.columns.saturating_sub(fields)];
        let told = Told::Rejected { reason };
        self.wording.verdict(&told, &mut added);
        self.wording.limits(None, &mut added);
        added.extend_from_slice(self.no_chance.as_slice());
        added.extend_from_slice(&reason_field([&self.wording.reason(&told), ""]));
        text.append_slowly(&added);
    }
}

/// Reasons as one CSV field behind a comma, quoted where it has to be, and a line end.
fn reason_field(reasons: [&str; 2]) -> Vec<u8> {
    let reasons: Vec<&str> = reasons.into_iter().filter(|reason| !reason.is_empty()).collect();
    let field = reasons.join("; ");
    if field.contains([',', '"', '\r', '\n']) {
        format!(",\"{}\"\n", field.replace('"', "\"\"")).into_bytes()
    } else {
        format!(",{field}\n").into_bytes()
    }
}
