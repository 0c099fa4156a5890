//! What a person must know about a plan besides its passes.

use std::fmt;

use uom::si::f64::Ratio;
use uom::si::ratio::percent;

use super::Ladder;

/// A remark on a plan.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Note {
    /// The bolts load each other: more passes at full torque change nothing.
    RepeatingDoesNotHelp,
    /// At the lowest likely loss the bolts load each other.
    MayBeGain,
    /// The usual ladder would open a gap again at the highest likely loss; this one does not.
    FinerLadder(Ladder),
    /// Even the finest ladder may open a gap again at the highest likely loss.
    GapMayOpen,
    /// Lower levels that get the same setting of the wrench as the next one, and so fall away.
    OneSetting(Vec<Ratio>),
    /// The spread asked for is not reached.
    NotWithin {
        /// The spread that is left at the nominal loss.
        spread: Ratio,
        /// The full-torque passes after which it is left.
        full_passes: usize,
    },
    /// At the highest likely loss more passes are needed; `None` where even the most a plan has
    /// are too few.
    HighLossNeeds(Option<usize>),
    /// Bolts may stick within more than the spread asked for.
    WithinBreakAway {
        /// The most that a bolt may have lost without turning.
        break_away: Ratio,
    },
}

/// That lower passes fall away on a coarse scale.
fn one_setting(f: &mut fmt::Formatter<'_>, fallen: &[Ratio]) -> fmt::Result {
    let levels: Vec<String> = fallen.iter().map(|level| format!("{:.0} %", level.get::<percent>())).collect();
    write!(
        f,
        "The scale is too coarse for {} {}: the next setting up is the same one, so the lower pass is left out.",
        if levels.len() == 1 { "a step of" } else { "steps of" },
        levels.join(" and ")
    )
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let in_percent = |part: &Ratio| part.get::<percent>();
        match self {
            Note::RepeatingDoesNotHelp => f.write_str(
                "Tightening one bolt of this joint loads the others, so repeating a pass takes nothing \
                 out; only small last steps keep the loads even.",
            ),
            Note::MayBeGain => f.write_str(
                "If tightening one bolt loads the others here, repeating a pass takes nothing out; \
                 then make the last steps small.",
            ),
            Note::FinerLadder(ladder) => write!(
                f,
                "Steps of {ladder} %: with larger ones a bolt could lose all its load and the gap open again."
            ),
            Note::OneSetting(fallen) => one_setting(f, fallen),
            Note::GapMayOpen => f.write_str(
                "In a joint this soft a bolt may lose all its load on the way: close the gap evenly by \
                 hand first and watch it.",
            ),
            Note::NotWithin { spread, full_passes } => write!(
                f,
                "The spread asked for is not reached: {} {:.1} %.",
                if *full_passes == 1 {
                    "one full-torque pass leaves".to_owned()
                } else {
                    format!("{full_passes} full-torque passes leave")
                },
                in_percent(spread)
            ),
            Note::HighLossNeeds(Some(passes)) => {
                write!(
                    f,
                    "If the joint gives way as much as is likely at most, it takes {passes} full-torque passes."
                )
            }
            Note::HighLossNeeds(None) => f.write_str(
                "If the joint gives way as much as is likely at most, the spread asked for is not reached.",
            ),
            Note::WithinBreakAway { break_away } => write!(
                f,
                "A bolt that has lost up to {:.0} % may stick and not turn, so a click without movement \
                 does not prove the spread asked for.",
                in_percent(break_away)
            ),
        }
    }
}
