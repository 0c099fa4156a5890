//! Is the bicycle fit to ride? (`specs/rules.md`, "Verdict on a bicycle")
//!
//! Joints that decide safety: one that is bad makes the bicycle unfit, one without current evidence
//! leaves it unproven. Other joints that are open are conditions. A crack decides wherever it is.

use super::{Finding, Joint, JointVerdict, State, Why};
use crate::conformity::Decision;
use crate::words::words;

words! {
    #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
    pub enum Fitness: text {
        Fit = "fit",
        /// Only joints that do not decide safety are open.
        FitWithConditions = "fit with conditions",
        /// A joint that decides safety has no current evidence.
        Unproven = "unproven",
        /// A joint that decides safety is bad.
        Unfit = "unfit",
    }
}

impl Fitness {
    /// What it comes to: the rider may go with conditions.
    pub(crate) fn decision(self) -> Decision {
        match self {
            Fitness::Fit | Fitness::FitWithConditions => Decision::Good,
            Fitness::Unproven => Decision::Undecided,
            Fitness::Unfit => Decision::Bad,
        }
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct BicycleVerdict {
    pub fitness: Fitness,
    /// Indices of the joints that decide it, those that decide safety first, the worst first. For a
    /// fit bicycle none.
    pub deciding: Vec<usize>,
}

/// What one joint alone would make of the bicycle.
pub fn weight(joint: &Joint, verdict: &JointVerdict) -> Fitness {
    let state = verdict.state();
    let cracked = verdict.worst.why == Why::Found(Finding::Cracked);
    match state {
        State::Sound => Fitness::Fit,
        _ if cracked => Fitness::Unfit,
        _ if !joint.critical => Fitness::FitWithConditions,
        _ if state.is_bad() => Fitness::Unfit,
        _ => Fitness::Unproven,
    }
}

/// Judges a bicycle by its joints, as `at_best` what is not among them allows. One without any joint is unproven.
pub fn judge_bicycle(joints: &[(Joint, JointVerdict)], at_best: Fitness) -> BicycleVerdict {
    let weights: Vec<Fitness> = joints.iter().map(|(joint, verdict)| weight(joint, verdict)).collect();
    let mut deciding: Vec<usize> = (0..joints.len()).filter(|&i| weights[i] > Fitness::Fit).collect();
    deciding.sort_by_key(|&i| {
        (std::cmp::Reverse(weights[i]), std::cmp::Reverse(joints[i].1.state()), joints[i].0.order)
    });
    let fitness = weights.iter().copied().max().unwrap_or(Fitness::Unproven).max(at_best);
    BicycleVerdict { fitness, deciding }
}

#[cfg(test)]
#[path = "readiness_tests.rs"]
mod tests;
