//! The passes that bring a joint up evenly: lower steps, full torque, one confirming pass.
//!
//! Full-torque passes are added until the spread that the loss model predicts for the nominal loss
//! is within what was asked. The prediction is elastic only; what it leaves out stands beside it in
//! [`Unknowns`]. No level is ever above the target.
//!
//! Even closing: a ladder is right when, at the highest likely loss, no bolt that has been tightened
//! ever loses all of its load on the way, since there the gap would open again. The given ladder is
//! kept while that holds (30/60/100 % does up to a loss of about 0.58), else a finer one is taken.
//!
//! A plan is made with the settings that the wrench really has: what is predicted is what will be done.

use uom::si::f64::Ratio;
use uom::si::ratio::ratio;

use super::setting::{Settable, settable};
use super::{
    AtLosses, BoltNumber, FullPasses, Interaction, InteractionError, Ladder, Layout, Loads, Note, Parameters,
    Pass, PassKind, Pattern, Plan, PlanError, SettingError, Unknowns,
};
use crate::conformity::SettingScale;
use crate::quantity::Torque;

/// The most full-torque passes of a plan, but for the confirming one. No metal joint needs nearly as many.
pub const MAX_FULL_PASSES: usize = 20;

/// What a predicted spread may miss the wanted one by through binary fractions alone.
const BINARY_FRACTIONS: f64 = 1e-12;

/// The passes that bring the bolts of `layout` up in `pattern` until the predicted spread is at most
/// `within`, a fraction of the target, on the settings that a wrench has on the way to `target`, which is
/// one of them. Of two lower levels whose settings hardly differ the lower one falls away.
///
/// ```
/// use evenclamp::conformity::SettingScale;
/// use evenclamp::quantity::newton_metres as nm;
/// use evenclamp::sequence::{Layout, LossBand, Parameters, Pattern, plan_on};
/// use uom::si::{f64::Ratio, ratio::{percent, ratio}};
///
/// let [low, nominal, high, decay] = [0.05, 0.15, 0.35, 0.4].map(Ratio::new::<ratio>);
/// let losses = LossBand::new(low, nominal, high).unwrap();
/// let assumed = Parameters { losses, decay, ladder: "30/60/100".parse().unwrap() };
/// let (plate, within) = (Layout::ring(4).unwrap(), Ratio::new::<percent>(5.0));
/// let wrench = SettingScale::new(nm(2.0), nm(10.0), Some(nm(0.5))).unwrap();
/// let plan = plan_on(&plate, Pattern::Crosswise, &assumed, within, nm(5.0), &wrench).unwrap();
/// let percents: Vec<f64> = plan.levels().iter().map(|level| level.get::<percent>().round()).collect();
/// // 30 % lies below the scale and is done by hand.
/// assert_eq!(percents, [60.0, 100.0, 100.0, 100.0]);
/// ```
/// # Errors
/// [`PlanError`] unless `within` is above 0 and at most 1, the losses are between -1 and 1, the pattern
/// suits the layout and the target is on the scale.
pub fn plan_on(
    layout: &Layout,
    pattern: Pattern,
    parameters: &Parameters,
    within: Ratio,
    target: Torque,
    scale: &SettingScale,
) -> Result<Plan, PlanError> {
    let wanted = within.get::<ratio>();
    if !(wanted > 0.0 && wanted <= 1.0) {
        return Err(PlanError::Within(within));
    }
    let groups = pattern.groups(layout)?;
    let joint = AtLosses::of_joint(layout, parameters)?;
    let mut notes = Vec::new();
    let on_wrench = |ladder: &Ladder| settable(ladder, target, scale);
    let ladder = joint.ladder(&groups, parameters, on_wrench, &mut notes)?;
    let all = groups.concat();
    let mut planned = climb(&groups, &ladder);
    let full_passes = joint.repeat_until(wanted, &mut planned, &all, parameters, &mut notes);
    if layout.bolts() > 1 {
        planned.push(PlannedPass { kind: PassKind::Confirm, level: Ratio::new::<ratio>(1.0), order: all });
    }
    let unknowns = Unknowns::of(layout.bolts());
    if layout.bolts() > 1 && within < unknowns.break_away_high {
        notes.push(Note::WithinBreakAway(unknowns.break_away_high));
    }
    let passes = joint.with_spreads(planned);
    Ok(Plan { passes, full_passes, unknowns, notes, joint })
}

/// A pass before its spread is known.
#[derive(Debug, Clone)]
struct PlannedPass {
    kind: PassKind,
    level: Ratio,
    order: Vec<BoltNumber>,
}

impl PlannedPass {
    /// Tightens the bolts of the pass; whether a gap opened on the way.
    fn apply(&self, loads: &mut Loads, interaction: &Interaction) -> bool {
        self.order.iter().fold(false, |opened, &bolt| {
            loads.tighten(bolt, self.level, interaction);
            opened | loads.gap_open()
        })
    }
}

/// One group of bolts after the other up the ladder.
fn climb(groups: &[Vec<BoltNumber>], ladder: &Ladder) -> Vec<PlannedPass> {
    let one = Ratio::new::<ratio>(1.0);
    let kind = |level| if level < one { PassKind::Step } else { PassKind::Full };
    let up = |group: &Vec<BoltNumber>| {
        let turn = |&level| PlannedPass { kind: kind(level), level, order: group.clone() };
        ladder.levels().iter().map(turn).collect::<Vec<_>>()
    };
    groups.iter().flat_map(up).collect()
}

