//! What a joint takes: the same of what is typed and of what stands in a log (`specs/rules.md`, "No reading", "The
//! bolt decides").

use std::rc::Rc;

use super::super::known_bolt::refuse_unmeant;
use super::super::{Failure, FailureKind};
use crate::book::{Check, MeasuredItem};
use crate::conformity::{Limits, is_no_reading, suspicion};
use crate::joint::{Catalogue, Expected, JointError, KnownBolt, too_great};
use crate::quantity::{MeasureUnit, Reading as AsRead, Resolution, Torque, TorqueUnit};
use crate::report::{TooMuch, slip_text, spec_text, step_text, torque_text};
use crate::workshop::{Hardware, Joint, Reading, governing};

/// What is known of a joint by which its readings are admitted, gathered once for all of them.
pub(super) struct Admission {
    joint: Joint,
    limits: Option<Limits>,
    /// The step to which they are shown.
    resolution: Resolution,
    /// What anybody gives for it, where nothing is specified.
    expected: Expected,
    /// What is measured.
    item: Option<MeasuredItem>,
    /// The bolt, where its thread is known, and what any bolt can stand.
    bolt: Option<(KnownBolt, Rc<Catalogue>)>,
}

impl Admission {
    /// The catalogue of bolts is asked for only where the thread is known.
    pub(super) fn new<E: From<JointError>>(
        joint: &Joint,
        hardware: Option<&Hardware>,
        item: Option<MeasuredItem>,
        catalogue: impl FnOnce() -> Result<Rc<Catalogue>, E>,
    ) -> Result<Admission, E> {
        let words = joint.bolt_words(hardware);
        let mut bolt = None;
        if !words.thread.is_empty() && joint.check == Check::Torque {
            let catalogue = catalogue()?;
            bolt = catalogue.known_bolt(&words)?.map(|known| (known, catalogue));
        }
        let governing = governing(joint, hardware);
        Ok(Admission {
            joint: joint.clone(),
            limits: governing.limits,
            resolution: governing.resolution,
            expected: hardware.map(|hardware| hardware.expected).unwrap_or_default(),
            item,
            bolt,
        })
    }

    /// The unit in which it is measured.
    pub(super) fn usual_unit(&self) -> Option<MeasureUnit> {
        self.item.as_ref().and_then(MeasuredItem::unit)
    }

    /// Refuses what is no reading of it, however sure anybody is; `division` is the smallest one of the wrench, where
    /// known.
    pub(super) fn refuse(&self, line: &Reading, division: Option<Torque>) -> Result<(), Failure> {
        if let Some(refused) = self.joint.refuses(line) {
            return Err(Failure::new(FailureKind::Finding, &refused, refused.hint()));
        }
        if let Some(refused) = self.joint.refuses_measure(line, self.item.as_ref()) {
            return Err(Failure::new(FailureKind::Value, &refused, refused.hint()));
        }
        match line.as_read() {
            Some(read) if is_no_reading(read.torque, division) => Err(no_reading(read, division)),
            _ => Ok(()),
        }
    }

    /// What speaks against a value: slips of unit that would explain it, or a bolt that it would tear. Refused unless
    /// somebody is `sure`; what would tear any bolt is refused in any case.
    pub(super) fn doubtful(
        &self,
        line: &Reading,
        sure: bool,
        shown: Option<TorqueUnit>,
    ) -> Result<Vec<String>, Failure> {
        let Some(read) = line.as_read() else { return Ok(Vec::new()) };
        let shown = shown.unwrap_or(read.unit);
        let (implausible, mut said) = self.doubts_about(read, shown)?;
        if implausible && !sure {
            if let (true, Some(limits)) = (said.is_empty(), &self.limits) {
                said.push(format!("{} is specified", spec_text(limits.spec(), self.resolution, shown)));
            }
            let value = torque_text(read.torque, read.resolution(), read.unit);
            said.dedup();
            let meant = if said.is_empty() { String::new() } else { format!(": {}", said.join("; ")) };
            return Err(Failure::new(
                FailureKind::Implausible,
                format!("{value} is not plausible for {}{meant}", self.joint.name),
                "nothing was recorded; if it was read like that, repeat the command with --yes",
            ));
        }
        Ok(said)
    }

    /// Whether a value is not plausible, and what would explain it.
    fn doubts_about(&self, read: AsRead, shown: TorqueUnit) -> Result<(bool, Vec<String>), Failure> {
        let (mut implausible, mut said) = (false, Vec::new());
        let number = read.number.value;
        if let Some(limits) = &self.limits {
            let found = suspicion(limits, read);
            implausible = found.implausible;
            said.extend(found.slips.iter().map(|slip| slip_text(*slip, shown)));
        } else if let Some(unmeant) = too_great((number, read.unit), self.expected) {
            implausible = true;
            said.push(unmeant.text(shown));
        }
        let Some((known, catalogue)) = self.bolt.as_ref().filter(|_| number > 0.0) else {
            return Ok((implausible, said));
        };
        let thread = known.bolt.thread.designation.as_str();
        refuse_unmeant(catalogue.tears_any(thread, number, read.unit)?, shown)?;
        if let Some(doubt) = known.doubt(number, read.unit)? {
            implausible |= doubt.is_impossible;
            said.push(if doubt.is_too_much() {
                TooMuch::applied(&doubt, shown).whole()
            } else {
                doubt.text(shown)
            });
        }
        Ok((implausible, said))
    }
}

/// The failure of a value that shows nothing, with the smallest division of the wrench where that is known.
pub(in super::super) fn no_reading(read: AsRead, division: Option<Torque>) -> Failure {
    let less = division.map_or_else(String::new, |division| {
        format!(", or less than {}, its smallest division", step_text(division, read.unit))
    });
    let value = torque_text(read.torque, read.resolution(), read.unit);
    Failure::new(
        FailureKind::Value,
        format!("{value} is no reading: a wrench that shows nothing{less}, has measured nothing"),
        "give what the wrench showed; what was done by hand is `--kind by-hand`, without a value",
    )
}
