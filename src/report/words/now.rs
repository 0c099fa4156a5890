//! What to do now about a bolt of which nothing good is known: one sentence for each verdict, whichever command says it.

use super::next::FIT_OTHER_PARTS;
use crate::conformity::{Finding, Kind, Label, Limits, Outcome, Reason, Side, Verdict};
use crate::quantity::Spec;

/// What to do now, whatever it is to be tightened to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Advice {
    /// More than the reading would be asked for, and somebody prints less.
    ReadFirst,
    Finish,
    Slacken,
    /// It may be too tight.
    SlackenToBeSure,
    TightenOn,
    FinerWrench,
    AnotherWrench,
    /// It held, at a wrench that cannot be believed.
    CheckWithAnother,
    CheckAtLowerLimit,
    /// It held, which shows nothing where no lower limit is known.
    NothingToHoldAgainst,
    /// It turned, or was loosened.
    LookForCause,
    NoFigure,
}

/// What the sentences end in, which is a matter of the command.
pub(super) struct Ending {
    /// Behind `tighten it anew`, with the wrench at hand: `to the aim`; or what is to be done instead.
    pub here: Result<String, String>,
    /// The same with whatever wrench: `to well inside 4–6 N·m`.
    pub to: Result<String, String>,
    /// Behind `the lower limit`: ` of 4–6 N·m`, or nothing.
    pub of_specified: String,
    /// Where the figure comes from if there is none, and what to do with it.
    pub figure: String,
    /// That somebody prints less, and who.
    pub less: String,
}

impl Advice {
    /// About a tightening that was judged against a figure.
    pub(super) fn of_tightening(
        (label, lean): (Label, Option<Side>),
        narrow: bool,
        doubtful: bool,
        others_print_less: bool,
    ) -> Option<Advice> {
        Some(match (label, lean) {
            (Label::Inside, _) => return None,
            (Label::High, _) => Advice::Slacken,
            (Label::TooClose, Some(Side::High)) => Advice::SlackenToBeSure,
            (Label::Low | Label::TooClose, _) if others_print_less => Advice::ReadFirst,
            (Label::Low, _) => Advice::Finish,
            (Label::TooClose, _) => Advice::TightenOn,
            (Label::NotSettled, _) if doubtful => Advice::AnotherWrench,
            (Label::NotSettled, _) if narrow => Advice::FinerWrench,
            (Label::NotSettled, _) => Advice::NoFigure,
        })
    }

    /// About a bolt that held: whether the setting reached the lower limit, was above the upper one, and is in doubt.
    pub(super) fn of_held(reaches_low: Option<bool>, above_high: bool, doubtful: bool) -> Option<Advice> {
        match reaches_low {
            _ if above_high => Some(Advice::SlackenToBeSure),
            None => Some(Advice::NothingToHoldAgainst),
            Some(false) => Some(Advice::CheckAtLowerLimit),
            Some(true) => doubtful.then_some(Advice::CheckWithAnother),
        }
    }

    fn of_verdict(verdict: &Verdict, others_print_less: bool) -> Option<Advice> {
        if verdict.reasons.contains(&Reason::NoLimits) {
            return Some(Advice::NoFigure);
        }
        let any = |is: fn(&Reason) -> bool| verdict.reasons.iter().any(is);
        let narrow = any(|reason| matches!(reason, Reason::NarrowRange { .. }));
        let doubtful = any(|reason| matches!(reason, Reason::Doubt(_)));
        Advice::of_tightening((verdict.label, verdict.lean), narrow, doubtful, others_print_less)
    }

    fn of_outcome(outcome: &Outcome, others_print_less: bool) -> Option<Advice> {
        match outcome {
            Outcome::Judged(verdict) => Advice::of_verdict(verdict, others_print_less),
            Outcome::ReCheck { finding: Finding::HeldAtLeast { reaches_low, above_high, .. }, doubts } => {
                Advice::of_held(*reaches_low, *above_high, !doubts.is_empty())
            }
            Outcome::ReCheck {
                finding: Finding::MovedAt { .. } | Finding::Noted { kind: Kind::Loosening, .. },
                ..
            } => Some(Advice::LookForCause),
            Outcome::ReCheck { .. } => None,
        }
    }

