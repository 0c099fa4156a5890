//! The lines that one entry into the log makes: values for the bolts of a joint, checked before they
//! are kept.

use std::collections::HashSet;
use std::rc::Rc;

use super::super::target::Target;
use super::super::{Context, Failure, FailureKind, OrFail as _, clock};
use super::admit::Admission;
use crate::book::Check;
use crate::conformity::Kind;
use crate::quantity::{Measure, MeasureUnit, Reading as AsRead, Torque, TorqueUnit, parse_reading};
use crate::store::Store;
use crate::words::{listed, meant};
use crate::workshop::{Hardware, LocalInstant, Reading, Value};

pub(in super::super) struct RecordEntry<'a> {
    target: &'a Target,
    /// What is said of all values, as a line without one.
    line: Reading,
    now: LocalInstant,
    admission: Admission,
    /// The value of the reading that is corrected, which holds where none is typed.
    kept: Option<Value>,
    usual: Option<MeasureUnit>,
    /// The unit of a torque without one: that of the wrench's scale, else N·m.
    bare: TorqueUnit,
    /// The smallest division of the wrench, where known.
    division: Option<Torque>,
    /// A wrench that was named for what no wrench reads.
    left_out: Option<String>,
    lines: Vec<Reading>,
    /// The unit that was taken for values without one.
    unit_assumed: Option<TorqueUnit>,
    context: &'a Context,
}

/// What a word that was typed stands for.
pub(super) fn by_word<T: Copy>(
    typed: Option<&str>,
    (kind, what): (FailureKind, &str),
    words: &[(&str, T)],
) -> Result<Option<T>, Failure> {
    let unknown = |typed| {
        Failure::new(kind, format!("`{typed}` is no {what}"), format!("use one of {}", listed(words)))
    };
    typed.map(|typed| meant(words, typed).ok_or_else(|| unknown(typed))).transpose()
}

