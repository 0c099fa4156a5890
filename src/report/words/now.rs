//! What to do now about a verdict that is not good, in one sentence.

use crate::conformity::{Finding, Label, Outcome, Reason, Side, Verdict};

/// What to do now; none for a good verdict. What settles a doubt stands beside the doubt.
pub fn what_now(outcome: &Outcome) -> Option<&'static str> {
    match outcome {
        Outcome::Judged(verdict) => of_verdict(verdict),
        Outcome::ReCheck { finding: Finding::HeldAtLeast { reaches_low: Some(false), .. }, .. } => {
            Some("set the wrench to the lower limit and check again")
        }
        Outcome::ReCheck { finding: Finding::HeldAtLeast { above_high: true, .. }, .. } => {
            Some("slacken it fully and tighten it anew to the aim")
        }
        Outcome::ReCheck { finding: Finding::MovedAt { .. }, .. } => {
            Some("look for missing locking, a stretched thread, a crack; then tighten it anew to the aim")
        }
        Outcome::ReCheck { .. } => None,
    }
}

/// What to do first where more than the reading would be asked for, and somebody prints less.
const READ_FIRST: &str = "do not tighten on before you have read the part: others print less";

/// As [`what_now`], for a band that is the majority's and beside which somebody prints less.
pub fn what_now_among_makers(outcome: &Outcome) -> Option<&'static str> {
    match outcome {
        Outcome::Judged(Verdict { label: Label::Low, .. }) => Some(READ_FIRST),
        Outcome::Judged(Verdict { label: Label::TooClose, lean, .. }) if *lean != Some(Side::High) => {
            Some(READ_FIRST)
        }
        _ => what_now(outcome),
    }
}

fn of_verdict(verdict: &Verdict) -> Option<&'static str> {
    let narrow = verdict.reasons.iter().any(|reason| matches!(reason, Reason::NarrowRange { .. }));
    let nothing = verdict.reasons.contains(&Reason::NoLimits);
    Some(match (verdict.label, verdict.lean) {
        (Label::Inside, _) => return None,
        (Label::Low, _) => "finish it: tighten on to the aim",
        (Label::High, _) => {
            "slacken it fully, look at the parts for marks, cracks and a stretched thread, then tighten it anew to the aim"
        }
        (Label::TooClose, Some(Side::High)) => "slacken it fully and tighten it anew to the aim",
        (Label::TooClose, _) => "tighten on to the aim",
        (Label::NotSettled, _) if nothing => {
            "do not guess: read the part, or ask its maker, and judge by that figure"
        }
        (Label::NotSettled, _) if narrow => {
            "do it again with a finer wrench: `evenclamp wrench pick` names one"
        }
        (Label::NotSettled, Some(Side::High)) => {
            "slacken it if it may be too tight, and do it again with a wrench that is to be believed: `evenclamp wrench \
             pick` names one"
        }
        (Label::NotSettled, _) => {
            "do it again with a wrench that is to be believed: `evenclamp wrench pick` names one"
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conformity::{Accuracy, Deviation, Doubt, Instrument, Kind, Limits, assess};
    use crate::quantity::{Spec, newton_metres as nm};

    #[test]
    fn every_label_says_what_to_do_in_its_own_direction() {
        let wrench = Instrument::of_accuracy(Accuracy::given(Deviation::SIX_PERCENT));
        let (wide, narrow) = (Limits::new(Spec::range_nm(4.0, 6.0)), Limits::new(Spec::range_nm(5.0, 5.1)));
        let now = |kind, limits: Option<&Limits>, torque, doubts: &[Doubt]| {
            what_now(&assess(kind, limits, nm(torque), &wrench, doubts)).unwrap_or_default()
        };
        let tightened = |torque| now(Kind::Tightened, Some(&wide), torque, &[]);
        assert_eq!(tightened(5.0), "");
        assert!(tightened(3.0).starts_with("finish it"));
        assert!(tightened(8.0).starts_with("slacken it fully, look at the parts"));
        assert!(tightened(4.1).starts_with("tighten on"));
        assert!(tightened(5.9).starts_with("slacken it fully and tighten"));
        assert!(now(Kind::Tightened, Some(&narrow), 5.05, &[]).contains("finer wrench"));
        assert!(now(Kind::Tightened, None, 5.0, &[]).contains("read the part"));
        assert!(now(Kind::Tightened, Some(&wide), 5.0, &[Doubt::WrongDirection]).contains("to be believed"));
        assert_eq!(now(Kind::Held, Some(&wide), 4.5, &[]), "");
        assert!(now(Kind::Held, Some(&wide), 3.0, &[]).contains("lower limit"));
        assert!(now(Kind::Held, Some(&wide), 7.0, &[]).contains("slacken"));
        assert!(now(Kind::Moved, Some(&wide), 5.0, &[]).contains("missing locking"));
        let among =
            |torque| what_now_among_makers(&assess(Kind::Tightened, Some(&wide), nm(torque), &wrench, &[]));
        assert_eq!([3.0, 4.1].map(among), [Some(READ_FIRST); 2]);
        assert_eq!(
            [5.0, 5.9, 8.0].map(among).map(|now| now.map(|now| &now[..10])),
            [None, Some("slacken it"), Some("slacken it")]
        );
    }
}
