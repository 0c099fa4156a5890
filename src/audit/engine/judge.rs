//! What a row names and reads, looked up, and judged by the group that it belongs to.

use std::collections::HashSet;
use std::sync::Arc;

use jiff::civil::Date;

use super::super::counts::{Counts, Fault, LeftOut, Unjudged};
use super::super::reference::{Reference, assumed};
use super::super::summary::{Histogram, Summary, WrenchCounts};
use super::super::{Rule, Terms};
use super::columns::AuditColumns;
use super::field::FieldBytes;
use super::group::{Group, JudgedRow};
use super::interned::Interned;
use super::names::WrenchNames;
use super::record::Record;
use super::value::{Days, Values, read_slowly};
use crate::conformity::{Gauge, Kind, Limits, is_no_reading};
use crate::quantity::{Number, Reading, Torque, TorqueUnit, in_newton_metres};

const NO_GROUP: u32 = u32::MAX;

/// Judges rows; every thread has its own.
pub(super) struct Judge<'a> {
    reference: &'a Reference,
    columns: AuditColumns,
    /// Whether rows may name a joint that is known, or be corrected by others.
    looks_closer: bool,
    /// The numbers of rows that others correct or strike.
    corrected: Arc<HashSet<u64>>,
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
    left_out: [u64; LeftOut::ALL.len()],
}

