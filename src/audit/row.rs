//! One row: what it names, what it reads, and what the rule says of it.

use std::marker::PhantomData;

use super::counts::{Counts, Fault};
use super::histogram::Histogram;
use super::interned::Interned;
use super::record::Fields;
use super::reference::{KnownWrench, Reference, WrenchName, assumed, packed};
use super::summary::{MOST_NAMES, OTHERS, Summary, WrenchCounts, is_counted_apart};
use super::value::{Days, Values};
use super::{Columns, Rule, Subject, Terms};
use crate::conformity::slip::Watch;
use crate::conformity::{Finding, Gauge, Kind, Label, Limits, finding};
use crate::quantity::{Number, Reading, Torque, TorqueUnit, in_newton_metres};

/// Characters of a wrench's name that count where it is not registered.
const LONGEST_NAME: usize = 100;

/// No slot yet.
const NO_SLOT: u32 = u32::MAX;

/// What was said of a row. It is written over for every row, field by field: handed back as a value,
/// its padding was copied through memory, and a profile showed the processor waiting for that.
#[derive(Debug, Clone, Copy)]
pub(super) struct Said {
    /// Why it was rejected; nothing else counts then.
    pub(super) fault: Option<Fault>,
    pub(super) place: Place,
    pub(super) kind: Kind,
    /// What was read; 0 for a kind without a torque.
    pub(super) reading: Reading,
    /// The label of a tightening; none for the other kinds.
    pub(super) label: Option<Label>,
    /// Whether a slip of unit would explain it.
    pub(super) suspected: bool,
}

impl Said {
    /// Nothing yet.
    pub(super) fn new() -> Said {
        Said {
            fault: None,
            place: Place { slot: NO_SLOT, stretch: 0, day: 0 },
            kind: Kind::Tightened,
            reading: NO_READING,
            label: None,
            suspected: false,
        }
    }
}

/// What stands for the reading of a kind without a torque.
const NO_READING: Reading = Reading {
    torque: Torque { dimension: PhantomData, units: PhantomData, value: 0.0 },
    number: Number { value: 0.0, decimals: 0 },
    unit: TorqueUnit::NewtonMetre,
    unit_given: true,
};

/// Where a row is counted and how far its wrench is believed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Place {
    /// The slot.
    pub(super) slot: u32,
    /// The stretch of equal worth in the life of a registered wrench.
    pub(super) stretch: u32,
    /// A day in it, packed.
    pub(super) day: u32,
}

/// Everything that rows of one subject and one wrench share.
#[derive(Debug)]
pub(super) struct Slot<'a> {
    pub(super) subject: &'a Subject,
    pub(super) subject_place: u32,
    pub(super) wrench: Option<&'a KnownWrench>,
    pub(super) gauge: Option<Gauge>,
    watch: Option<Watch>,
    name: u32,
    counts: Counts,
    histogram: Option<Histogram>,
}

/// Judges rows; every thread has its own.
#[derive(Debug)]
pub(super) struct Judge<'a> {
    reference: &'a Reference,
    columns: Columns,
    terms: Terms,
    today: u32,
    values: Values,
    entries: Interned<Option<u32>>,
    joints: Interned<Option<u32>>,
    joint_key: Vec<u8>,
    wrenches: Interned<u32>,
    /// Names of wrenches by number: none, then the registered ones, then others as they are met.
    names: Vec<WrenchName<'a>>,
    crowded: bool,
    slots: Vec<Slot<'a>>,
    /// The slot of every subject and wrench that were met; [`NO_SLOT`] for others.
    slot_places: Vec<Vec<u32>>,
    days: Days,
    /// Rows of no entry.
    loose: Counts,
    faults: [u64; Fault::ALL.len()],
}

impl<'a> Judge<'a> {
    pub(super) fn new(reference: &'a Reference, columns: Columns, terms: Terms) -> Judge<'a> {
        let mut wrenches = Interned::new();
        wrenches.remember(b"", 0);
        Judge {
            reference,
            columns,
            terms,
            today: packed(terms.today),
            values: Values::new(),
            entries: Interned::new(),
            joints: Interned::new(),
            joint_key: Vec::new(),
            wrenches,
            names: reference.wrench_names(),
            crowded: false,
            slots: Vec::new(),
            slot_places: Vec::new(),
            days: Days::default(),
            loose: Counts::default(),
            faults: [0; Fault::ALL.len()],
        }
    }

    /// Judges and counts a record; what is said of it stands in `said`.
    #[inline]
    pub(super) fn judge(&mut self, data: &[u8], fields: &Fields, said: &mut Said) {
        said.place.slot = NO_SLOT;
        said.fault = match self.slot(data, fields) {
            Ok(slot) => {
                said.place.slot = slot;
                self.read(data, fields, said).err()
            }
            Err(fault) => Some(fault),
        };
        if let Some(fault) = said.fault {
            said.label = None;
            self.reject(said.place.slot, fault);
        }
    }

    #[cold]
    fn reject(&mut self, slot: u32, fault: Fault) {
        if let Some(count) = self.faults.get_mut(fault as usize) {
            *count += 1;
        }
        let counts = self.slots.get_mut(slot as usize).map_or(&mut self.loose, |slot| &mut slot.counts);
        counts.rows += 1;
        counts.rejected += 1;
    }

    pub(super) fn slot_at(&self, place: Place) -> Option<&Slot<'a>> {
        self.slots.get(place.slot as usize)
    }