    /// The sentence, without its full stop.
    pub(super) fn text(self, ending: &Ending) -> String {
        let with = |verb: &str, to: &Result<String, String>| match to {
            Ok(to) => format!("{verb} {to}"),
            Err(instead) => instead.clone(),
        };
        let again = |wrench: &str| {
            let tighten = with("tighten it", &ending.to);
            format!("slacken it fully and do it again with {wrench} ({PICK}): {tighten}")
        };
        match self {
            Advice::ReadFirst => {
                format!("do not tighten on before you have read the part: {}", ending.less)
            }
            Advice::Finish => format!("finish it: {}", with("tighten on", &ending.here)),
            Advice::TightenOn => with("tighten on", &ending.here),
            Advice::SlackenToBeSure => {
                format!("slacken it fully, then {}", with("tighten it anew", &ending.here))
            }
            Advice::Slacken => format!(
                "slacken it fully, look for marks, cracks, crushed or stretched parts (carbon: hand it over), then {}",
                with("tighten it anew", &ending.here)
            ),
            Advice::LookForCause => format!(
                "look for missing locking, a stretched thread or a crack, then {}",
                with("tighten it anew", &ending.here)
            ),
            Advice::FinerWrench => again("a finer wrench"),
            Advice::AnotherWrench => again("a wrench to be believed"),
            Advice::CheckWithAnother => format!("check it again with a wrench to be believed ({PICK})"),
            Advice::CheckAtLowerLimit => {
                format!("set the wrench to the lower limit{} and check again", ending.of_specified)
            }
            Advice::NothingToHoldAgainst => {
                format!("that it holds shows nothing here: {}", with("tighten it anew", &ending.here))
            }
            Advice::NoFigure => ending.figure.clone(),
        }
    }
}

/// What keeps from tightening to a figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeldBack {
    /// It is the majority's, and somebody prints less.
    OthersPrintLess,
    /// It is of two parts that leave no torque to tighten to.
    PartsApart,
}

const PICK: &str = "`evenclamp wrench pick BIKE/JOINT` names one";

/// What to do now about a reading that is not good; none for a good one. `specified` are the limits that it was held
/// against and their text, `aims` whether a setting to aim at stands beside it.
pub fn what_now(
    outcome: &Outcome,
    held_back: Option<HeldBack>,
    specified: Option<(&Limits, &str)>,
    aims: bool,
) -> Option<String> {
    let parts_apart = held_back == Some(HeldBack::PartsApart);
    let figure = "read the marking on the part or ask its maker, and judge by that figure";
    let to = match specified {
        _ if parts_apart => Err(FIT_OTHER_PARTS.to_owned()),
        None => Err(figure.to_owned()),
        Some((limits, text)) => Ok(well_to(limits.spec(), text)),
    };
    let ending = Ending {
        here: if aims && !parts_apart { Ok("to the aim".to_owned()) } else { to.clone() },
        to,
        of_specified: specified.map_or_else(String::new, |(_, text)| format!(" of {text}")),
        figure: figure.to_owned(),
        less: "others print less".to_owned(),
    };
    Advice::of_outcome(outcome, held_back == Some(HeldBack::OthersPrintLess))
        .map(|advice| advice.text(&ending))
}

/// Behind `tighten`, after a reading was not good: a range is not to be missed again.
pub(super) fn well_to(spec: Spec, text: &str) -> String {
    match spec {
        Spec::Range { .. } => format!("to well inside {text}"),
        _ => to(spec, text),
    }
}

/// Behind `tighten`; a ceiling is no target.
pub(super) fn to(spec: Spec, text: &str) -> String {
    match spec {
        Spec::Ceiling(_) => format!("from below until it holds, {text}"),
        Spec::Floor(_) => format!("to {text} or a little more"),
        Spec::Range { .. } | Spec::Set(_) => format!("to {text}"),
    }
}

#[cfg(test)]
#[path = "now_tests.rs"]
mod tests;