impl<'a> Judge<'a> {
    pub(super) fn new(
        reference: &'a Reference,
        (columns, corrected): (AuditColumns, Arc<HashSet<u64>>),
        terms: Terms,
    ) -> Judge<'a> {
        let intervals = reference.wrenches().iter().map(|known| (terms.today, known.interval(terms.today)));
        Judge {
            reference,
            columns,
            looks_closer: (columns.has_joints() && reference.has_joints()) || columns.has_corrections(),
            corrected,
            terms,
            values: Values::new(columns.separator),
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
            left_out: [0; LeftOut::ALL.len()],
        }
    }

    /// Judges and counts a record, and puts what came of it into `row`: as a value it was copied from
    /// call to call, at about 8 % of the audit's time.
    pub(super) fn judge(&mut self, record: &Record<'_>, row: &mut JudgedRow) -> Result<(), Unjudged> {
        row.group = NO_GROUP;
        let judged = self.read(record, row);
        judged.inspect_err(|&unjudged| self.set_aside(row.group, unjudged))
    }

    #[cold]
    fn set_aside(&mut self, group: u32, unjudged: Unjudged) {
        let fault = match unjudged {
            Unjudged::Rejected(fault) => fault,
            Unjudged::LeftOut(why) => {
                self.left_out[why as usize] += 1;
                return;
            }
        };
        if let Some(count) = self.faults.get_mut(fault as usize) {
            *count += 1;
        }
        let counts = self.groups.get_mut(group as usize).map_or(&mut self.loose, |group| &mut group.counts);
        counts.rows += 1;
        counts.rejected += 1;
    }

    fn group(&mut self, record: &Record<'_>) -> Result<u32, Unjudged> {
        if record.is_unclosed {
            return Err(Fault::Quote.into());
        }
        if record.count() != self.columns.count {
            return Err(Fault::Columns.into());
        }
        let requirement = self.requirement(record)?;
        let wrench = record.field(self.columns.wrench);
        let name = self.wrenches.get(wrench).unwrap_or_else(|| self.new_wrench(wrench));
        let known = self.numbers.get(requirement as usize).and_then(|by_name| by_name.get(name as usize));
        match known {
            Some(&group) if group != NO_GROUP => Ok(group),
            _ => self.new_group(requirement, name).map_err(|why| self.unless_torque(record, why)),
        }
    }

    /// Why a row is not judged; a torque of what no torque decides is a fault of the log.
    #[cold]
    fn unless_torque(&self, record: &Record<'_>, why: Unjudged) -> Unjudged {
        let bytes = |column| record.field(column).bytes();
        let (value, unit) = (bytes(self.columns.value), bytes(self.columns.unit));
        let is_torque = read_slowly(value, unit, self.columns.separator).is_ok_and(|read| read.unit_given);
        match why {
            Unjudged::LeftOut(_) if is_torque && bytes(self.columns.joint).is_empty() => Fault::Entry.into(),
            Unjudged::LeftOut(_) if is_torque => Fault::Joint.into(),
            why => why,
        }
    }

    /// The requirement of the joint, where the row names one that is known, else that of the entry.
    fn requirement(&mut self, record: &Record<'_>) -> Result<u32, Unjudged> {
        let entry = record.field(self.columns.entry);
        if self.looks_closer || (entry.is_empty() && self.columns.has_joints()) {
            if self.is_withdrawn(record) {
                return Err(LeftOut::Corrected.into());
            }
            let (bike, joint) = (record.field(self.columns.bike), record.field(self.columns.joint));
            if let Some(known) = self.joint(bike.bytes(), joint.bytes()) {
                return Ok(known);
            }
            if entry.is_blank() {
                let is_named = !bike.is_blank() && !joint.is_blank();
                return Err(if is_named { self.of_unknown_joint(record) } else { Fault::NoEntry.into() });
            }
        }
        let known = self.entries.get(entry).unwrap_or_else(|| self.new_entry(entry));
        known.ok_or_else(|| if entry.is_blank() { Fault::NoEntry } else { Fault::Entry }.into())
    }

    /// What a row is of a joint that is not known and names no entry, such as a hand check that was taken off: nothing is
    /// wrong with it where it has no torque.
    #[cold]
    fn of_unknown_joint(&mut self, record: &Record<'_>) -> Unjudged {
        let found = match self.kind_of(record) {
            Some(Kind::Measured) => LeftOut::Measure.into(),
            Some(kind) => self.without_torque(record, kind),
            None => Fault::Kind.into(),
        };
        if matches!(found, Unjudged::LeftOut(_)) { found } else { Fault::Joint.into() }
    }

    /// Whether a row was corrected or struck by another, or does no more than strike another.
    fn is_withdrawn(&self, record: &Record<'_>) -> bool {
        let AuditColumns { id, corrects, kind, value, finding, action, .. } = self.columns;
        let says_nothing = || {
            let is_skipped = record.field(kind).bytes().trim_ascii().eq_ignore_ascii_case(b"skipped");
            is_skipped && [value, finding, action].into_iter().all(|column| record.field(column).is_blank())
        };
        if !record.field(corrects).is_blank() && says_nothing() {
            return true;
        }
        !self.corrected.is_empty()
            && row_number(record.field(id)).is_some_and(|number| self.corrected.contains(&number))
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
    fn new_group(&mut self, requirement: u32, name: u32) -> Result<u32, Unjudged> {
        let known = self.reference.requirement(requirement).ok_or(Fault::Entry)?;
        if let Some(why) = known.left_out {
            return Err(why.into());
        }
        let name_of = self.names.get(name).ok_or(Fault::Entry)?;
        let wrench = name_of.wrench.filter(|_| self.terms.rule == Rule::Guarded);
        let gauge = known.requirement.limits.as_ref().map(|limits| match (self.terms.rule, wrench) {
            (Rule::Plain, _) => Gauge::exact(limits),
            (Rule::Guarded, Some(known)) => Gauge::new(limits, &known.wrench.instrument(None)),
            (Rule::Guarded, None) => Gauge::new(limits, &assumed(Some(limits))),
        });
        let of_entry = self.reference.limits(&known.requirement.entry).filter(|_| self.terms.histograms);
        let histogram = of_entry.map(|limits| Histogram::new(limits.largest()));
        let group = u32::try_from(self.groups.len()).map_err(|_| Fault::Entry)?;
        self.groups.push(Group::new((known, requirement), (wrench, name), gauge, histogram));
        let (row, column) = (requirement as usize, name as usize);
        if self.numbers.len() <= row {
            self.numbers.resize_with(row + 1, Vec::new);
        }
        if self.numbers[row].len() <= column {
            self.numbers[row].resize(column + 1, NO_GROUP);
        }
        self.numbers[row][column] = group;
        Ok(group)
    }

    fn read(&mut self, record: &Record<'_>, row: &mut JudgedRow) -> Result<(), Unjudged> {
        row.group = self.group(record)?;
        row.kind = self.kind_of(record).ok_or(Fault::Kind)?;
        if !row.kind.has_torque() {
            if row.kind == Kind::Measured {
                return Err(LeftOut::Measure.into());
            }
            if !record.field(self.columns.finding).is_blank() {
                return Err(LeftOut::Finding.into());
            }
            row.reading = no_reading();
        } else if !self.values.read(
            record.field(self.columns.value),
            record.field(self.columns.unit),
            &mut row.reading,
        ) {
            return Err(self.without_torque(record, row.kind));
        }
        (row.day, row.interval, row.lasting_doubt) = (self.terms.today, 0, false);
        let group = self.groups.get_mut(row.group as usize).ok_or(Fault::Entry)?;
        if row.kind.has_torque() && is_no_reading(row.reading.torque, group.division()) {
            return Err(Fault::NoReading.into());
        }
        if row.reading.torque > group.tears_above {
            return Err(Fault::TearsAny.into());
        }
        let time = record.field(self.columns.taken_at);
        let day = if time.is_empty() { None } else { Some(self.days.read(time).ok_or(Fault::Day)?) };
        if let Some(known) = group.wrench
            && row.kind.has_torque()
        {
            match day {
                Some(day) => row.day = day,
                None => group.counts.undated += 1,
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

    /// What a row is whose value is no torque: a finding, or a re-check that says no more than that a bolt held; else a
    /// value that cannot be read.
    #[cold]
    fn without_torque(&self, record: &Record<'_>, kind: Kind) -> Unjudged {
        let is_found = !record.field(self.columns.finding).is_blank();
        let is_blank = record.field(self.columns.value).is_blank();
        if is_blank && (is_found || kind != Kind::Tightened) {
            LeftOut::Finding.into()
        } else {
            Fault::Value.into()
        }
    }

    fn kind_of(&mut self, record: &Record<'_>) -> Option<Kind> {
        let kind = record.field(self.columns.kind);
        self.kinds.get(kind).unwrap_or_else(|| self.new_kind(kind))
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
        for (why, count) in LeftOut::ALL.into_iter().zip(self.left_out) {
            summary.add_left_out(why, count);
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

/// The number that a row of an exported log has.
pub(super) fn row_number(field: FieldBytes<'_>) -> Option<u64> {
    std::str::from_utf8(field.bytes().trim_ascii()).ok()?.parse().ok()
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