impl<'a> RecordEntry<'a> {
    /// Begins an entry for a joint: what is said of all values, as a `line` of the present moment, when they were
    /// taken, where that is given, and the reading that is corrected. The wrench and the time are checked.
    pub(in super::super) fn new(
        store: &Store,
        target: &'a Target,
        mut line: Reading,
        (at, corrected): (Option<LocalInstant>, Option<&Reading>),
        context: &'a Context,
    ) -> Result<RecordEntry<'a>, Failure> {
        let stored = &target.joint;
        let (mut bare, mut division) = (TorqueUnit::NewtonMetre, None);
        if let Some(name) = &line.wrench {
            let found = super::super::tool::registered(store, name)?;
            line.wrench = Some(found.wrench.name().to_owned());
            (bare, division) = (found.wrench.unit(), found.wrench.parts().step);
        }
        let mut left_out = None;
        if stored.joint.check == Check::Measure {
            left_out = line.wrench.take();
            if line.kind == Kind::Tightened {
                line.kind = Kind::Measured;
            }
        }
        // What was read wrong is put right in the unit that it was read in.
        if let Some(read) = corrected.and_then(Reading::as_read) {
            bare = read.unit;
        }
        let now = line.at;
        line.at = at.or(corrected.map(|corrected| corrected.at)).unwrap_or(now);
        clock::refuse_future(line.at, now)?;
        let page = store.page(&stored.joint.entry)?;
        let hardware = page.as_ref().map(Hardware::of);
        let item = store.measured_items()?.remove(&stored.joint.entry);
        let catalogue = || store.catalogue().map(Rc::new).map_err(Failure::from);
        let admission = Admission::new(&stored.joint, hardware.as_ref(), item, catalogue)?;
        let corrected_unit = corrected.and_then(Reading::measure).map(|measure| measure.unit);
        Ok(RecordEntry {
            usual: corrected_unit.or_else(|| admission.usual_unit()),
            kept: corrected.and_then(|corrected| corrected.value),
            admission,
            bare,
            division,
            left_out,
            unit_assumed: None,
            target,
            line,
            now,
            lines: Vec::new(),
            context,
        })
    }

    /// Takes the values as typed; without any, the finding, the kind or the action stand alone.
    pub(in super::super) fn values(&mut self, typed: &[String]) -> Result<(), Failure> {
        let mut values = self.read(typed)?;
        if let Some(kept) = self.kept.filter(|_| values.is_empty() && self.line.kind.has_value()) {
            values.push(Some(kept));
        }
        if values.is_empty() {
            self.without_value()?;
        } else if self.line.kind.has_value() {
            self.add(values, &self.line.clone())?;
        } else {
            let message = format!("a joint that is `{}` has no value", self.line.kind.text());
            return Err(Failure::new(FailureKind::Value, message, "leave the value out"));
        }
        self.refuse()
    }

    /// Refuses what is no reading of the joint.
    fn refuse(&self) -> Result<(), Failure> {
        self.lines.iter().try_for_each(|line| self.admission.refuse(line, self.division))
    }

    /// Takes what was found before the values were set; it stands before them in the log.
    pub(in super::super) fn found(&mut self, kind: Kind, typed: &str) -> Result<(), Failure> {
        let words: Vec<String> = typed.split_whitespace().map(str::to_owned).collect();
        let values = self.read(&words)?;
        let left = std::mem::take(&mut self.lines);
        let kind = if self.line.kind == Kind::Measured { Kind::Measured } else { kind };
        let at = self.line.at.later_by_ms(-1);
        self.add(values, &Reading { at, kind, finding: None, action: None, ..self.line.clone() })?;
        self.lines.extend(left);
        self.refuse()
    }

    /// What speaks against the values: slips of unit that would explain them. Refused unless the user
    /// is sure.
    pub(in super::super) fn doubtful(&self, sure: bool) -> Result<Vec<String>, Failure> {
        let mut hints = Vec::new();
        hints.extend(self.left_out.as_ref().map(|wrench| {
            format!("{wrench} is a torque wrench and measured nothing here: kept without a wrench")
        }));
        for line in &self.lines {
            hints.extend(self.admission.doubtful(line, sure, self.context.unit)?);
        }
        let mut told = HashSet::new();
        hints.retain(|hint| told.insert(hint.clone()));
        Ok(hints)
    }

    /// Says in which unit values without one were read.
    pub(in super::super) fn say_unit(&self) {
        if let Some(unit) = self.unit_assumed {
            self.context.say(format!("values without a unit: read as {unit}"));
        }
    }

    /// The lines, for an answer that keeps them together with others.
    pub(in super::super) fn into_lines(self) -> Vec<Reading> {
        self.lines
    }

    /// Keeps the lines, all or none; returns them with their numbers.
    pub(in super::super) fn record(self, store: &mut Store) -> Result<Vec<Reading>, Failure> {
        let mut recorded = self.lines;
        if recorded.is_empty() {
            let hint = "give a value for at least one bolt; `-` leaves a bolt out";
            return Err(Failure::new(FailureKind::Value, "there is nothing to record", hint));
        }
        let mut appending = store.append()?;
        for reading in &mut recorded {
            reading.id = appending.add(self.target.joint.id, reading, self.now)?;
        }
        appending.commit()?;
        Ok(recorded)
    }

    /// Adds a line for each bolt that has a value.
    fn add(&mut self, values: Vec<Option<Value>>, line: &Reading) -> Result<(), Failure> {
        let bolts = self.bolts(values.len())?.into_iter();
        let read = bolts.zip(values).filter(|(_, value)| value.is_some());
        self.lines.extend(read.map(|(bolt, value)| Reading { bolt, value, ..line.clone() }));
        Ok(())
    }

    fn without_value(&mut self) -> Result<(), Failure> {
        let kind = self.line.kind_without_value().ok_or_else(|| {
            Failure::new(
                FailureKind::Value,
                "there is nothing to record",
                if self.line.kind == Kind::Measured {
                    "give what was measured, with its unit, such as 1.7 mm, or --finding"
                } else {
                    "give the values as read, such as 5.0 N·m, or --finding"
                },
            )
        })?;
        let bolts = match self.target.bolt {
            Some(bolt) => bolt..=bolt,
            None => 1..=self.target.joint.joint.bolts,
        };
        if self.line.corrects.is_some() && bolts.clone().count() > 1 {
            return Err(one_at_a_time());
        }
        let line = Reading { kind, wrench: None, ..self.line.clone() };
        self.lines.extend(bolts.map(|bolt| Reading { bolt, ..line.clone() }));
        Ok(())
    }

    /// The bolts that so many values are for.
    fn bolts(&self, values: usize) -> Result<Vec<u16>, Failure> {
        let joint = &self.target.joint.joint;
        if self.line.corrects.is_some() && values > 1 {
            return Err(one_at_a_time());
        }
        match self.target.bolt {
            Some(bolt) if values == 1 => Ok(vec![bolt]),
            Some(bolt) => Err(Failure::new(
                FailureKind::Value,
                format!("{values} values were given for bolt {bolt}"),
                "give one, or leave the bolt out and give one for each",
            )),
            None if values == usize::from(joint.bolts) => Ok((1..=joint.bolts).collect()),
            None => Err(Failure::new(
                FailureKind::Value,
                format!("{} has {} bolts, {values} values were given", joint.name, joint.bolts),
                format!("give one for each, - for one left out, or name the bolt: {}#1", joint.name),
            )),
        }
    }

    /// Values as typed, none for a `-`; a unit that stands last is for all that have none.
    fn read(&mut self, typed: &[String]) -> Result<Vec<Option<Value>>, Failure> {
        let (values, unit) = match typed.split_last() {
            Some((last, rest))
                if !rest.is_empty() && !last.contains(|c: char| c.is_ascii_digit()) && last != "-" =>
            {
                (rest, Some(last.as_str()))
            }
            _ => (typed, None),
        };
        let mut read = |text: &String| match text.as_str() {
            "-" => Ok(None),
            text => self.one(text, unit).map(Some),
        };
        values.iter().map(&mut read).collect()
    }

    /// A value in the unit that it names, else in that of what is read on the joint; whether it fits the joint is seen
    /// when it is admitted.
    fn one(&mut self, text: &str, unit: Option<&str>) -> Result<Value, Failure> {
        let torque = || parse_reading(&with_unit(text, unit)).ok().filter(|read| read.unit_given);
        let measure = || Measure::parse(&with_unit(text, unit), None).ok();
        if self.target.joint.joint.check == Check::Measure {
            let usual = match unit {
                Some(unit) => MeasureUnit::spelt(unit),
                None => self.usual,
            };
            let measured = Measure::parse(text, usual);
            return match (measured, torque()) {
                (Err(_), Some(read)) => Ok(Value::Torque(read)),
                (measured, _) => {
                    Ok(Value::Measure(measured.or_fail(FailureKind::Value, "nothing was recorded")?))
                }
            };
        }
        if let Some(measure) = measure() {
            return Ok(Value::Measure(measure));
        }
        let read = parse_reading(text)?;
        Ok(Value::Torque(if read.unit_given { read } else { self.in_unit(read, unit)? }))
    }

    /// A reading without a unit of its own in the one that stands last, else in that of the wrench.
    fn in_unit(&mut self, read: AsRead, unit: Option<&str>) -> Result<AsRead, Failure> {
        let unit = if let Some(unit) = unit {
            TorqueUnit::parse(unit).map_err(crate::quantity::QuantityError::from)?
        } else {
            self.unit_assumed = Some(self.bare);
            self.bare
        };
        Ok(AsRead { torque: unit.of(read.number.value), unit, ..read })
    }
}

/// A value with the unit that stands last, where one does.
fn with_unit(text: &str, unit: Option<&str>) -> String {
    format!("{text} {}", unit.unwrap_or_default())
}

fn one_at_a_time() -> Failure {
    Failure::new(FailureKind::Value, "a correction is for one reading", "name the bolt and give one value")
}
