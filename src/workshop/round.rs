//! A round of a bicycle: which of its items are asked, in which order, and what is proposed for each
//! (`specs/rules.md`, "Rounds").

use super::{Joint, JointVerdict, Logged, State, WorkshopSnapshot};
use crate::book::{Rounds, TemplateJoint};
use crate::conformity::{Doubt, Kind, Limits};
use crate::quantity::Torque;
use crate::sequence::order;
use crate::wrench::{Use, Wrench, rank};

/// The rounds that ask for a joint: its own, else those of its name in the template of its kind of bicycle, else every
/// one where it decides safety.
pub(crate) fn rounds_of(joint: &Joint, template: &[TemplateJoint]) -> Rounds {
    let of_kind = || template.iter().find(|row| row.joint == joint.name.text()).and_then(|row| row.rounds);
    let unstated = if joint.critical { Rounds::ALL } else { Rounds::default() };
    joint.rounds.or_else(of_kind).unwrap_or(unstated)
}

/// What is to be done with a wrench at a joint.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Proposal<'a> {
    pub(crate) wrench: &'a Wrench,
    /// To tighten, or to see whether it holds.
    pub(crate) kind: Kind,
    /// As it stands on the scale of the wrench.
    pub(crate) setting: Torque,
    /// Whether the setting is above a set value, within what that allows.
    pub(crate) above_value: bool,
    /// Whether a reading at the setting would settle the matter.
    pub(crate) settles: bool,
    pub(crate) doubts: Vec<Doubt>,
}

/// What is proposed for a joint with each of the wrenches that can do it, the best first.
///
/// A bolt with evidence that stands, or stood until it was due, is checked at the lower limit, which adds no torque to one
/// that holds; every other is tightened, and so is one without a lower limit to hold it against.
pub(crate) fn proposals<'a>(
    verdict: &JointVerdict,
    wrenches: impl IntoIterator<Item = &'a Wrench>,
    usage: &Use<'_>,
) -> Vec<Proposal<'a>> {
    let governing = &verdict.governing;
    let Some(limits) = governing.limits.filter(|_| !governing.parts_apart) else { return Vec::new() };
    let stands = matches!(verdict.state(), State::Sound | State::Due) && verdict.worst.at.is_some();
    let ranked = rank(wrenches, &limits, usage).into_iter();
    let proposed = ranked.filter_map(|candidate| {
        let (wrench, settles) = (candidate.wrench, candidate.serves());
        let aim = governing.setting_on(wrench)?.ok()?;
        let lowest = lowest_mark(wrench, &limits).filter(|_| stands);
        let (kind, setting) = match lowest {
            Some(mark) => (Kind::Held, mark),
            None => (Kind::Tightened, aim.on_scale),
        };
        let above_value = aim.aim.above_value && kind == Kind::Tightened;
        Some(Proposal { wrench, kind, setting, above_value, settles, doubts: candidate.doubts })
    });
    proposed.collect()
}

/// The lowest mark of a wrench that reaches the lower limit and is no torque too high.
fn lowest_mark(wrench: &Wrench, limits: &Limits) -> Option<Torque> {
    wrench.settings(None).above(limits.low()?).filter(|mark| limits.contain(*mark))
}

/// Of what is proposed, what the wrench in the hand does, where it settles the matter, else what the best one does.
pub(crate) fn with_wrench<'p, 'a>(
    proposals: &'p [Proposal<'a>],
    in_hand: Option<&str>,
) -> Option<&'p Proposal<'a>> {
    let held = proposals.iter().find(|proposal| Some(proposal.wrench.name()) == in_hand);
    held.filter(|proposal| proposal.settles).or(proposals.first())
}

/// An item of a round as far as its turn depends on it.
pub(crate) struct Turn<'a> {
    /// Where it is on the bicycle.
    pub(crate) place: &'a str,
    /// The wrenches that serve it, the best first; none for what takes no wrench.
    pub(crate) wrenches: Vec<&'a str>,
}

/// The order in which items are asked, as indexes: the walk round the bicycle, but that neighbours at one place which
/// take a torque are grouped so that a wrench stays in the hand as long as it serves. What is checked by hand keeps its
/// turn, for a bearing may have to be free of play before its clamp is tightened.
pub(crate) fn in_turn(items: &[Turn<'_>]) -> Vec<usize> {
    let mut order = Vec::with_capacity(items.len());
    let mut in_hand = None;
    let mut start = 0;
    while let Some(first) = items.get(start) {
        let rest = items.get(start..).unwrap_or_default();
        let is_neighbour = |item: &&Turn<'_>| item.place == first.place && !item.wrenches.is_empty();
        let length = rest.iter().take_while(is_neighbour).count();
        let mut open: Vec<usize> = (start..start + length.max(1)).collect();
        start += open.len();
        if length == 0 {
            order.append(&mut open);
        }
        while let Some(&next) = open.first() {
            let serves = |index: &usize| items[*index].wrenches.iter().any(|name| Some(*name) == in_hand);
            if !open.iter().any(serves) {
                in_hand = items[next].wrenches.first().copied();
            }
            let serves = |index: &usize| items[*index].wrenches.iter().any(|name| Some(*name) == in_hand);
            let (now, later): (Vec<usize>, Vec<usize>) = open.into_iter().partition(serves);
            order.extend(now);
            open = later;
        }
    }
    order
}

/// The bolts of a joint that are still to be asked for, in the order of tightening, where this was said of it in the
/// round, by anybody. Where one turned or was loosened, all are asked for that were not tightened since.
pub(crate) fn open_bolts(joint: &Joint, said: &[Logged], workshop: &WorkshopSnapshot) -> Vec<u16> {
    let undoes = |logged: &&Logged| matches!(logged.reading.kind, Kind::Moved | Kind::Loosening);
    let since = said.iter().filter(undoes).map(|logged| logged.reading.id).max();
    let is_done = |bolt: &u16| {
        let mut of_bolt = said.iter().filter(|logged| logged.reading.bolt == *bolt);
        of_bolt.any(|logged| since.is_none_or(|since| logged.reading.id > since))
    };
    let hardware = workshop.hardware.get(&joint.entry);
    let layout = hardware.and_then(|hardware| joint.layout(&hardware.layout));
    let bolts: Vec<u16> = match layout {
        Some(layout) => order(&layout).into_iter().filter_map(|bolt| bolt.number().try_into().ok()).collect(),
        None => (1..=joint.bolts).collect(),
    };
    bolts.into_iter().filter(|bolt| !is_done(bolt)).collect()
}

/// Whether a joint lacks good evidence.
pub(crate) fn is_open(verdict: &JointVerdict) -> bool {
    verdict.state() != State::Sound
}

#[cfg(test)]
#[path = "round_tests.rs"]
mod tests;
