//! What every change of a joint must pass, whether it is typed, copied or taken from a sheet.

use std::collections::{BTreeMap, HashMap};

use super::super::known_bolt::refuse_typed;
use super::super::{Context, Failure, FailureKind};
use crate::book::{Check, MeasuredItem};
use crate::joint::Catalogue;
use crate::quantity::TorqueUnit;
use crate::report::figure_option;
use crate::sequence::MAX_BOLTS;
use crate::store::Store;
use crate::workshop::{Hardware, Joint};

/// Refuses to ask less of a joint that decides safety without a reason: fewer bolts, that it decides no more, or a look in
/// place of a torque.
pub(in super::super) fn refuse_less_without_reason(
    before: &Joint,
    joint: &Joint,
    context: &Context,
) -> Result<(), Failure> {
    let less = match (joint, before) {
        (joint, _) if !joint.critical => "that it decides no more",
        (joint, before) if joint.bolts < before.bolts => "fewer bolts",
        (joint, before) if before.check == Check::Torque && joint.check != Check::Torque => {
            "no torque any more"
        }
        _ => return Ok(()),
    };
    if before.critical {
        context.reason_for(&format!("{} decides safety: {less} needs a reason", before.name))?;
    }
    Ok(())
}

/// What the book knows of the joints that are to be changed.
pub(in super::super) struct JointRules {
    /// By their entries.
    hardware: HashMap<String, Hardware>,
    items: BTreeMap<String, MeasuredItem>,
    catalogue: Catalogue,
    unit: Option<TorqueUnit>,
}

/// Why a joint is not taken as it is.
pub(in super::super) struct RefusedJoint {
    /// The column of its record at fault.
    pub(in super::super) column: &'static str,
    pub(in super::super) failure: Failure,
}

impl RefusedJoint {
    fn new(column: &'static str, failure: impl Into<Failure>) -> RefusedJoint {
        RefusedJoint { column, failure: failure.into() }
    }

    /// The failure of a joint whose figures are typed as options.
    fn typed(self, joint: &Joint) -> Failure {
        if !joint.figures.all().any(|(column, ..)| column == self.column) {
            return self.failure;
        }
        let option = figure_option(self.column);
        Failure { message: format!("{}, {option}: {}", joint.name, self.failure.message), ..self.failure }
    }
}

