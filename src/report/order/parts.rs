//! The parts of an order: its passes, what they are to achieve, what is assumed, what is left out.

use serde::Serialize;
use serde_json::{Value, json};
use uom::si::ratio::percent;

use super::{Passes, fraction};
use crate::book::{JointKind, Way};
use crate::quantity::{Torque, in_newton_metres};
use crate::sequence::{Note, PassKind, Plan};

/// One pass, with the spread that the loss model predicts after it, as fractions of the target.
#[derive(Debug, Serialize)]
pub(super) struct PassLine {
    pub(super) pass: usize,
    pub(super) kind: &'static str,
    /// The setting in percent of full torque.
    pub(super) percent: f64,
    pub(super) setting_nm: f64,
    pub(super) setting_text: String,
    pub(super) watch: &'static str,
    pub(super) steps: Vec<StepLine>,
    pub(super) spread_low: f64,
    pub(super) spread_nominal: f64,
    pub(super) spread_high: f64,
}

/// What is done before the first pass that the wrench can give.
#[derive(Debug, Serialize)]
pub(super) struct ByHand {
    /// The bolts in their order.
    pub(super) sequence: Vec<usize>,
    pub(super) text: &'static str,
}

/// The pass by hand, where the scale of the wrench begins above the first one.
pub(super) fn by_hand(plan: &Plan) -> Option<ByHand> {
    let first = plan.passes.first().filter(|_| plan.notes.contains(&Note::ByHandFirst))?;
    let sequence = first.order.iter().map(|bolt| bolt.number()).collect();
    Some(ByHand { sequence, text: "by hand, crosswise, until every head touches" })
}

/// One turn of the wrench.
#[derive(Debug, Serialize)]
pub(super) struct StepLine {
    pub(super) step: usize,
    pub(super) bolt: usize,
    pub(super) setting_nm: f64,
    pub(super) setting_text: String,
}

pub(super) fn pass_lines(plan: &Plan, set: &[(Torque, String)], way: Way) -> Vec<PassLine> {
    let bolts = plan.passes.iter().map(|pass| pass.order.len()).max().unwrap_or(1);
    let first_order = plan.passes.first().map(|pass| &pass.order);
    let mut seen_full = false;
    let lines = plan.passes.iter().zip(set).enumerate().map(|(index, (pass, (torque, text)))| {
        let first_group = first_order == Some(&pass.order);
        let watch = watch(way, bolts, pass.kind, index == 0, first_group, seen_full);
        seen_full |= pass.kind == PassKind::Full;
        let steps = pass.order.iter().enumerate().map(|(step, bolt)| StepLine {
            step: step + 1,
            bolt: bolt.number(),
            setting_nm: in_newton_metres(*torque),
            setting_text: text.clone(),
        });
        PassLine {
            pass: index + 1,
            kind: pass.kind.word(),
            percent: pass.level.get::<percent>(),
            setting_nm: in_newton_metres(*torque),
            setting_text: text.clone(),
            watch,
            steps: steps.collect(),
            spread_low: fraction(pass.spread.low),
            spread_nominal: fraction(pass.spread.nominal),
            spread_high: fraction(pass.spread.high),
        }
    });
    lines.collect()
}

fn watch(
    way: Way,
    bolts: usize,
    kind: PassKind,
    first: bool,
    first_group: bool,
    seen_full: bool,
) -> &'static str {
    match (way, kind) {
        (Way::UntilPlayGone, _) => "stop as soon as the play has gone, even far below this value",
        (_, PassKind::Step) if bolts == 1 => "it bites straight and nothing creeps",
        (_, _) if bolts == 1 => "the last part slowly",
        (_, PassKind::Confirm) => "if a bolt turns, go round again until none does",
        (Way::ClosedSideFirst, _) if first_group => "this side closes until no gap is left",
        (Way::ClosedSideFirst, _) => "the closed side stays closed, the other gap stays even",
        (_, PassKind::Step) if first => "every bolt bites and nothing is cocked",
        (_, PassKind::Step) => "gaps and faces stay even",
        (_, PassKind::Full) if seen_full => "bolts turn less than the time before",
        (_, PassKind::Full) => "bolts done before may turn again",
    }
}

impl Passes {
    /// How many passes at full torque reach the spread that was asked for; null where none do.
    pub(super) fn needed_json(&self) -> Value {
        let passes = self.plan.full_passes;
        json!({
            "within": self.within,
            "full_passes": passes.planned,
            "full_passes_low": passes.needed.low,
            "full_passes_nominal": passes.needed.nominal,
            "full_passes_high": passes.needed.high,
        })
    }

    /// What the predicted spreads leave out, as fractions of the target.
    pub(super) fn apart_json(&self) -> Value {
        let unknowns = self.plan.unknowns;
        json!({
            "friction_spread": fraction(unknowns.friction_spread),
            "break_away_low": fraction(unknowns.break_away_low),
            "break_away_high": fraction(unknowns.break_away_high),
        })
    }
}

pub(super) fn assumed_json(kind: &JointKind) -> Value {
    let parameters = &kind.parameters;
    json!({
        "loss_low": fraction(parameters.losses.likely().low),
        "loss_nominal": fraction(parameters.losses.likely().nominal),
        "loss_high": fraction(parameters.losses.likely().high),
        "decay": fraction(parameters.decay),
        "ladder_percent": parameters.ladder.to_string(),
        "source": kind.source,
        "grade": kind.grade,
    })
}
