//! One row: what it names, what it reads, and what the rule says of it.

use std::marker::PhantomData;

use super::counts::{Counts, Fault};
use super::field::{Field, Row};
use super::histogram::Histogram;
use super::interned::Interned;
use super::names::Names;
use super::pairs::Pairs;
use super::record::Fields;
use super::reference::{OnDay, Reference, assumed, packed};
use super::slot::{Place, Slot};
use super::tally::{Counted, Tally};
use super::value::{Days, Values};
use super::{Columns, Rule, Terms};
use crate::conformity::slip::MixUp;
use crate::conformity::{Gauge, Kind, Label};
use crate::quantity::{Number, Reading, Torque, TorqueUnit};

/// Slots that there is room for to begin with: most logs need fewer, and moving them costs more than room
/// that is not touched.
const USUAL_SLOTS: usize = 1024;

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
    /// Whether tightenings are in doubt that day whatever they read.
    pub(super) lasting_doubt: bool,
    /// What was read; 0 for a kind without a torque.
    pub(super) reading: Reading,
    /// The label of a tightening; none for the other kinds.
    pub(super) label: Option<Label>,
    /// The units whose mixing up would explain it.
    pub(super) mix_up: Option<MixUp>,
    /// The zone of the reading; none where it lies at a turn.
    pub(super) zone: Option<usize>,
}

