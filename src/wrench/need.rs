//! What a wrench to buy must be able to do, for specified torques that no wrench at hand serves.
//!
//! A setting must lie at 20–100 % of the capacity (common practice), and the marks must be close enough
//! that one of them can be labelled `inside` wherever the scale begins.

use super::tool::LOWEST_USABLE_SHARE;
use crate::conformity::{Accuracy, Deviation, Instrument, Limits, SettingScale, aim};
use crate::quantity::tolerance::at_least;
use crate::quantity::{Spec, Torque, newton_metres};

/// Usual steps of wrench scales, in N·m, coarsest first (common practice).
const USUAL_STEPS_NM: [f64; 10] = [5.0, 2.0, 1.0, 0.5, 0.25, 0.2, 0.1, 0.05, 0.02, 0.01];
/// Accuracies that wrenches are sold with, in percent, widest first (common practice).
const USUAL_ACCURACIES: [f64; 5] = [6.0, 4.0, 3.0, 2.0, 1.0];

/// What one wrench must be able to do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Need {
    /// The lowest torque that must be on the usable part of its scale.
    pub lowest: Torque,
    /// The highest torque that must be on its scale: its capacity is at least this.
    pub highest: Torque,
    /// The capacity at which `lowest` is still on the usable part of the scale.
    pub capacity_at_most: Torque,
    pub(crate) step_at_most: Torque,
    pub(crate) deviation_at_most: Deviation,
}

impl Need {
    /// The need of both, if one wrench can meet it.
    fn and(self, other: Need) -> Option<Need> {
        let both = Need {
            lowest: self.lowest.min(other.lowest),
            highest: self.highest.max(other.highest),
            capacity_at_most: self.capacity_at_most.min(other.capacity_at_most),
            step_at_most: self.step_at_most.min(other.step_at_most),
            deviation_at_most: if self.deviation_at_most < other.deviation_at_most {
                self.deviation_at_most
            } else {
                other.deviation_at_most
            },
        };
        (both.highest <= both.capacity_at_most).then_some(both)
    }
}

/// The fewest wrenches that serve all of `specified`, lowest first, found by taking each torque into the
/// wrench below it as long as the span allows. A torque that no usual wrench can settle is left out; its
/// place in `specified` is returned in the second list.
pub fn needs(specified: &[Limits]) -> (Vec<Need>, Vec<usize>) {
    let mut found = Vec::new();
    let mut beyond = Vec::new();
    for (place, limits) in specified.iter().enumerate() {
        match need(limits) {
            Some(need) => found.push(need),
            None => beyond.push(place),
        }
    }
    found.sort_by(|a, b| a.lowest.value.total_cmp(&b.lowest.value));
    let mut wrenches: Vec<Need> = Vec::new();
    for need in found {
        let both = wrenches.last().and_then(|last| last.and(need));
        if both.is_some() {
            wrenches.pop();
        }
        wrenches.push(both.unwrap_or(need));
    }
    (wrenches, beyond)
}

/// The need of one torque: the widest usual accuracy for which some usual step will do, and the coarsest such.
fn need(limits: &Limits) -> Option<Need> {
    let usual = USUAL_ACCURACIES.into_iter().filter_map(|percent| Deviation::percent(percent).ok());
    // A wrench for more than 10 N·m is a 4 % tool at worst (type II class A).
    let widest = Deviation::permitted(limits.largest());
    usual.filter(|deviation| *deviation <= widest).find_map(|deviation| {
        USUAL_STEPS_NM.into_iter().find_map(|step| need_with(limits, deviation, newton_metres(step)))
    })
}

/// The need with a given accuracy and step; none where they do not suffice.
fn need_with(limits: &Limits, deviation: Deviation, step: Torque) -> Option<Need> {
    let instrument = Instrument::new(Accuracy::given(deviation), Some(step), None).ok()?;
    let (lowest, highest) = safe_settings(limits, &instrument)?;
    let wide_enough = at_least(highest - lowest, step);
    wide_enough.then(|| Need {
        lowest,
        highest,
        capacity_at_most: lowest / LOWEST_USABLE_SHARE,
        step_at_most: step,
        deviation_at_most: deviation,
    })
}

/// The settings that can be labelled `inside`, on a scale without steps. For a ceiling or floor alone
/// they are taken to reach as far as a conforming wrench may deviate, so that a coarse step does not
/// leave the bolt far from it.
fn safe_settings(limits: &Limits, instrument: &Instrument) -> Option<(Torque, Torque)> {
    if let Spec::Set(_) = limits.spec() {
        return Some((limits.low()?, limits.high()?));
    }
    let any_setting = SettingScale::new(Torque::default(), limits.largest() * 2.0, None)?;
    let edge = |spec: Spec| {
        let one_sided = Limits::new(spec);
        aim(&one_sided, instrument, &any_setting).ok().map(|aim| aim.setting)
    };
    let slack = |edge: Torque| Deviation::permitted(edge).of(edge);
    match (limits.low().map(Spec::Floor), limits.high().map(Spec::Ceiling)) {
        (Some(floor), Some(ceiling)) => Some((edge(floor)?, edge(ceiling)?)),
        (Some(floor), None) => edge(floor).map(|from| (from, from + slack(from))),
        (None, Some(ceiling)) => edge(ceiling).map(|to| (to - slack(to), to)),
        (None, None) => None,
    }
}

#[cfg(test)]
#[path = "need_tests.rs"]
mod tests;
