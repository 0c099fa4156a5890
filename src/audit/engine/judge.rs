//! What a row names and reads, looked up, and judged by the group that it belongs to.

use jiff::civil::Date;

use super::super::counts::{Counts, Fault};
use super::super::reference::{Reference, assumed};
use super::super::summary::{Histogram, Summary, WrenchCounts};
use super::super::{Rule, Terms};
use super::columns::AuditColumns;
use super::field::FieldBytes;
use super::group::{Group, JudgedRow};
use super::interned::Interned;
use super::names::WrenchNames;
use super::record::Record;
use super::value::{Days, Values};
use crate::conformity::{Gauge, Kind, Limits, is_no_reading};
use crate::quantity::{Number, Reading, Torque, TorqueUnit, in_newton_metres};

const NO_GROUP: u32 = u32::MAX;

/// Judges rows; every thread has its own.
pub(super) struct Judge<'a> {
    reference: &'a Reference,
    columns: AuditColumns,
    /// Whether rows may name a joint that is known.
    has_joints: bool,
    terms: Terms,
    values: Values,
    days: Days,
    entries: Interned<Option<u32>, 4>,
    joints: Interned<Option<u32>, 4>,
    joint_key: Vec<u8>,
    wrenches: Interned<u32, 2>,
    kinds: Interned<Option<Kind>, 2>,
    names: WrenchNames<'a>,
    /// The day met last with each registered wrench, and its interval: rows of a day stand together.
    intervals: Vec<(Date, u32)>,
    groups: Vec<Group<'a>>,
    /// The group of every requirement and name that was met.
    numbers: Vec<Vec<u32>>,
    loose: Counts,
    faults: [u64; Fault::ALL.len()],
}

impl<'a> Judge<'a> {
    pub(super) fn new(reference: &'a Reference, columns: AuditColumns, terms: Terms) -> Judge<'a> {
        let intervals = reference.wrenches().iter().map(|known| (terms.today, known.interval(terms.today)));
        Judge {
            reference,
            columns,
            has_joints: columns.has_joints() && reference.has_joints(),
            terms,
            values: Values::new(),
            days: Days::new(),
            entries: Interned::new(),
            joints: Interned::new(),
            joint_key: Vec::new(),
            wrenches: Interned::new(),
            kinds: Interned::new(),
            names: WrenchNames::new(reference),
            // No name at all has the first number.
            intervals: [(terms.today, 0)].into_iter().chain(intervals).collect(),
            groups: Vec::new(),
            numbers: Vec::new(),
            loose: Counts::default(),
            faults: [0; Fault::ALL.len()],
        }
    }

    /// Judges and counts a record, and puts what came of it into `row`: as a value it was copied from
    /// call to call, at about 8 % of the audit's time.
    pub(super) fn judge(&mut self, record: &Record<'_>, row: &mut JudgedRow) -> Result<(), Fault> {
        row.group = NO_GROUP;
        let judged = self.read(record, row);
        judged.inspect_err(|&fault| self.reject(row.group, fault))
    }

    #[cold]
    fn reject(&mut self, group: u32, fault: Fault) {
        if let Some(count) = self.faults.get_mut(fault as usize) {
            *count += 1;
        }
        let counts = self.groups.get_mut(group as usize).map_or(&mut self.loose, |group| &mut group.counts);
        counts.rows += 1;
        counts.rejected += 1;
    }

    fn group(&mut self, record: &Record<'_>) -> Result<u32, Fault> {
        if record.is_unclosed {
            return Err(Fault::Quote);
        }
        if record.count() != self.columns.count {
            return Err(Fault::Columns);
        }
        let requirement = self.requirement(record)?;
        let wrench = record.field(self.columns.wrench);
        let name = self.wrenches.get(wrench).unwrap_or_else(|| self.new_wrench(wrench));
        let known = self.numbers.get(requirement as usize).and_then(|by_name| by_name.get(name as usize));
        match known {
            Some(&group) if group != NO_GROUP => Ok(group),
            _ => self.new_group(requirement, name).ok_or(Fault::Entry),
        }
    }

    /// The requirement of the joint, where the row names one that is known, else that of the entry.
    fn requirement(&mut self, record: &Record<'_>) -> Result<u32, Fault> {
        let entry = record.field(self.columns.entry);
        if self.has_joints || (entry.is_empty() && self.columns.has_joints()) {
            let (bike, joint) = (record.field(self.columns.bike), record.field(self.columns.joint));
            if let Some(known) = self.joint(bike.bytes(), joint.bytes()) {
                return Ok(known);
            }
            if entry.is_blank() {
                let is_named = !bike.is_blank() && !joint.is_blank();
                return Err(if is_named { Fault::Joint } else { Fault::NoEntry });
            }
        }
        let known = self.entries.get(entry).unwrap_or_else(|| self.new_entry(entry));
        known.ok_or_else(|| if entry.is_blank() { Fault::NoEntry } else { Fault::Entry })
    }

    #[cold]
    fn new_entry(&mut self, entry: FieldBytes<'_>) -> Option<u32> {
        let found = std::str::from_utf8(entry.bytes()).ok().and_then(|key| self.reference.entry(key));
        self.entries.remember(entry, found)
    }

    fn joint(&mut self, bike: &[u8], joint: &[u8]) -> Option<u32> {
        self.joint_key.clear();
        self.joint_key.extend_from_slice(bike);
        // Stands in no UTF-8 text, so that no two pairs make one key.
        self.joint_key.push(0xff);
        self.joint_key.extend_from_slice(joint);
        let key = FieldBytes::from(self.joint_key.as_slice());
        if let Some(known) = self.joints.get(key) {
            return known;
        }
        let (bike, joint) = (std::str::from_utf8(bike).ok()?, std::str::from_utf8(joint).ok()?);
        let found = self.reference.joint(bike, joint);
        self.joints.remember(key, found)
    }

    #[cold]
    fn new_wrench(&mut self, name: FieldBytes<'_>) -> u32 {
        let number = self.names.number_of(String::from_utf8_lossy(name.bytes()).trim());
        self.wrenches.remember(name, number)
    }

    #[cold]
    fn new_group(&mut self, requirement: u32, name: u32) -> Option<u32> {
        let known = self.reference.requirement(requirement)?;
        let wrench = self.names.get(name)?.wrench.filter(|_| self.terms.rule == Rule::Guarded);
        let gauge = known.requirement.limits.as_ref().map(|limits| match (self.terms.rule, wrench) {
            (Rule::Plain, _) => Gauge::exact(limits),
            (Rule::Guarded, Some(known)) => Gauge::new(limits, &known.wrench.instrument(None)),
            (Rule::Guarded, None) => Gauge::new(limits, &assumed(Some(limits))),
        });
        let of_entry = self.reference.limits(&known.requirement.entry).filter(|_| self.terms.histograms);
        let histogram = of_entry.map(|limits| Histogram::new(limits.largest()));
        let group = u32::try_from(self.groups.len()).ok()?;
        self.groups.push(Group::new((known, requirement), (wrench, name), gauge, histogram));
        let (row, column) = (requirement as usize, name as usize);
        if self.numbers.len() <= row {
            self.numbers.resize_with(row + 1, Vec::new);
        }
        if self.numbers[row].len() <= column {
            self.numbers[row].resize(column + 1, NO_GROUP);
        }
        self.numbers[row][column] = group;
        Some(group)
    }

    fn read(&mut self, record: &Record<'_>, row: &mut JudgedRow) -> Result<(), Fault> {
        row.group = self.group(record)?;
        let kind = record.field(self.columns.kind);
        row.kind = self.kinds.get(kind).unwrap_or_else(|| self.new_kind(kind)).ok_or(Fault::Kind)?;
        if !row.kind.has_torque() {
            row.reading = no_reading();
        } else if !self.values.read(
            record.field(self.columns.value),
            record.field(self.columns.unit),
            &mut row.reading,
        ) {
            return Err(Fault::Value);
        }
        (row.day, row.interval, row.lasting_doubt) = (self.terms.today, 0, false);
        let group = self.groups.get_mut(row.group as usize).ok_or(Fault::Entry)?;
        if row.kind.has_torque() && is_no_reading(row.reading.torque, group.division()) {
            return Err(Fault::NoReading);
        }
        if row.reading.torque > group.tears_above {
            return Err(Fault::TearsAny);
        }
        if let Some(known) = group.wrench
            && row.kind.has_torque()
        {
            let time = record.field(self.columns.taken_at);
            if time.is_empty() {
                group.counts.undated += 1;
            } else {
                row.day = self.days.read(time).ok_or(Fault::Day)?;
            }
            let last = &mut self.intervals[group.name as usize];
            if last.0 != row.day {
                *last = (row.day, known.interval(row.day));
            }
            row.interval = last.1;
            row.lasting_doubt = known.is_doubted(row.interval, group.turns_anticlockwise(row.kind));
        }
        group.judge(row);
        Ok(())
    }

    #[cold]
    fn new_kind(&mut self, word: FieldBytes<'_>) -> Option<Kind> {
        let text = std::str::from_utf8(word.bytes()).ok();
        let kind = text.and_then(|text| match text.trim() {
            "" => Some(Kind::Tightened),
            word => Kind::parse(word),
        });
        self.kinds.remember(word, kind)
    }

    pub(super) fn group_of(&self, number: u32) -> Option<&Group<'a>> {
        self.groups.get(number as usize)
    }

