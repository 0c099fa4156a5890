//! What is written behind rows, each phrase put into words once.

use std::collections::HashMap;

use super::super::outputs::{CHANCE_LENGTH, RowResult, RowWriter};
use super::super::reference::assumed;
use super::super::{Rule, Terms};
use super::chances::Chances;
use super::group::{Group, JudgedRow};
use super::interned::Interned;
use super::judge::Judge;
use super::zones::ZONES;
use crate::conformity::slip::MixUp;
use crate::conformity::{Doubt, Finding, Gauge, Instrument, Kind, Label, assess};
use crate::sheet::Separator;
use crate::wrench::Use;

/// Phrases that are remembered; then all are forgotten: a fleet with many wrenches in doubt has no end of
/// them.
const MOST: usize = 1 << 14;
/// No phrase yet, and no number of anything else.
const NONE: u32 = u32::MAX;

struct Phrase {
    text: Box<[u8]>,
    chance_at: usize,
    /// Whether the text has room there for a chance, which differs from row to row.
    tells_chance: bool,
    reasons: Vec<String>,
}

/// Rows behind which the same is written, mixed up units and the chance apart: everything that reasons
/// hang on, by number.
type PhraseKey = [u64; 3];

struct GroupPhrases {
    /// The number of the instrument: groups with equal ones have the same.
    instrument: u32,
    /// The phrases for tightenings in each zone without lasting doubt.
    by_zone: [u32; ZONES],
}

/// Writes rows, and remembers how: tightenings in one zone of a group are written alike, and other rows like
/// their like.
pub(super) struct Phrases<'a> {
    writer: &'a dyn RowWriter,
    rule: Rule,
    groups: Vec<GroupPhrases>,
    instruments: Vec<Instrument>,
    made: Vec<Phrase>,
    known: Interned<u32, 3>,
    /// Phrases by the one without the suspicion, and the suspicion.
    mixed_up: HashMap<(u32, MixUp), u32>,
    /// The fields of limits by the number of the requirement.
    limits: HashMap<u32, String>,
    chances: Chances<'a>,
}

