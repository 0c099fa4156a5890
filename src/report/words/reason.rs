//! Why a reading got its verdict, in words, with what would settle what is not settled.

use super::doubt::doubt_parts;
use crate::conformity::{Deviation, Finding, Outcome, Reason, Verdict};
use crate::quantity::{Spec, Torque, TorqueUnit};
use crate::report::audit_row::end_texts;
use crate::report::figure::{significant_text, trimmed};

/// The word for what was said of a reading.
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
pub fn reasons(outcome: &Outcome, ground: &str, unit: TorqueUnit) -> Vec<String> {
    let whole = |(why, fix): (String, &str)| if fix.is_empty() { why } else { format!("{why}: {fix}") };
    reasons_with_mends(outcome, ground, unit).into_iter().map(whole).collect()
}

/// What the printed value allows, where the reading was judged against one; it stands among the [`reasons`] too.
pub fn allowed_by_set_value(verdict: &Verdict, unit: TorqueUnit) -> Option<String> {
    verdict.reasons.iter().find_map(|reason| match reason {
        Reason::SetValue { value, allowed } => Some(allowed_text(*value, *allowed, unit)),
        _ => None,
    })
}

/// Like [`reasons`], without what would settle it, and without what is the same in every row of a log that
/// has the same limits.
pub fn reasons_of_row(outcome: &Outcome, ground: &str, unit: TorqueUnit) -> Vec<String> {
    let mut outcome = outcome.clone();
    if let Outcome::Judged(verdict) = &mut outcome {
        verdict.reasons.retain(|reason| !matches!(reason, Reason::SetValue { .. }));
    }
    reasons_with_mends(&outcome, ground, unit).into_iter().map(|(why, _)| why).collect()
}

/// Everything there is to say, each with what would settle it; empty where nothing need be settled.
fn reasons_with_mends(outcome: &Outcome, ground: &str, unit: TorqueUnit) -> Vec<(String, &'static str)> {
    match outcome {
        Outcome::Judged(verdict) => {
            let mut texts: Vec<_> =
                verdict.reasons.iter().map(|reason| reason_parts(reason, ground, unit)).collect();
            if let Some(side) = verdict.not_judged {
                texts.push((format!("{} side not judged: no limit is known there", side.text()), ""));
            }
            texts
        }
        Outcome::ReCheck { finding, doubts } => {
            let mut texts = vec![(finding_text(*finding), "")];
            texts.extend(doubts.iter().map(|doubt| doubt_parts(*doubt, unit)));
            texts
        }
    }
}

/// That a range is too narrow for a wrench: its width, and the 2U that it would have to have.
pub fn narrow_text((width, needed): (Torque, Torque), unit: TorqueUnit) -> String {
    let [width, needed] = told_apart([width, needed], unit);
    format!("the range spans {width} {unit} but this wrench needs {needed}")
}

fn reason_parts(reason: &Reason, ground: &str, unit: TorqueUnit) -> (String, &'static str) {
    match reason {
        Reason::Doubt(doubt) => doubt_parts(*doubt, unit),
        Reason::NoLimits => (ground.to_owned(), "see the marking on the part or ask its maker"),
        Reason::NarrowRange { width, needed } => {
            (narrow_text((*width, *needed), unit), "a finer one settles it")
        }
        Reason::WrenchNotKnown => {
            ("wrench not known".to_owned(), "name a calibrated one, and its own accuracy counts")
        }
        Reason::SetValue { value, allowed } => (allowed_text(*value, *allowed, unit), ""),
        Reason::CoarserThanAllowed { wrench, allowed } => (
            format!(
                "this wrench may be off by {} %, the set value counts on {} %",
                wrench.in_percent(),
                allowed.in_percent()
            ),
            "",
        ),
    }
}

/// What a set value allows, which a conforming wrench may use up; so it is said instead of a chance.
fn allowed_text(value: Torque, allowed: Deviation, unit: TorqueUnit) -> String {
    let (low, high) = end_texts(Spec::Set(value).limits(), unit);
    let (value, percent) = (trimmed(&significant_text(value, unit, 3)).to_owned(), allowed.in_percent());
    format!("a set value: {value} {unit} allows {low}–{high} {unit}, the ±{percent} % of a conforming wrench")
}

/// Two torques in `unit` with as few digits, two at least, as show that they differ.
fn told_apart(torques: [Torque; 2], unit: TorqueUnit) -> [String; 2] {
    let texts = |digits| torques.map(|torque| significant_text(torque, unit, digits));
    (2..6).map(texts).find(|[a, b]| a != b).unwrap_or_else(|| texts(6))
}

fn finding_text(finding: Finding) -> String {
    match finding {
        Finding::HeldAtLeast { above_high: true, .. } => {
            "held, but the setting is above the upper limit: a check is made at the lower limit, never above"
                .to_owned()
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
        Finding::MovedAt { .. } => "moved: a finding".to_owned(),
        Finding::Noted { .. } => "noted, not compared with the limits: it is no tightening torque".to_owned(),
        Finding::NoTorque { .. } => "no torque was measured".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::newton_metres as nm;

    #[test]
    fn two_torques_get_as_many_digits_as_tell_them_apart() {
        let texts = |a, b| told_apart([nm(a), nm(b)], TorqueUnit::NewtonMetre);
        assert_eq!(texts(2.0, 3.1), ["2.0", "3.1"]);
        assert_eq!(texts(3.0, 3.002), ["3.000", "3.002"]);
    }
}
