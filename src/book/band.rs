//! The band of an entry: the range most issuers agree on, always computed (`specs/rules.md`, "Book").

use serde::Serialize;

use super::Claim;
use super::backing::Backing;
use super::dissent::Dissent;
use super::orientation::Orientation;
use crate::quantity::tolerance::more_than;
use crate::quantity::{Resolution, Spec, Torque, permitted_deviation};
use crate::words::words;

words! {
    /// What the evidence for an entry amounts to.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
    #[serde(rename_all = "lowercase")]
    pub enum BandState: word {
        /// A majority allows one stretch, and two issuers meet in it, one of them first-hand.
        Agreed = "agreed",
        /// One issuer alone, or none but at second hand.
        Thin = "thin",
        /// No majority anywhere, or several stretches.
        Disputed = "disputed",
        /// Nothing counts, but somebody speaks of it.
        Unconfirmed = "unconfirmed",
        /// Nothing at all.
        None = "none",
    }
}

/// A stretch of torque; an absent end is not limited by anybody.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TorqueInterval {
    /// Lowest torque, allowed itself.
    pub low: Option<Torque>,
    /// Highest torque, allowed itself.
    pub high: Option<Torque>,
    /// How many issuers allow all of it.
    pub issuers: usize,
}

/// One issuer's allowance: the hull of its counted values.
#[derive(Debug, Clone, PartialEq)]
pub struct IssuerRange {
    /// Who speaks.
    pub issuer: String,
    /// Lowest torque allowed, where said.
    pub low: Option<Torque>,
    /// Highest torque allowed, where said.
    pub high: Option<Torque>,
    /// True when at least one of its values is its own document, a regulation or a marking.
    pub first_kind: bool,
    /// The one set value it prints, if that is all it says.
    pub set_value: Option<Torque>,
    /// Step of the finest digit it printed.
    pub resolution: Resolution,
    /// Whether one of its values is the workshop's own row.
    pub own: bool,
}

/// What the issuers of an entry agree on.
#[derive(Debug, Clone, PartialEq)]
pub struct Consensus {
    /// What the evidence amounts to.
    pub state: BandState,
    /// The range most issuers allow; none when disputed or without a published value.
    pub band: Option<TorqueInterval>,
    /// The best-backed stretch inside the band: where to aim; none when several are backed alike.
    pub core: Option<TorqueInterval>,
    /// The best-backed stretches, whatever the state.
    pub stretches: Vec<TorqueInterval>,
    /// Issuers whose values count.
    pub issuers: usize,
    /// Step of the finest digit the issuers printed.
    pub resolution: Option<Resolution>,
    /// The form that the band has for judging: one lone set value stays a set value.
    pub spec: Option<Spec>,
    /// How many of the issuers speak by a row of the workshop's own.
    pub own: usize,
    /// On whose word a thin band stands; none in any other state.
    pub backing: Option<Backing>,
    /// Who allows nothing of an agreed band; none where everybody allows some of it.
    pub dissent: Option<Dissent>,
    /// What is commonly given where nothing counts; none in any other state.
    pub orientation: Option<Orientation>,
}

impl Consensus {
    /// Whether nothing counts, whatever else may be said.
    pub(crate) fn has_nothing(&self) -> bool {
        matches!(self.state, BandState::Unconfirmed | BandState::None)
    }

    /// What has to be known before the band is acted on, in words: on whose word it stands where it is thin, and who
    /// prints something else where it is the majority's.
    pub(crate) fn caveat(&self) -> Option<String> {
        let thin = self.backing.as_ref().map(|backing| format!("thin: {}", backing.text()));
        thin.or_else(|| self.dissent.as_ref().map(Dissent::text))
    }

    /// Whether somebody who counts allows less than all of an agreed band: then nobody is told to tighten on.
    pub(crate) fn others_print_less(&self) -> bool {
        self.dissent.as_ref().is_some_and(|dissent| !dissent.less.is_empty())
    }

    /// Whether the band is narrower than a single value at its middle allows, so that it counts as that value.
    #[must_use]
    pub fn is_sliver(&self) -> bool {
        let band = self.band.and_then(|band| band.low.zip(band.high));
        matches!(self.spec, Some(Spec::Set(_))) && band.is_some_and(|(low, high)| is_sliver(low, high))
    }

