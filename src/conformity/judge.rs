//! The verdict on one reading (`specs/rules.md`, "Judging").
//!
//! The acceptance limits lie U inside, the rejection limits U outside the specified ones
//! (ISO 14253-1; guard band w = U, ILAC-G8:09/2019). By the stated model a wrong `inside`, `low` or `high` has a
//! chance of at most 2.3 % at each limit; what that adds up to stands in `specs/rules.md`, "Chance".

use uom::si::f64::Ratio;

use super::{Budget, Deviation, Doubt, Gauge, Instrument, Label, Limits, Probability, Reason, Side};
use crate::quantity::tolerance::more_than;
use crate::quantity::{Spec, Torque};

/// What is said of a reading, with all that it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// The label.
    pub label: Label,
    /// The chance that the true torque is within the limits (JCGM 106:2012, clause 7); none without limits, where the
    /// wrench is not to be believed, and for a set value, whose limits the wrench has spent already.
    pub chance_inside: Option<Probability>,
    /// The side on which the true torque is likelier to lie outside; none where both are alike.
    pub lean: Option<Side>,
    /// The uncertainty of the reading, term by term.
    pub budget: Budget,
    /// The measurement capability C_m = width/(4u) (JCGM 106:2012, 3.3.17, 7.6.3); none for one limit or u = 0.
    pub capability: Option<Ratio>,
    /// The side for which no limit is known, where only one is: "low side not judged".
    pub not_judged: Option<Side>,
    /// Why the label, and what else to know; what decides it comes first.
    pub reasons: Vec<Reason>,
}

/// Judges a `reading` against `limits` as far as `instrument` can know it.
///
/// `limits` is none where nothing is agreed; `doubts` are those about the wrench that were found
/// before (scale, calibration, direction). It is asked first whether the wrench can be believed
/// (`specs/rules.md`, "Labels"); the other questions are those of [`Gauge::label`].
///
/// ```
/// use evenclamp::conformity::{Accuracy, Deviation, Instrument, Label, Limits, judge};
/// use evenclamp::quantity::{Spec, newton_metres as nm};
/// let limits = Limits::new(Spec::range_nm(4.0, 6.0));
/// let wrench = Instrument::of_accuracy(Accuracy::given(Deviation::SIX_PERCENT));
/// assert_eq!(judge(Some(&limits), nm(5.0), &wrench, &[]).label, Label::Inside);
/// assert_eq!(judge(Some(&limits), nm(6.5), &wrench, &[]).label, Label::High);
/// ```
pub fn judge(limits: Option<&Limits>, reading: Torque, instrument: &Instrument, doubts: &[Doubt]) -> Verdict {
    let budget = instrument.budget(reading);
    let mut reasons: Vec<Reason> = doubts.iter().copied().map(Reason::Doubt).collect();
    let gauge = limits.map(|limits| Gauge::new(limits, instrument));
    let label = gauge.map_or(Label::NotSettled, |gauge| gauge.label(reading));
    if let (Some(limits), Some(gauge)) = (limits, &gauge) {
        reasons.extend(self::reasons(limits, instrument, gauge, label));
        reasons.extend(instrument.accuracy().is_taken_on_trust().then_some(Reason::WrenchNotKnown));
    } else {
        reasons.push(Reason::NoLimits);
    }
    let telling = gauge.filter(|gauge| doubts.is_empty() && gauge.tells_chance());
    Verdict {
        label: if doubts.is_empty() { label } else { Label::NotSettled },
        chance_inside: telling.map(|gauge| gauge.chance_inside(reading)),
        lean: limits.and_then(|limits| lean(limits, reading)),
        capability: limits.and_then(|limits| capability(limits, budget.standard)),
        not_judged: limits.and_then(not_judged),
        budget,
        reasons,
    }
}

/// What to say of a label besides the doubts.
fn reasons(limits: &Limits, instrument: &Instrument, gauge: &Gauge, label: Label) -> Vec<Reason> {
    match gauge.narrow {
        Some((width, needed)) if label == Label::NotSettled => vec![Reason::NarrowRange { width, needed }],
        _ => set_value_reasons(limits, instrument),
    }
}

/// A set value is judged by simple acceptance; that is said, and so is a wrench it did not count on.
fn set_value_reasons(limits: &Limits, instrument: &Instrument) -> Vec<Reason> {
    let Spec::Set(value) = limits.spec() else { return Vec::new() };
    let allowed = Deviation::permitted(value);
    let wrench = instrument.accuracy().deviation;
    let mut reasons = vec![Reason::SetValue { value, allowed }];
    if wrench.share() > allowed.share() {
        reasons.push(Reason::CoarserThanAllowed { wrench, allowed });
    }
    reasons
}

/// The side with the larger tail, which is that of the nearer limit.
fn lean(limits: &Limits, reading: Torque) -> Option<Side> {
    let (Some(low), Some(high)) = (limits.low(), limits.high()) else {
        return limits.low().map(|_| Side::Low).or(limits.high().map(|_| Side::High));
    };
    let (to_low, to_high) = (reading - low, high - reading);
    if more_than(to_low, to_high) {
        Some(Side::High)
    } else {
        more_than(to_high, to_low).then_some(Side::Low)
    }
}

/// C_m = width/(4u).
fn capability(limits: &Limits, standard: Torque) -> Option<Ratio> {
    (standard > Torque::default()).then(|| limits.width().map(|width| width / (standard * 4.0)))?
}

fn not_judged(limits: &Limits) -> Option<Side> {
    match (limits.low(), limits.high()) {
        (None, Some(_)) => Some(Side::Low),
        (Some(_), None) => Some(Side::High),
        _ => None,
    }
}

#[cfg(test)]
#[path = "judge_tests.rs"]
mod tests;