impl Said {
    /// Nothing yet.
    pub(super) fn new() -> Said {
        Said {
            fault: None,
            place: Place { slot: NO_SLOT, stretch: 0, day: 0 },
            kind: Kind::Tightened,
            lasting_doubt: false,
            reading: NO_READING,
            label: None,
            mix_up: None,
            zone: None,
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

/// Judges rows; every thread has its own.
#[derive(Debug)]
pub(super) struct Judge<'a> {
    reference: &'a Reference,
    columns: Columns,
    /// Whether rows may name a joint that is known.
    has_joints: bool,
    terms: Terms,
    today: u32,
    values: Values,
    entries: Interned<Option<u32>, 4>,
    joints: Interned<Option<u32>, 4>,
    joint_key: Vec<u8>,
    wrenches: Interned<u32, 2>,
    kinds: Interned<Option<Kind>, 2>,
    names: Names<'a>,
    /// What they are worth on the day met last: rows of a day stand together.
    worth: Vec<OnDay>,
    slots: Vec<Slot<'a>>,
    /// The slot of every pair that was met.
    pairs: Pairs,
    days: Days,
    /// Rows of no entry.
    loose: Counts,
    faults: [u64; Fault::ALL.len()],
}

impl<'a> Judge<'a> {
    pub(super) fn new(reference: &'a Reference, columns: Columns, terms: Terms) -> Judge<'a> {
        let names = Names::new(reference);
        let mut wrenches = Interned::new();
        wrenches.remember(b"".as_slice().into(), 0);
        Judge {
            reference,
            columns,
            has_joints: columns.has_joints() && reference.has_joints(),
            terms,
            today: packed(terms.today),
            values: Values::new(),
            entries: Interned::new(),
            joints: Interned::new(),
            joint_key: Vec::new(),
            wrenches,
            kinds: Interned::new(),
            worth: vec![OnDay::default(); names.len()],
            names,
            slots: Vec::with_capacity(USUAL_SLOTS),
            pairs: Pairs::default(),
            days: Days::new(),
            loose: Counts::default(),
            faults: [0; Fault::ALL.len()],
        }
    }

    /// Judges and counts a record; what is said of it stands in `said`.
    #[inline]
    pub(super) fn judge(&mut self, data: &[u8], fields: &Fields, said: &mut Said) {
        said.place.slot = NO_SLOT;
        let row = fields.row(data);
        said.fault = match self.slot(&row, fields) {
            Ok(slot) => {
                said.place.slot = slot;
                self.read(&row, said).err()
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

    /// The slot of that number.
    pub(super) fn slot_of(&self, number: u32) -> Option<&Slot<'a>> {
        self.slots.get(number as usize)
    }

    /// The slot of what the record names.
    #[inline]
    fn slot(&mut self, row: &Row<'_>, fields: &Fields) -> Result<u32, Fault> {
        if fields.is_unclosed() {
            return Err(Fault::Quote);
        }
        if fields.count() != self.columns.count {
            return Err(Fault::Columns);
        }
        let subject = self.subject(row)?;
        let wrench = self.wrench(row.field(self.columns.wrench));
        self.pairs.get(subject, wrench).or_else(|| self.new_slot(subject, wrench)).ok_or(Fault::Entry)
    }

    /// The joint, where the row names one that is known, else the entry.
    #[inline]
    fn subject(&mut self, row: &Row<'_>) -> Result<u32, Fault> {
        let entry = row.field(self.columns.entry);
        let by_joint = self.has_joints || (entry.is_empty() && self.columns.has_joints());
        if by_joint {
            let (bike, joint) = (row.field(self.columns.bike), row.field(self.columns.joint));
            if let Some(place) = self.joint(bike.bytes(), joint.bytes()) {
                return Ok(place);
            }
            if entry.bytes().trim_ascii().is_empty() {
                let is_named = |field: Field<'_>| !field.bytes().trim_ascii().is_empty();
                return Err(if is_named(bike) && is_named(joint) { Fault::Joint } else { Fault::NoEntry });
            }
        }
        self.entries
            .get(entry)
            .unwrap_or_else(|| self.new_entry(entry))
            .ok_or_else(|| if entry.bytes().trim_ascii().is_empty() { Fault::NoEntry } else { Fault::Entry })
    }

    fn new_entry(&mut self, entry: Field<'_>) -> Option<u32> {
        let found = std::str::from_utf8(entry.bytes()).ok().and_then(|key| self.reference.entry(key));
        self.entries.remember(entry, found)
    }

    fn joint(&mut self, bike: &[u8], joint: &[u8]) -> Option<u32> {
        self.joint_key.clear();
        self.joint_key.extend_from_slice(bike);
        // Stands in no UTF-8 text, so that no two pairs make one key.
        self.joint_key.push(0xff);
        self.joint_key.extend_from_slice(joint);
        let key = Field::from(self.joint_key.as_slice());
        if let Some(known) = self.joints.get(key) {
            return known;
        }
        let (bike, joint) = (std::str::from_utf8(bike).ok()?, std::str::from_utf8(joint).ok()?);
        let found = self.reference.joint(bike, joint);
        self.joints.remember(key, found)
    }

    #[inline]
    fn wrench(&mut self, name: Field<'_>) -> u32 {
        self.wrenches.get(name).unwrap_or_else(|| self.new_wrench(name))
    }

    fn new_wrench(&mut self, name: Field<'_>) -> u32 {
        let text = String::from_utf8_lossy(name.bytes());
        let number = self.names.number_of(text.trim());
        self.wrenches.remember(name, number)
    }

    #[cold]
    fn new_slot(&mut self, subject_place: u32, name: u32) -> Option<u32> {
        let known = self.reference.subject(subject_place)?;
        let subject = &known.subject;
        let wrench = self.names.get(name)?.wrench;
        let limits = subject.limits.as_ref();
        let gauge = limits.map(|limits| match (self.terms.rule, wrench) {
            (Rule::Plain, _) => Gauge::exact(limits),
            (Rule::Guarded, Some(known)) => Gauge::new(limits, &known.wrench.instrument(None)),
            (Rule::Guarded, None) => Gauge::new(limits, &assumed(Some(limits))),
        });
        let histogram = self.terms.histograms.then(|| self.reference.limits(&subject.entry)).flatten();
        let number = u32::try_from(self.slots.len()).ok()?;
        self.slots.push(Slot::new(
            (known, subject_place),
            (wrench.filter(|_| self.terms.rule == Rule::Guarded), name),
            gauge,
            histogram.map(|limits| Histogram::new(limits.largest())),
        ));
        self.pairs.put(subject_place, name, number);
        Some(number)
    }

    /// Reads and judges what the record says, and counts it.
    #[inline]
    fn read(&mut self, row: &Row<'_>, said: &mut Said) -> Result<(), Fault> {
        let kind = row.field(self.columns.kind);
        said.kind = self.kinds.get(kind).unwrap_or_else(|| self.new_kind(kind)).ok_or(Fault::Kind)?;
        let has_torque = said.kind.has_torque();
        if !has_torque {
            said.reading = NO_READING;
        } else if !self.values.read(
            row.field(self.columns.value),
            row.field(self.columns.unit),
            &mut said.reading,
        ) {
            return Err(Fault::Value);
        }
        let slot = self.slots.get_mut(said.place.slot as usize).ok_or(Fault::Entry)?;
        (said.place.day, said.place.stretch, said.lasting_doubt) = (0, 0, false);
        if let Some(known) = slot.wrench
            && has_torque
        {
            let time = row.field(self.columns.taken_at);
            said.place.day =
                if time.is_empty() { self.today } else { self.days.read(time).ok_or(Fault::Day)? };
            let worth = self.worth.get_mut(slot.name as usize).ok_or(Fault::Day)?;
            if worth.day != said.place.day {
                *worth = known.on(said.place.day);
            }
            said.place.stretch = worth.stretch;
            said.lasting_doubt = worth.doubted[slot.tightens as usize];
            if time.is_empty() {
                slot.counts.undated += 1;
            }
        }
        if !said.reading.unit_given {
            slot.counts.no_unit += 1;
        }
        if said.kind == Kind::Tightened {
            slot.label(said);
        } else {
            slot.note(said);
        }
        Ok(())
    }

    fn new_kind(&mut self, word: Field<'_>) -> Option<Kind> {
        let text = std::str::from_utf8(word.bytes()).ok();
        let kind = text.and_then(|text| match text.trim() {
            "" => Some(Kind::Tightened),
            word => Kind::parse(word),
        });
        self.kinds.remember(word, kind)
    }

    /// What was counted.
    pub(super) fn into_tally(mut self) -> Tally<'a> {
        Tally {
            reference: self.reference,
            rule: self.terms.rule,
            names: self.names,
            pairs: self.pairs,
            counted: self.slots.iter_mut().map(Counted::of).collect(),
            loose: self.loose,
            faults: self.faults,
        }
    }

    /// The name of the wrench of a slot.
    pub(super) fn wrench_name(&self, slot: &Slot<'_>) -> &str {
        self.names.get(slot.name).map_or("", |name| name.name.as_str())
    }
}