    /// The best-backed stretch of a band, where it has both ends and more issuers than the band: where to aim.
    pub(crate) fn backed_core(&self) -> Option<Spec> {
        let (band, core) = (self.band?, self.core?);
        match (self.spec?, core.low, core.high) {
            (Spec::Range { .. }, Some(low), Some(high)) if core.issuers > band.issuers => {
                Some(Spec::Range { low, high })
            }
            _ => None,
        }
    }
}

/// One issuer, one voice: its counted values merged to their hull. A set value stands for
/// what a conforming wrench may do (`specs/rules.md`, "One issuer, one voice").
pub fn issuer_ranges(claims: &[impl AsRef<Claim>]) -> Vec<IssuerRange> {
    let counted = claims.iter().map(AsRef::as_ref).filter(|claim| claim.counted);
    merged(counted.map(|claim| (claim.speaker.issuer.as_str(), claim)))
}

/// The claims of each voice merged to their hull, in the order in which the voices come up.
pub(super) fn merged<'a>(claims: impl Iterator<Item = (&'a str, &'a Claim)>) -> Vec<IssuerRange> {
    let mut ranges: Vec<IssuerRange> = Vec::new();
    for (voice, claim) in claims {
        let range = range_of(voice, claim);
        match ranges.iter_mut().find(|known| known.issuer == range.issuer) {
            Some(known) => merge(known, &range),
            None => ranges.push(range),
        }
    }
    ranges
}

fn range_of(voice: &str, claim: &Claim) -> IssuerRange {
    let stated = claim.stated;
    let (low, high) = stated.spec.limits();
    let (set_value, resolution) = match stated.spec {
        Spec::Set(v) => (Some(v), Resolution(stated.resolution.0 / 10.0)),
        _ => (None, stated.resolution),
    };
    IssuerRange {
        issuer: voice.to_owned(),
        low,
        high,
        first_kind: claim.grade.is_first_kind(),
        set_value,
        resolution,
        own: claim.own,
    }
}

/// Widens `known` to the hull of both; an end that one of them leaves open stays open.
fn merge(known: &mut IssuerRange, other: &IssuerRange) {
    known.low = known.low.zip(other.low).map(|(a, b)| a.min(b));
    known.high = known.high.zip(other.high).map(|(a, b)| a.max(b));
    known.first_kind |= other.first_kind;
    known.own |= other.own;
    if known.set_value != other.set_value {
        known.set_value = None;
    }
    if other.resolution.0 < known.resolution.0 {
        known.resolution = other.resolution;
    }
}

/// The stretches that most intervals allow, ends inclusive, in rising order (Marzullo's sweep).
///
/// K. Marzullo, "Maintaining the time in a distributed system", 1984.
#[must_use]
pub fn best_intervals(intervals: &[(Option<Torque>, Option<Torque>)]) -> Vec<TorqueInterval> {
    let pieces = sweep(intervals);
    let most = pieces.iter().map(|piece| piece.issuers).max().unwrap_or(0);
    pieces.into_iter().filter(|piece| most > 0 && piece.issuers == most).collect()
}

/// The stretches of a sweep that at least `least` intervals allow.
pub(super) fn intervals_with(pieces: &[TorqueInterval], least: usize) -> Vec<TorqueInterval> {
    let mut joined: Vec<TorqueInterval> = Vec::new();
    for piece in pieces.iter().filter(|piece| piece.issuers >= least) {
        match joined.last_mut() {
            Some(last) if last.high == piece.low => {
                last.high = piece.high;
                last.issuers = last.issuers.min(piece.issuers);
            }
            _ => joined.push(*piece),
        }
    }
    joined
}