    /// The slot of what the record names.
    #[inline]
    fn slot(&mut self, data: &[u8], fields: &Fields) -> Result<u32, Fault> {
        if fields.is_unclosed() {
            return Err(Fault::Quote);
        }
        if fields.count() != self.columns.count {
            return Err(Fault::Columns);
        }
        let subject = self.subject(data, fields)?;
        let wrench = self.wrench(fields.get(data, self.columns.wrench));
        let slots = self.slot_places.get(subject as usize);
        match slots.and_then(|slots| slots.get(wrench as usize)) {
            Some(&slot) if slot != NO_SLOT => Ok(slot),
            _ => self.new_slot(subject, wrench).ok_or(Fault::Entry),
        }
    }

    /// The joint, where the row names one that is known, else the entry.
    #[inline]
    fn subject(&mut self, data: &[u8], fields: &Fields) -> Result<u32, Fault> {
        let entry = fields.get(data, self.columns.entry);
        let by_joint = self.columns.has_joints() && (entry.is_empty() || self.reference.has_joints());
        if by_joint {
            let bike = fields.get(data, self.columns.bike);
            let joint = fields.get(data, self.columns.joint);
            if let Some(place) = self.joint(bike, joint) {
                return Ok(place);
            }
            if entry.trim_ascii().is_empty() {
                let named = !bike.trim_ascii().is_empty() && !joint.trim_ascii().is_empty();
                return Err(if named { Fault::Joint } else { Fault::NoEntry });
            }
        }
        if let Some(known) = self.entries.get(entry) {
            return known.ok_or(Fault::Entry);
        }
        if entry.trim_ascii().is_empty() {
            return Err(Fault::NoEntry);
        }
        let found = std::str::from_utf8(entry).ok().and_then(|key| self.reference.entry(key));
        self.entries.remember(entry, found).ok_or(Fault::Entry)
    }

    fn joint(&mut self, bike: &[u8], joint: &[u8]) -> Option<u32> {
        self.joint_key.clear();
        self.joint_key.extend_from_slice(bike);
        // Stands in no UTF-8 text, so that no two pairs make one key.
        self.joint_key.push(0xff);
        self.joint_key.extend_from_slice(joint);
        if let Some(known) = self.joints.get(&self.joint_key) {
            return known;
        }
        let (bike, joint) = (std::str::from_utf8(bike).ok()?, std::str::from_utf8(joint).ok()?);
        let found = self.reference.joint(bike, joint);
        self.joints.remember(&self.joint_key, found)
    }

    #[inline]
    fn wrench(&mut self, name: &[u8]) -> u32 {
        if let Some(known) = self.wrenches.get(name) {
            return known;
        }
        let text = String::from_utf8_lossy(name);
        let text = text.trim();
        let known = self.names.iter().position(|known| known.is(text));
        let number = known.unwrap_or_else(|| self.new_name(text));
        self.wrenches.remember(name, u32::try_from(number).unwrap_or(0))
    }

    /// A number for a wrench that is not registered.
    fn new_name(&mut self, name: &str) -> usize {
        let apart = self.names.iter().filter(|known| is_counted_apart(&known.name, known.wrench.is_some()));
        let full = apart.count() >= MOST_NAMES;
        self.crowded |= full;
        let name: String = if full { OTHERS.to_owned() } else { name.chars().take(LONGEST_NAME).collect() };
        if let Some(known) = self.names.iter().position(|known| known.is(&name)) {
            return known;
        }
        self.names.push(WrenchName::other(&name));
        self.names.len() - 1
    }

    fn new_slot(&mut self, subject_place: u32, name: u32) -> Option<u32> {
        let subject = self.reference.subject(subject_place)?;
        let wrench = self.names.get(name as usize)?.wrench;
        let limits = subject.limits.as_ref();
        let gauge = limits.map(|limits| match (self.terms.rule, wrench) {
            (Rule::Plain, _) => Gauge::exact(limits),
            (Rule::Guarded, Some(known)) => Gauge::new(limits, &known.wrench.instrument(None)),
            (Rule::Guarded, None) => Gauge::new(limits, &assumed(Some(limits))),
        });
        let histogram = self.terms.histograms.then(|| self.reference.limits(&subject.entry)).flatten();
        let number = u32::try_from(self.slots.len()).ok()?;
        self.slots.push(Slot {
            subject,
            subject_place,
            wrench: wrench.filter(|_| self.terms.rule == Rule::Guarded),
            gauge,
            watch: limits.map(Watch::new),
            name,
            counts: Counts::default(),
            histogram: histogram.map(|limits| Histogram::new(limits.largest())),
        });
        let place = subject_place as usize;
        if self.slot_places.len() <= place {
            self.slot_places.resize_with(place + 1, Vec::new);
        }
        let slots = self.slot_places.get_mut(place)?;
        if slots.len() <= name as usize {
            slots.resize(name as usize + 1, NO_SLOT);
        }
        *slots.get_mut(name as usize)? = number;
        Some(number)
    }