impl JointRules {
    /// The rules for joints as they are to be.
    pub(in super::super) fn of<'a>(
        joints: impl Iterator<Item = &'a Joint>,
        store: &Store,
        context: &Context,
    ) -> Result<JointRules, Failure> {
        let pages = store.pages_of(joints)?;
        Ok(JointRules {
            hardware: pages.into_iter().map(|(entry, page)| (entry, Hardware::of(&page))).collect(),
            items: store.measured_items()?,
            catalogue: store.catalogue()?,
            unit: context.unit,
        })
    }

    /// As [`JointRules::admit`], the first that speaks against it being the failure of a command that states its figures
    /// by options.
    pub(in super::super) fn admit_typed(
        &self,
        joint: &Joint,
        before: Option<&Joint>,
        is_stated: impl Fn(&str) -> bool,
    ) -> Result<Vec<String>, Failure> {
        let mut refused = Vec::new();
        let remarks = self.admit(joint, before, is_stated, &mut refused);
        refused.into_iter().next().map_or(Ok(remarks), |first| Err(first.typed(joint)))
    }

    /// Admits a joint as it is to be; everything that speaks against it is `refused`. Its entry, thread and class must be
    /// known to the book; every figure must be one that a reading can be judged against, and one that is stated now
    /// (`is_stated` by its column) one that can be meant. A figure that was damaged `before` and is not stated now stays:
    /// what to know of it is given back.
    pub(in super::super) fn admit(
        &self,
        joint: &Joint,
        before: Option<&Joint>,
        is_stated: impl Fn(&str) -> bool,
        refused: &mut Vec<RefusedJoint>,
    ) -> Vec<String> {
        if joint.bolts == 0 || usize::from(joint.bolts) > MAX_BOLTS {
            let message = format!("{} bolts are not possible", joint.bolts);
            let failure = Failure::new(FailureKind::Value, message, format!("give 1 to {MAX_BOLTS}"));
            refused.push(RefusedJoint::new("bolts", failure));
        }
        let known = self.known_entry(joint);
        let is_known = known.is_ok();
        refused.extend(known.err().map(|failure| RefusedJoint::new("entry", failure)));
        let is_new = before.is_none_or(|before| before.check != joint.check);
        let needless = joint.refuses_figure().filter(|(column, _)| is_new || is_stated(column));
        refused.extend(needless.map(|(column, why)| {
            RefusedJoint::new(column, Failure::new(FailureKind::Value, &why, why.hint()))
        }));
        let remarks = readable_figures(joint, before, &is_stated, refused);
        if joint.check == Check::Torque && is_known {
            let bears = self.bolt_bears(joint, is_stated, refused);
            refused.extend(bears.err());
        }
        remarks
    }

    /// The entry or item must be one of the book; only a check by hand may do without.
    fn known_entry(&self, joint: &Joint) -> Result<(), Failure> {
        let known = match joint.check {
            Check::Function if joint.entry.is_empty() => true,
            Check::Torque | Check::Function => self.hardware.contains_key(&joint.entry),
            Check::Measure => self.items.contains_key(&joint.entry),
        };
        if known {
            return Ok(());
        }
        let hint = match joint.check {
            Check::Measure => {
                let items = self.items.keys().map(String::as_str).collect::<Vec<_>>().join(", ");
                format!("give --entry with one of {items}")
            }
            _ => "give --entry with a key that `evenclamp find` lists, such as general-m5".to_owned(),
        };
        Err(Failure::new(FailureKind::Entry, format!("the book has no entry `{}`", joint.entry), hint))
    }

    /// Thread and class must be known to the book, and no figure that is stated may be one that cannot be meant.
    fn bolt_bears(
        &self,
        joint: &Joint,
        is_stated: impl Fn(&str) -> bool,
        refused: &mut Vec<RefusedJoint>,
    ) -> Result<(), RefusedJoint> {
        let hardware = self.hardware.get(&joint.entry);
        let words = joint.bolt_words(hardware);
        if words.thread.is_empty() && !words.grade.is_empty() {
            let hint = "add it with --thread, such as --thread M5";
            let failure = Failure::new(FailureKind::Usage, "the thread of the bolt is not known", hint);
            return Err(RefusedJoint::new("thread", failure));
        }
        let of_bolt = if joint.grade.is_empty() { "thread" } else { "grade" };
        self.catalogue.known_bolt(&words).map_err(|error| RefusedJoint::new(of_bolt, error))?;
        let expected = hardware.map(|hardware| hardware.expected).unwrap_or_default();
        for (column, _, figure) in joint.figures.all().filter(|(column, ..)| is_stated(column)) {
            if let Some(stated) = figure.torque() {
                let meant = refuse_typed(
                    (stated.spec, stated.unit),
                    expected,
                    &words.thread,
                    &self.catalogue,
                    self.unit,
                );
                refused.extend(meant.err().map(|failure| RefusedJoint::new(column, failure)));
            }
        }
        Ok(())
    }
}

/// Every figure that is stated must be one that a reading can be judged against; one that was damaged before stays.
fn readable_figures(
    joint: &Joint,
    before: Option<&Joint>,
    is_stated: impl Fn(&str) -> bool,
    refused: &mut Vec<RefusedJoint>,
) -> Vec<String> {
    let was_damaged =
        |column| before.is_some_and(|before| before.damaged().any(|earlier| earlier.column == column));
    let mut remarks = Vec::new();
    for damaged in joint.damaged() {
        if is_stated(damaged.column) || !was_damaged(damaged.column) {
            let failure = Failure::new(FailureKind::Value, damaged.fault, damaged.fault.hint());
            refused.push(RefusedJoint::new(damaged.column, failure));
            continue;
        }
        let option = figure_option(damaged.column);
        remarks.push(format!(
            "{}: {damaged}; state it anew with {option}, an empty text takes it away",
            joint.name
        ));
    }
    remarks
}