/// The line cut at every interval end into points and open stretches, each with how many intervals allow all of it.
///
/// A point where one interval ends and another starts is allowed by both, so points are pieces of
/// their own; neighbours with equal counts are joined.
pub(super) fn sweep(intervals: &[(Option<Torque>, Option<Torque>)]) -> Vec<TorqueInterval> {
    let mut ends: Vec<Torque> = intervals.iter().flat_map(|(low, high)| [*low, *high]).flatten().collect();
    ends.sort_by(|a, b| a.value.total_cmp(&b.value));
    ends.dedup();
    let count = |low: Option<Torque>, high: Option<Torque>| {
        intervals
            .iter()
            .filter(|(l, h)| {
                let from = l.is_none() || low.is_some_and(|low| Some(low) >= *l);
                let to = h.is_none() || high.is_some_and(|high| h.is_some_and(|h| high <= h));
                from && to
            })
            .count()
    };
    let mut cuts: Vec<(Option<Torque>, Option<Torque>)> = vec![(None, ends.first().copied())];
    for (index, end) in ends.iter().enumerate() {
        cuts.push((Some(*end), Some(*end)));
        cuts.push((Some(*end), ends.get(index + 1).copied()));
    }
    let mut pieces: Vec<TorqueInterval> = Vec::new();
    for (low, high) in cuts {
        let piece = TorqueInterval { low, high, issuers: count(low, high) };
        match pieces.last_mut() {
            Some(last) if last.issuers == piece.issuers && (last.high == piece.low) => last.high = piece.high,
            _ => pieces.push(piece),
        }
    }
    pieces
}

/// What the evidence of an entry amounts to (`specs/rules.md`, "Band and core" and "States").
pub fn consensus(claims: &[impl AsRef<Claim>]) -> Consensus {
    let ranges = issuer_ranges(claims);
    let ends = |range: &IssuerRange| (range.low, range.high);
    let intervals: Vec<_> = ranges.iter().map(ends).collect();
    let majority = intervals_with(&sweep(&intervals), ranges.len() / 2 + 1);
    let stretches = best_intervals(&intervals);
    let orientation = if ranges.is_empty() { Orientation::of(claims) } else { None };
    let (state, band) = match majority.as_slice() {
        _ if orientation.is_some() => (BandState::Unconfirmed, None),
        _ if ranges.is_empty() => (BandState::None, None),
        [band] => (state_of(band, &ranges), Some(*band)),
        _ => (BandState::Disputed, None),
    };
    let band = if state == BandState::Disputed { None } else { band };
    Consensus {
        state,
        backing: (state == BandState::Thin).then(|| Backing::of(claims)),
        dissent: band.filter(|_| state == BandState::Agreed).and_then(|band| Dissent::of(&band, &ranges)),
        orientation,
        core: band.and(if let [core] = stretches.as_slice() { Some(*core) } else { None }),
        spec: band.and_then(|band| spec_of(band, &ranges)),
        band,
        stretches,
        issuers: ranges.len(),
        own: ranges.iter().filter(|range| range.own).count(),
        resolution: ranges
            .iter()
            .map(|range| range.resolution)
            .min_by(|a, b| a.0.value.total_cmp(&b.0.value)),
    }
}

/// Thin on the word of one issuer, or of several that were all read at second hand; agreed when one issuer's own figure
/// meets another issuer in the band. Where an issuer's own figure lies beside what a majority repeats, it is disputed.
fn state_of(band: &TorqueInterval, ranges: &[IssuerRange]) -> BandState {
    let meets = |range: &IssuerRange| {
        let low = [range.low, band.low].into_iter().flatten().reduce(Torque::max);
        let high = [range.high, band.high].into_iter().flatten().reduce(Torque::min);
        low.zip(high).is_none_or(|(low, high)| low <= high)
    };
    let mut own = ranges.iter().filter(|range| range.first_kind).peekable();
    if ranges.len() < 2 || own.peek().is_none() {
        return BandState::Thin;
    }
    // Each value of a band that several speak of is allowed by two of them at least.
    if own.any(meets) { BandState::Agreed } else { BandState::Disputed }
}

/// Whether a range is narrower than the deviation that a single value at its middle allows: no conforming wrench could
/// hold it.
fn is_sliver(low: Torque, high: Torque) -> bool {
    let middle = (low + high) / 2.0;
    more_than(middle * (2.0 * permitted_deviation(middle)), high - low)
}

/// The form in which a band is judged.
fn spec_of(band: TorqueInterval, ranges: &[IssuerRange]) -> Option<Spec> {
    if let [IssuerRange { set_value: Some(value), .. }] = ranges {
        return Some(Spec::Set(*value));
    }
    match (band.low, band.high) {
        (Some(low), Some(high)) if is_sliver(low, high) => Some(Spec::Set((low + high) / 2.0)),
        (Some(low), Some(high)) => Some(Spec::Range { low, high }),
        (None, Some(max)) => Some(Spec::Ceiling(max)),
        (Some(min), None) => Some(Spec::Floor(min)),
        (None, None) => None,
    }
}

#[cfg(test)]
#[path = "band_tests.rs"]
mod tests;
