//! What a person must know about a plan besides its passes.

use uom::si::f64::Ratio;

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
