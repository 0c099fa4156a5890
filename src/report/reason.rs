//! Why a reading got its verdict, in words, with what would settle what is not settled.

use super::{doubt_text, small_torque_text};
use crate::conformity::{Finding, Outcome, Reason};
use crate::quantity::TorqueUnit;

/// The word for what was said of a reading.
#[must_use]
pub fn outcome_word(outcome: &Outcome) -> &'static str {
    match outcome {
        Outcome::Judged(verdict) => verdict.label.text(),
        Outcome::ReCheck { finding, .. } => match finding {
            Finding::HeldAtLeast { .. } => "held",
            Finding::MovedAt { .. } => "moved",
            Finding::Noted { kind, .. } | Finding::NoTorque { kind } => kind.text(),
        },
    }
}

/// Everything there is to say about a verdict or finding; torques in `unit`, limits on the word of
/// `ground`.
#[must_use]
pub fn reasons(outcome: &Outcome, ground: &str, unit: TorqueUnit) -> Vec<String> {
    match outcome {
        Outcome::Judged(verdict) => {
            let mut texts: Vec<String> =
                verdict.reasons.iter().map(|reason| reason_text(reason, ground, unit)).collect();
            if let Some(side) = verdict.not_judged {
                texts.push(format!("{} side not judged: no limit is known there", side.text()));
            }
            texts
        }
        Outcome::ReCheck { finding, doubts } => {
            let mut texts = vec![finding_text(*finding)];
            texts.extend(doubts.iter().map(|doubt| doubt_text(*doubt, unit)));
            texts
        }
    }
}

fn reason_text(reason: &Reason, ground: &str, unit: TorqueUnit) -> String {
    match reason {
        Reason::Doubt(doubt) => doubt_text(*doubt, unit),
        Reason::NoLimits => {
            format!("{ground}: read the marking on the part, ask its maker, and check against that figure")
        }
        Reason::NarrowRange { width, needed } => format!(
            "the range is {} wide, this wrench needs {}: a finer wrench settles it",
            small_torque_text(*width, unit),
            small_torque_text(*needed, unit)
        ),
        Reason::SetValue { allowed } => {
            format!("a set value: inside means within ±{} % of it", allowed.in_percent())
        }
        Reason::CoarserThanAllowed { wrench, allowed } => format!(
            "this wrench may be off by {} %, the set value counts on {} %",
            wrench.in_percent(),
            allowed.in_percent()
        ),
    }
}

/// What a re-check shows, in words.
fn finding_text(finding: Finding) -> String {
    match finding {
        Finding::HeldAtLeast { above_high: true, .. } => {
            "held, but the setting is above the upper limit: a check is made at the lower limit, never above".to_owned()
        }
        Finding::HeldAtLeast { reaches_low: Some(true), .. } => {
            "held: it is still at least that tight; whether it was over-tightened is not shown".to_owned()
        }
        Finding::HeldAtLeast { reaches_low: Some(false), .. } => {
            "held, but the setting is below the lower limit: set the wrench to the lower limit".to_owned()
        }
        Finding::HeldAtLeast { reaches_low: None, .. } => {
            "held, but no lower limit is known to hold it against".to_owned()
        }
        Finding::MovedAt { .. } => {
            "moved: a finding. Look for missing locking, a stretched thread, a crack; then tighten anew and log that".to_owned()
        }
        Finding::Noted { .. } => "noted, not compared with the limits: it is no tightening torque".to_owned(),
        Finding::NoTorque { .. } => "no torque was measured".to_owned(),
    }
}