    pub(super) fn wrench_name(&self, group: &Group<'_>) -> &str {
        self.names.get(group.name).map_or("", |name| name.name.as_str())
    }

    pub(super) fn into_summary(self) -> Summary {
        let mut summary = Summary::new(self.terms.rule);
        summary.worst_kept = self.terms.worst_kept();
        summary.loose = self.loose;
        for (fault, count) in Fault::ALL.into_iter().zip(self.faults) {
            summary.add_fault(fault, count);
        }
        for group in self.groups {
            let Some(name) = self.names.get(group.name) else { continue };
            let required = group.required();
            let of_entry = self.reference.limits(&required.entry);
            let unreadable = group.known.unreadable.as_ref();
            summary.own_figures |=
                unreadable.is_none() && required.limits.as_ref().map(ends) != of_entry.map(ends);
            let entry = summary.entries.entry(required.entry.clone()).or_default();
            if let Some((low, high)) = of_entry.map(ends) {
                (entry.low_nm, entry.high_nm) = (low.map(in_newton_metres), high.map(in_newton_metres));
                entry.value_nm = of_entry.and_then(Limits::set_value).map(in_newton_metres);
            }
            let reason = required.basis.clone();
            let (counts, histogram) = group.into_counts();
            if let Some(joint) = unreadable {
                entry.unreadable.entry(joint.clone()).or_insert((reason, 0)).1 += counts.no_figure;
            }
            let registered = name.wrench.is_some();
            entry.add(name.name.clone(), WrenchCounts { registered, counts }, histogram);
        }
        summary
    }
}

fn ends(limits: &Limits) -> (Option<Torque>, Option<Torque>) {
    (limits.low(), limits.high())
}

/// What stands for the reading of a kind without a torque.
pub(super) fn no_reading() -> Reading {
    Reading {
        torque: Torque::default(),
        number: Number { value: 0.0, decimals: 0 },
        unit: TorqueUnit::NewtonMetre,
        unit_given: true,
    }
}
