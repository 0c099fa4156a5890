//! Which registered wrench serves a specified torque best.

use std::cmp::Ordering;

use uom::si::f64::Ratio;

use super::{ScaleAim, Use, Wrench};
use crate::conformity::{Doubt, Kind, Label, Limits, NoAim, judge};

/// A wrench as a candidate for a specified torque.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate<'a> {
    pub(crate) wrench: &'a Wrench,
    /// The setting to aim at, or why there is none.
    pub aim: Result<ScaleAim, NoAim>,
    /// The label that a reading at the aim would get; `not settled` without an aim.
    pub label_at_aim: Label,
    /// What casts doubt on the wrench whatever it reads: calibration, direction.
    pub doubts: Vec<Doubt>,
}

impl Candidate<'_> {
    /// Whether the wrench can settle the torque: a reading at the aim would be `inside`.
    pub fn serves(&self) -> bool {
        self.label_at_aim == Label::Inside && self.doubts.is_empty()
    }

    /// Where on the scale the setting lies, as a share of the capacity.
    pub fn place(&self) -> Option<Ratio> {
        self.aim.as_ref().ok().map(|aim| aim.on_scale / self.wrench.capacity())
    }

    /// How far the setting lies outside the middle half of the scale, which is best (common practice).
    fn off_the_middle_half(&self) -> f64 {
        self.place().map_or(1.0, |place| ((place.value - 0.5).abs() - 0.25).max(0.0))
    }

    /// The chance of landing inside, to four decimals: finer differences between wrenches mean nothing.
    /// A limit on one side says nothing here, as its aim is set U away from it with any wrench.
    fn comparable_chance(&self, limits: &Limits) -> f64 {
        match (&self.aim, limits.width()) {
            (Ok(aim), Some(_)) => (aim.aim.chance_inside.value() * 1e4).round(),
            (Ok(_), None) => 1e4,
            (Err(_), _) => 0.0,
        }
    }
}

/// All wrenches, best first: those that serve; then the better chance of landing inside; then the
/// setting nearer to the middle half of the scale; then the smaller uncertainty; then the name.
///
/// `usage` gives the day, the thread and the adapter.
pub fn rank<'a>(
    wrenches: impl IntoIterator<Item = &'a Wrench>,
    limits: &Limits,
    usage: &Use<'_>,
) -> Vec<Candidate<'a>> {
    let mut candidates: Vec<Candidate<'a>> =
        wrenches.into_iter().map(|wrench| candidate(wrench, limits, usage)).collect();
    candidates.sort_by(|a, b| better_first(a, b, limits));
    candidates
}

fn candidate<'a>(wrench: &'a Wrench, limits: &Limits, usage: &Use<'_>) -> Candidate<'a> {
    let doubts = wrench.lasting_doubts(Kind::Tightened, usage);
    let aim = wrench.aim(limits, usage.adapter);
    let label_at_aim = aim.as_ref().map_or(Label::NotSettled, |aim| {
        judge(Some(limits), aim.aim.setting, &wrench.instrument(usage.adapter), &doubts).label
    });
    Candidate { wrench, aim, label_at_aim, doubts }
}

fn better_first(a: &Candidate<'_>, b: &Candidate<'_>, limits: &Limits) -> Ordering {
    let expanded = |candidate: &Candidate<'_>| {
        candidate.aim.as_ref().map_or(f64::INFINITY, |aim| aim.aim.expanded.value)
    };
    b.serves()
        .cmp(&a.serves())
        .then(b.comparable_chance(limits).total_cmp(&a.comparable_chance(limits)))
        .then(a.off_the_middle_half().total_cmp(&b.off_the_middle_half()))
        .then(expanded(a).total_cmp(&expanded(b)))
        .then(a.wrench.name().cmp(b.wrench.name()))
}

#[cfg(test)]
#[path = "pick_tests.rs"]
mod tests;
