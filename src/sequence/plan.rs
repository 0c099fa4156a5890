//! A plan of passes for one joint, and what is to be expected of it.

use uom::si::f64::Ratio;
use uom::si::ratio::ratio;

use super::{BoltNumber, Interaction, InteractionError, Ladder, LayoutError, Loads, SettingError, Unknowns};
use crate::words::words;

/// Something at each of the three losses that a plan is reckoned for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AtLosses<T> {
    /// At the lowest likely loss.
    pub low: T,
    /// At the nominal loss, which decides the number of passes.
    pub nominal: T,
    /// At the highest likely loss.
    pub high: T,
}

impl<T> AtLosses<T> {
    /// What `make` makes of each.
    pub fn map<U>(&self, mut make: impl FnMut(&T) -> U) -> AtLosses<U> {
        AtLosses { low: make(&self.low), nominal: make(&self.nominal), high: make(&self.high) }
    }
}

words! {
    /// What a pass is for.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum PassKind: word {
        /// A lower step, for even closing.
        Step = "step",
        /// A pass at full torque.
        Full = "full",
        /// A last pass at full torque, repeated until no bolt moves.
        Confirm = "confirm",
    }
}

/// One pass over the bolts of a joint, or over one side of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Pass {
    /// What the pass is for.
    pub kind: PassKind,
    /// The level as a fraction of the target: above 0, at most 1.
    pub level: Ratio,
    /// The bolts in the order in which they are turned.
    pub order: Vec<BoltNumber>,
    /// The largest less the smallest load of the bolts tightened so far that is predicted after the pass, elastic
    /// part only, as a fraction of the target.
    pub spread: AtLosses<Ratio>,
}

/// One turn of the wrench in a plan, with the loads after it.
#[derive(Debug, Clone, PartialEq)]
pub struct StepAction {
    /// Index of the pass in the plan, from 0.
    pub pass: usize,
    /// The bolt that is turned.
    pub bolt: BoltNumber,
    /// Whether it moves: a bolt that holds its level does not.
    pub moved: bool,
    /// The load of every bolt after the action, by bolt number, as a fraction of the target.
    pub loads: Vec<Ratio>,
}

/// How many passes at full torque a joint takes, without the confirming one; `None` where even
/// [`MAX_FULL_PASSES`](super::MAX_FULL_PASSES), or in a joint that gains the one pass that helps, do
/// not reach the spread asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FullPasses {
    /// As many as the plan has.
    pub planned: usize,
    /// As many as each loss takes.
    pub needed: AtLosses<Option<usize>>,
}

/// The passes for one joint and what is to be expected of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The passes in their order; never empty.
    pub passes: Vec<Pass>,
    /// How many passes at full torque each of the likely losses takes.
    pub full_passes: FullPasses,
    /// What the predicted spreads leave out.
    pub unknowns: Unknowns,
    /// What a person must know besides the passes.
    pub notes: Vec<Note>,
    pub(super) joint: AtLosses<Interaction>,
}

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
    /// The scale of the wrench begins above the lowest level: the bolts are brought up by hand first.
    ByHandFirst,
    /// Lower levels whose setting of the wrench hardly differs from the next one, and so fall away.
    OneSetting(Vec<Ratio>),
    /// The spread asked for is not reached.
    NotWithin {
        /// The spread that is left at the nominal loss.
        spread: Ratio,
        /// The full-torque passes after which it is left.
        full_passes: usize,
    },
    /// At the highest likely loss more passes are needed; `None` where even the most allowed are too few.
    HighLossNeeds(Option<usize>),
    /// Bolts may have lost more than the spread asked for, at most this, without turning.
    WithinBreakAway(Ratio),
}

/// A plan that cannot be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PlanError {
    /// A spread to reach that is not above 0.
    #[error("a spread of {} % cannot be reached", .0.get::<ratio>() * 100.0)]
    Within(Ratio),
    /// The pattern does not suit the layout.
    #[error(transparent)]
    Layout(#[from] LayoutError),
    /// The losses cannot be.
    #[error(transparent)]
    Interaction(#[from] InteractionError),
    /// The wrench has no settings for the target.
    #[error(transparent)]
    Setting(#[from] SettingError),
}

impl PlanError {
    /// What to give instead.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            PlanError::Within(_) => "give a spread above 0 and at most 100 %, such as 5 %".to_owned(),
            PlanError::Layout(layout) => layout.hint(),
            PlanError::Interaction(interaction) => interaction.hint().to_owned(),
            PlanError::Setting(setting) => setting.hint().to_owned(),
        }
    }
}

impl Plan {
    /// The level of every pass, as a fraction of the target; for [`settings`](super::settings).
    #[must_use]
    pub fn levels(&self) -> Vec<Ratio> {
        self.passes.iter().map(|pass| pass.level).collect()
    }

    /// Every turn of the wrench with the loads that the model predicts after it, at each loss.
    pub(crate) fn actions(&self) -> AtLosses<Vec<StepAction>> {
        self.joint.map(|interaction| {
            let mut loads = Loads::loose(interaction.bolts());
            let turns = self.passes.iter().enumerate();
            let turns = turns.flat_map(|(k, pass)| pass.order.iter().map(move |&bolt| (k, bolt, pass.level)));
            let after = turns.map(|(pass, bolt, level)| {
                let moved = loads.tighten(bolt, level, interaction);
                StepAction { pass, bolt, moved, loads: loads.all() }
            });
            after.collect()
        })
    }
}
