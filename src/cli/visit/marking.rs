//! The marking on a part, noted on the way round.

use super::super::bike::JointRules;
use super::super::{Failure, FailureKind};
use super::keep::AnswerTaken;
use super::sitting::{Move, Sitting};
use super::turn::Asked;
use crate::book::Check;
use crate::quantity::{MeasureLimit, Spec, parse_spec};
use crate::store::Store;
use crate::workshop::{Joint, JointVerdict, Marking};

/// What is asked where nothing is known to act on.
pub(super) const QUESTION: &str =
    "      what stands on the part? m and the figure keeps it, such as m max 5 N·m";

/// Whether a marking may stand on the part of a joint and none is noted.
pub(super) fn is_wanted(joint: &Joint) -> bool {
    joint.check != Check::Function && joint.figures.markings.is_empty()
}

/// Whether a torque of it can be judged by nothing but a marking.
pub(super) fn is_needed(joint: &Joint, verdict: &JointVerdict) -> bool {
    joint.check == Check::Torque && is_wanted(joint) && verdict.governing.limits.is_none()
}

/// The marking that a line states: what follows an `m`, or a print that can be no reading.
pub(super) fn typed(line: &str, check: Check) -> Option<String> {
    let (first, rest) = line.split_once(' ').unwrap_or((line, ""));
    if ["m", "marking"].contains(&first.to_lowercase().as_str()) {
        return Some(rest.trim().to_owned());
    }
    let figure = line.rsplit(':').next().unwrap_or(line);
    let is_print = match check {
        Check::Torque => parse_spec(figure).is_ok_and(|stated| !matches!(stated.spec, Spec::Set(_))),
        Check::Measure => MeasureLimit::parse(figure).is_ok(),
        Check::Function => false,
    };
    is_print.then(|| line.to_owned())
}

impl Sitting<'_> {
    /// Notes a marking of a joint, by the rules of every change of one; the question is asked anew by what counts now.
    pub(super) fn mark(&mut self, store: &mut Store, asked: &Asked<'_>, text: &str) -> Result<Move, Failure> {
        let stored = asked.stored;
        if text.is_empty() {
            let hint = "such as m max 5 N·m, or m stem: max 5 N·m where two parts carry one";
            return Err(Failure::new(FailureKind::Value, "write the figure behind the m", hint));
        }
        let mut changed = stored.clone();
        changed.joint.figures.mark(Marking::typed(text)).map_err(|marked| {
            let hint =
                "say whose this one is, such as m bar: max 5 N·m; `evenclamp bike joint edit` changes both";
            Failure::new(FailureKind::Value, format!("marked already: {}", marked.join(", ")), hint)
        })?;
        let before = &stored.joint.figures;
        let is_stated = |column: &str| changed.joint.figures.of_column(column) != before.of_column(column);
        let rules = JointRules::of([&changed.joint].into_iter(), store, self.context)?;
        rules.admit_typed(&changed.joint, Some(&stored.joint), is_stated)?;
        self.sign(store, "");
        store.change_joints(std::slice::from_ref(&changed))?;
        self.steps.push(AnswerTaken::marked(asked.index, stored.clone()));
        Ok(Move::Back(asked.index))
    }
}