impl AtLosses<Interaction> {
    fn of_joint(layout: &Layout, parameters: &Parameters) -> Result<Self, InteractionError> {
        let at = |loss| Interaction::from_total(layout, loss, parameters.decay);
        let AtLosses { low, nominal, high } = parameters.losses.likely();
        Ok(AtLosses { low: at(low)?, nominal: at(nominal)?, high: at(high)? })
    }

    /// The ladder that closes the joint evenly on the wrench in hand.
    fn ladder(
        &self,
        groups: &[Vec<BoltNumber>],
        parameters: &Parameters,
        on_wrench: impl Fn(&Ladder) -> Result<Settable, SettingError>,
        notes: &mut Vec<Note>,
    ) -> Result<Ladder, SettingError> {
        let [first, finer @ ..] = &self.wanted(parameters, notes)[..] else { return Ok(Ladder::full()) };
        let mut found = on_wrench(first)?;
        for next in finer {
            if !self.opens_gap(groups, &found.ladder) {
                break;
            }
            found = on_wrench(next)?;
            notes.retain(|note| !matches!(note, Note::FinerLadder(_)));
            notes.push(Note::FinerLadder(next.clone()));
        }
        let Settable { ladder, fallen, by_hand_first } = found;
        if by_hand_first && self.nominal.bolts() > 1 {
            notes.push(Note::ByHandFirst);
        }
        if !finer.is_empty() && self.opens_gap(groups, &ladder) {
            notes.retain(|note| !matches!(note, Note::FinerLadder(_)));
            notes.push(Note::GapMayOpen);
        }
        if !fallen.is_empty() {
            notes.push(Note::OneSetting(fallen));
        }
        Ok(ladder)
    }

    /// The ladders to try, each finer than the one before; only the last may open a gap again.
    fn wanted(&self, parameters: &Parameters, notes: &mut Vec<Note>) -> Vec<Ladder> {
        let given = &parameters.ladder;
        if self.nominal.bolts() == 1 {
            return vec![given.with_one_lower_level()];
        }
        if parameters.losses.is_gain() {
            notes.push(Note::RepeatingDoesNotHelp);
            let small = Ladder::small_last();
            let coarse = given.last_rise() > small.last_rise() + Ratio::new::<ratio>(BINARY_FRACTIONS);
            return vec![if coarse { small } else { given.clone() }];
        }
        if self.low.total() < Ratio::new::<ratio>(0.0) {
            notes.push(Note::MayBeGain);
        }
        let [fine, finest] = Ladder::finer();
        vec![given.clone(), fine, finest]
    }

    /// Whether a bolt loses all its load on the way up, at the highest likely loss.
    fn opens_gap(&self, groups: &[Vec<BoltNumber>], ladder: &Ladder) -> bool {
        let mut loads = Loads::loose(self.high.bolts());
        climb(groups, ladder).iter().any(|turn| turn.apply(&mut loads, &self.high))
    }

    /// Adds full-torque passes over `all` until the nominal spread is at most `wanted`; how many there are then.
    fn repeat_until(
        &self,
        wanted: f64,
        planned: &mut Vec<PlannedPass>,
        all: &[BoltNumber],
        parameters: &Parameters,
        notes: &mut Vec<Note>,
    ) -> FullPasses {
        let repeat =
            PlannedPass { kind: PassKind::Full, level: Ratio::new::<ratio>(1.0), order: all.to_vec() };
        // A gain is not taken out by repeating, so that one pass is all there is.
        let most = if parameters.losses.is_gain() { 1 } else { MAX_FULL_PASSES };
        let needed = self.map(|interaction| passes_needed(interaction, planned, &repeat, wanted, most));
        let full_passes = needed.nominal.unwrap_or(most);
        planned.extend(std::iter::repeat_n(repeat, full_passes - 1));
        if needed.nominal.is_none() {
            let spread = after(&self.nominal, planned).spread();
            notes.push(Note::NotWithin { spread, full_passes });
        } else if needed.high.is_none_or(|at_high| at_high > full_passes) {
            notes.push(Note::HighLossNeeds(needed.high));
        }
        FullPasses { planned: full_passes, needed }
    }

    fn with_spreads(&self, planned: Vec<PlannedPass>) -> Vec<Pass> {
        let spread = |k| self.map(|interaction| after(interaction, &planned[..=k]).spread());
        let spreads: Vec<_> = (0..planned.len()).map(spread).collect();
        let finished = planned.into_iter().zip(spreads);
        finished
            .map(|(PlannedPass { kind, level, order }, spread)| Pass { kind, level, order, spread })
            .collect()
    }
}

fn after(interaction: &Interaction, planned: &[PlannedPass]) -> Loads {
    let mut loads = Loads::loose(interaction.bolts());
    for turn in planned {
        turn.apply(&mut loads, interaction);
    }
    loads
}

/// How many full-torque passes leave a spread of at most `wanted` when `planned`, which end with one,
/// are followed by more of `repeat`; `None` if `most` are too few.
fn passes_needed(
    interaction: &Interaction,
    planned: &[PlannedPass],
    repeat: &PlannedPass,
    wanted: f64,
    most: usize,
) -> Option<usize> {
    let mut loads = after(interaction, planned);
    for passes in 1..=most {
        if loads.spread().get::<ratio>() <= wanted + BINARY_FRACTIONS {
            return Some(passes);
        }
        repeat.apply(&mut loads, interaction);
    }
    None
}

#[cfg(test)]
#[path = "passes_tests.rs"]
mod tests;