    /// Reads and judges what the record says, and counts it.
    #[inline]
    fn read(&mut self, data: &[u8], fields: &Fields, said: &mut Said) -> Result<(), Fault> {
        said.kind = match fields.get(data, self.columns.kind) {
            b"" | b"tightened" => Kind::Tightened,
            word => read_kind(word)?,
        };
        let has_torque = said.kind.has_torque();
        if !has_torque {
            said.reading = NO_READING;
        } else if !self.values.read(
            fields.get(data, self.columns.value),
            fields.get(data, self.columns.unit),
            &mut said.reading,
        ) {
            return Err(Fault::Value);
        }
        let slot = self.slots.get_mut(said.place.slot as usize).ok_or(Fault::Entry)?;
        (said.place.day, said.place.stretch) = (0, 0);
        if let Some(known) = slot.wrench
            && has_torque
        {
            let text = fields.get(data, self.columns.taken_at);
            said.place.day =
                if text.is_empty() { self.today } else { self.days.read(text).ok_or(Fault::Day)? };
            said.place.stretch = known.stretch(said.place.day);
            slot.counts.undated += u64::from(text.is_empty());
        }
        slot.counts.no_unit += u64::from(!said.reading.unit_given);
        let doubted = has_torque && slot.is_doubted(said.place, said.reading.torque);
        (said.label, said.suspected) = (None, false);
        if said.kind == Kind::Tightened {
            slot.label(said, doubted);
        } else if let Some(found) = slot.finding(said.kind, said.reading.torque) {
            slot.counts.add_finding(found, doubted);
        }
        Ok(())
    }
}

fn read_kind(word: &[u8]) -> Result<Kind, Fault> {
    let text = std::str::from_utf8(word).map_err(|_| Fault::Kind)?;
    if text.trim().is_empty() { Ok(Kind::Tightened) } else { Kind::parse(text).ok_or(Fault::Kind) }
}

impl Slot<'_> {
    /// What a reading that is not a tightening shows.
    #[inline]
    pub(super) fn finding(&self, kind: Kind, torque: Torque) -> Option<Finding> {
        let limits = self.subject.limits.as_ref();
        finding(kind, limits.and_then(Limits::low), limits.and_then(Limits::high), torque)
    }

    /// Whether the wrench cannot be believed at a reading.
    #[inline]
    fn is_doubted(&self, place: Place, torque: Torque) -> bool {
        self.wrench.is_some_and(|known| {
            known.is_doubted(place.stretch, self.subject.left_hand)
                || known.wrench.scale_doubt(torque).is_some()
        })
    }

    /// Labels and counts a tightening.
    #[inline]
    fn label(&mut self, said: &mut Said, doubted: bool) {
        let torque = said.reading.torque;
        let (label, suspected) = if let (Some(gauge), Some(watch)) = (&self.gauge, &self.watch) {
            let label = if doubted { Label::NotSettled } else { gauge.label(torque) };
            (label, label != Label::Inside && watch.suspects(&said.reading, label))
        } else {
            self.counts.no_figure += 1;
            (Label::NotSettled, false)
        };
        self.counts.add_label(label);
        self.counts.in_doubt += u64::from(doubted);
        self.counts.unit_slips += u64::from(suspected);
        if let Some(histogram) = &mut self.histogram {
            histogram.add(torque);
        }
        (said.label, said.suspected) = (Some(label), suspected);
    }

    /// How many times over or under its limit a reading is, with the limit.
    pub(super) fn excess(&self, label: Label, torque: Torque) -> Option<(f64, Torque)> {
        let gauge = self.gauge.as_ref()?;
        match label {
            Label::High => gauge.high().map(|high| (in_newton_metres(torque) / in_newton_metres(high), high)),
            Label::Low => gauge.low().map(|low| (in_newton_metres(low) / in_newton_metres(torque), low)),
            _ => None,
        }
    }
}

impl Judge<'_> {
    /// What was counted.
    pub(super) fn summary(&self) -> Summary {
        let mut summary = Summary::new(self.terms.rule);
        summary.add_loose(self.loose);
        for (fault, count) in Fault::ALL.into_iter().zip(self.faults) {
            summary.add_fault(fault, count);
        }
        for slot in &self.slots {
            if let Some(name) = self.names.get(slot.name as usize) {
                let counts = WrenchCounts { registered: name.wrench.is_some(), counts: slot.counts };
                summary.add(&slot.subject.entry, &name.name, counts, slot.histogram.as_ref());
            }
        }
        if self.crowded {
            summary.crowd();
        }
        summary
    }

    /// The name of the wrench of a slot.
    pub(super) fn wrench_name(&self, slot: &Slot<'_>) -> &str {
        self.names.get(slot.name as usize).map_or("", |name| name.name.as_str())
    }
}
