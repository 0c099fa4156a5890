//! What is commonly given for a fastener where nothing counts (`specs/rules.md`, "Orientation").

use super::band::{intervals_with, merged, sweep};
use super::{Claim, Grade, IssuerRange, TorqueInterval};
use crate::quantity::tolerance::at_least;
use crate::quantity::{Resolution, Spec, Torque, newton_metres};

/// What is given by those who speak of tightening it without counting. It is told to people, and nothing is judged,
/// aimed at or set by it.
#[derive(Debug, Clone, PartialEq)]
pub struct Orientation {
    /// What more than half of the voices allow, where that is one stretch; else what most of them allow, as one stretch
    /// where all but one of those allow what lies between.
    pub stretches: Vec<Spec>,
    /// Step of the last digit that they are told with.
    pub resolution: Resolution,
    /// How many voices meet in each of the stretches.
    pub backed: usize,
    /// Keys of the documents that speak, each of them one voice; without memory.
    pub sources: Vec<String>,
    /// Whether memory speaks too, which is one voice however much it recalls.
    pub memory: bool,
    /// Whether none of the voices is a figure of a maker, read or quoted.
    pub general: bool,
}

/// The voice of everything that is recalled.
const MEMORY: &str = "memory";

impl Orientation {
    /// None where nobody speaks of it.
    pub(super) fn of(claims: &[impl AsRef<Claim>]) -> Option<Orientation> {
        let voices: Vec<(&str, &Claim)> =
            claims.iter().map(AsRef::as_ref).filter(|claim| claim.orients).map(voice_of).collect();
        let ranges = merged(voices.iter().copied());
        let ends: Vec<_> = ranges.iter().map(|range| (range.low, range.high)).collect();
        let usual = usual(&ends);
        let backed = usual.first()?.issuers;
        let stretches: Vec<Spec> = usual.into_iter().filter_map(|usual| told(usual, &ranges)).collect();
        let finest = ranges.iter().map(|range| range.resolution.0).reduce(Torque::min)?;
        // What is only to be expected is told in tenths at most, whatever a converted figure printed.
        let finest = Resolution(finest.max(newton_metres(0.1)));
        Some(Orientation {
            resolution: if stretches.iter().all(is_whole) { Resolution(newton_metres(1.0)) } else { finest },
            stretches,
            backed,
            memory: ranges.iter().any(|range| range.issuer == MEMORY),
            sources: ranges.into_iter().map(|range| range.issuer).filter(|voice| voice != MEMORY).collect(),
            general: voices.iter().all(|(_, claim)| !claim.grade.counts()),
        })
    }

    /// How many speak of it.
    #[must_use]
    pub fn voices(&self) -> usize {
        self.sources.len() + usize::from(self.memory)
    }

    /// Whether a torque lies in what is commonly given, ends inclusive.
    #[must_use]
    pub fn has(&self, torque: Torque) -> bool {
        self.stretches.iter().any(|stretch| {
            let (low, high) = stretch.limits();
            low.is_none_or(|low| at_least(torque, low)) && high.is_none_or(|high| at_least(high, torque))
        })
    }
}

/// What is to be told of the intervals.
fn usual(intervals: &[(Option<Torque>, Option<Torque>)]) -> Vec<TorqueInterval> {
    let pieces = sweep(intervals);
    if let [one] = intervals_with(&pieces, intervals.len() / 2 + 1).as_slice() {
        return vec![*one];
    }
    let most = pieces.iter().map(|piece| piece.issuers).max().unwrap_or(0).max(1);
    let best = intervals_with(&pieces, most);
    let around = intervals_with(&pieces, (most - 1).max(1));
    let hull = |around: TorqueInterval| {
        let inside = best.iter().filter(|best| {
            let after = around.low.is_none_or(|low| best.low.is_some_and(|from| low <= from));
            after && around.high.is_none_or(|high| best.high.is_some_and(|to| to <= high))
        });
        let mut inside = inside.copied();
        let first = inside.next()?;
        Some(TorqueInterval { high: inside.last().unwrap_or(first).high, ..first })
    };
    around.into_iter().filter_map(hull).collect()
}

/// Each document is a voice of its own, whoever issued it: what does not count may be anybody's.
fn voice_of(claim: &Claim) -> (&str, &Claim) {
    (if claim.grade == Grade::Memory { MEMORY } else { &claim.speaker.source }, claim)
}

/// A stretch as those print it who speak of it: one number where the stretch lies around it, within what it allows.
fn told(TorqueInterval { low, high, .. }: TorqueInterval, ranges: &[IssuerRange]) -> Option<Spec> {
    let number = ranges
        .iter()
        .filter(|range| range.low <= low && high <= range.high)
        .find_map(|range| range.set_value);
    let number = number
        .filter(|value| low.is_some_and(|low| low <= *value) && high.is_some_and(|high| *value <= high));
    match (low, high) {
        _ if number.is_some() => number.map(Spec::Set),
        (Some(low), Some(high)) => Some(Spec::Range { low, high }),
        (None, Some(max)) => Some(Spec::Ceiling(max)),
        (Some(min), None) => Some(Spec::Floor(min)),
        (None, None) => None,
    }
}

/// Whether it can be told in whole newton metres.
fn is_whole(spec: &Spec) -> bool {
    let (low, high) = match spec {
        Spec::Set(value) => (Some(*value), Some(*value)),
        other => other.limits(),
    };
    let whole = |torque: Torque| {
        let nearest = newton_metres(torque.value.round());
        at_least(torque, nearest) && at_least(nearest, torque)
    };
    [low, high].into_iter().flatten().all(whole)
}

#[cfg(test)]
#[path = "orientation_tests.rs"]
mod tests;