impl<'a> Phrases<'a> {
    pub(super) fn new(writer: &'a dyn RowWriter, terms: Terms) -> Phrases<'a> {
        Phrases {
            writer,
            rule: terms.rule,
            groups: Vec::new(),
            instruments: Vec::new(),
            made: Vec::new(),
            known: Interned::new(),
            mixed_up: HashMap::new(),
            limits: HashMap::new(),
            chances: Chances::new(writer),
        }
    }

    /// Appends what stands behind a row that was read, without a line end.
    pub(super) fn append(&mut self, judge: &Judge<'_>, row: &JudgedRow, text: &mut Vec<u8>) {
        let Some(group) = judge.group_of(row.group) else { return };
        while self.groups.len() <= row.group as usize {
            self.add_group(judge);
        }
        let of_group = &self.groups[row.group as usize];
        let class = u64::from(group.requirement) << 32 | u64::from(of_group.instrument);
        let by_zone = row.zone.filter(|_| row.label.is_some() && !row.lasting_doubt);
        let mut number = match by_zone.map(|zone| of_group.by_zone[zone]) {
            Some(number) if number != NONE => number,
            _ => self.find(group, row, by_zone),
        };
        if let (Some(mix_up), Rule::Guarded) = (row.mix_up, self.rule) {
            number = self.with_mix_up(number, mix_up);
        }
        // One copy of it all, and the chance put in after: three copies cost a tenth of the time of writing.
        let phrase = &self.made[number as usize];
        let chance_at = text.len() + phrase.chance_at;
        text.extend_from_slice(&phrase.text);
        if phrase.tells_chance
            && let Some(gauge) = &group.gauge
            && let Some(room) = text.get_mut(chance_at..chance_at + CHANCE_LENGTH)
        {
            room.copy_from_slice(self.chances.of((gauge, &group.sure), class, row.reading.torque));
        }
    }

    #[cold]
    fn add_group(&mut self, judge: &Judge<'_>) {
        let Some(group) = u32::try_from(self.groups.len()).ok().and_then(|next| judge.group_of(next)) else {
            return;
        };
        let instrument = match group.wrench {
            Some(known) => known.wrench.instrument(None),
            None => assumed(group.required().limits.as_ref()),
        };
        let known = self.instruments.iter().position(|known| *known == instrument);
        let number = known.unwrap_or_else(|| {
            self.instruments.push(instrument);
            self.instruments.len() - 1
        });
        let instrument = u32::try_from(number).unwrap_or(NONE);
        self.groups.push(GroupPhrases { instrument, by_zone: [NONE; ZONES] });
    }

    /// Finds or makes the phrase for a row; it is the one of a zone where that is given.
    #[inline(never)]
    fn find(&mut self, group: &Group<'_>, row: &JudgedRow, by_zone: Option<usize>) -> u32 {
        if self.made.len() >= MOST {
            self.made.clear();
            self.known = Interned::new();
            self.mixed_up.clear();
            for group in &mut self.groups {
                group.by_zone = [NONE; ZONES];
            }
        }
        let key = self.key(group, row);
        let number = self.known.of_key(&key).unwrap_or_else(|| {
            let number = self.make(group, row);
            self.known.put(key, number);
            number
        });
        if let Some(zone) = by_zone {
            self.groups[row.group as usize].by_zone[zone] = number;
        }
        number
    }

    fn key(&self, group: &Group<'_>, row: &JudgedRow) -> PhraseKey {
        let is_tightened = row.kind == Kind::Tightened;
        let instrument = if is_tightened { self.groups[row.group as usize].instrument } else { NONE };
        // Reasons name what is the matter with a wrench that is in doubt.
        let scale_doubt = group.scale_doubt(row);
        let doubted = row.lasting_doubt || scale_doubt.is_some();
        let too_coarse = doubted
            && is_tightened
            && group.gauge.is_some_and(|gauge| gauge.label(row.reading.torque) == Label::NotSettled);
        let held = match group.finding(row) {
            Some(Finding::HeldAtLeast { reaches_low, above_high, .. }) => {
                1 + reaches_low.map_or(0, |reaches| 1 + u32::from(reaches)) + 3 * u32::from(above_high)
            }
            _ => 0,
        };
        let off_scale = match scale_doubt {
            None => 0,
            Some(Doubt::BelowUsableScale { .. }) => 1,
            Some(_) => 2,
        };
        let label = row.label.map_or(7, |label| label as u32);
        let both = |high: u32, low: u32| u64::from(high) << 32 | u64::from(low);
        [
            both(group.requirement, instrument),
            both(if doubted { row.group } else { NONE }, if row.lasting_doubt { row.interval } else { NONE }),
            u64::from(
                row.kind as u32
                    | label << 3
                    | held << 6
                    | off_scale << 9
                    | u32::from(too_coarse) << 11
                    | u32::from(group.too_much(row).is_some()) << 12,
            ),
        ]
    }

    fn make(&mut self, group: &Group<'_>, row: &JudgedRow) -> u32 {
        let required = group.required();
        let limits = required.limits.as_ref();
        let torque = row.reading.torque;
        let outcome = match group.wrench {
            Some(known) if row.kind.has_torque() => {
                let usage = Use { left_hand_thread: required.left_hand, ..Use::on(row.day) };
                known.wrench.assess(row.kind, limits, torque, &usage)
            }
            _ => assess(row.kind, limits, torque, &assumed(limits), &[]),
        };
        let result = match (group.too_much(row), self.rule, row.label) {
            (Some(bolt), ..) => RowResult::TooMuch { why: &bolt.why },
            (None, Rule::Plain, Some(label)) => RowResult::Plain { label },
            _ => RowResult::Read { basis: &required.basis, outcome: &outcome },
        };
        let limits = self.limits.entry(group.requirement).or_insert_with(|| self.writer.limits(limits));
        let before = format!("{}{}{limits}", self.writer.separator().char(), self.writer.verdict(&result));
        let tells_chance = row.label.is_some()
            && self.rule == Rule::Guarded
            && group.gauge.as_ref().is_some_and(Gauge::tells_chance)
            && !group.is_doubted(row)
            && group.too_much(row).is_none();
        self.keep(before.as_bytes(), tells_chance, self.writer.reasons(&result))
    }

    /// The phrase for a row that would have another one, were it not that units were perhaps mixed up.
    #[inline(never)]
    fn with_mix_up(&mut self, number: u32, mix_up: MixUp) -> u32 {
        if let Some(&known) = self.mixed_up.get(&(number, mix_up)) {
            return known;
        }
        let phrase = &self.made[number as usize];
        let (before, tells_chance) = (phrase.text[..phrase.chance_at].to_vec(), phrase.tells_chance);
        let reasons = phrase.reasons.iter().cloned().chain([self.writer.mix_up(mix_up)]).collect();
        let mixed_up = self.keep(&before, tells_chance, reasons);
        self.mixed_up.insert((number, mix_up), mixed_up);
        mixed_up
    }

    fn keep(&mut self, before: &[u8], tells_chance: bool, reasons: Vec<String>) -> u32 {
        let separator = self.separator();
        // The field of a chance that is not told is empty.
        let chance = if tells_chance { &[b' '; CHANCE_LENGTH][..] } else { &[separator.byte()] };
        let text = [before, chance, reason_field(&reasons.join("; "), separator).as_bytes()].concat().into();
        self.made.push(Phrase { text, chance_at: before.len(), tells_chance, reasons });
        u32::try_from(self.made.len() - 1).unwrap_or(NONE)
    }

    /// Appends what stands behind a row that is not judged, without a line end; one with fewer fields than
    /// the log has gets the missing ones, so that what follows stands in its own columns.
    pub(super) fn append_unjudged(&self, missing: usize, result: &RowResult<'_>, text: &mut Vec<u8>) {
        let separator = self.separator();
        text.resize(text.len() + missing + 1, separator.byte());
        text.extend_from_slice(self.writer.verdict(result).as_bytes());
        text.extend_from_slice(self.writer.limits(None).as_bytes());
        text.push(separator.byte());
        let reasons = self.writer.reasons(result).join("; ");
        text.extend_from_slice(reason_field(&reasons, separator).as_bytes());
    }

    fn separator(&self) -> Separator {
        self.writer.separator()
    }
}

/// A reason as a CSV field behind what parts it, quoted where it has to be.
fn reason_field(reason: &str, separator: Separator) -> String {
    let separator = separator.char();
    if reason.contains([separator, '"', '\r', '\n']) {
        format!("{separator}\"{}\"", reason.replace('"', "\"\""))
    } else {
        format!("{separator}{reason}")
    }
}
