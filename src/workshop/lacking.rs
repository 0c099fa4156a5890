//! The hand checks that every bicycle of a kind has, and one of them lacks: nobody would be asked for what is not there
//! (`specs/rules.md`, "Hand checks").

use super::{Before, Joint, Less, Renamed, TakenOff};
use crate::book::Check;

/// What is put behind the name of a hand check where a joint that is tightened has that name.
pub(crate) const BY_HAND: &str = "-by-hand";

/// The hand checks of parts that no bicycle is without: they are never those of a part that is not fitted.
const NEVER_WITHOUT: [&str; 9] = [
    "frame",
    "fork",
    "cockpit",
    "steering",
    "wheel-front",
    "wheel-rear",
    "tyre-front",
    "tyre-rear",
    "pedals",
];

/// How the hand checks of brakes are called.
const BRAKING: &str = "braking-";

/// Whether a hand check of a name is the one that is called `standard` on other bicycles: by its own name, or by one that
/// it had before it was renamed.
pub(super) fn stands_for(name: &str, standard: &str, renamed: &[Renamed]) -> bool {
    let is = |name: &str| {
        let (start, end) = name.split_at_checked(standard.len()).unwrap_or((name, ""));
        start.eq_ignore_ascii_case(standard) && (end.is_empty() || end.eq_ignore_ascii_case(BY_HAND))
    };
    is(name) || renamed.iter().any(|renamed| renamed.to.eq_ignore_ascii_case(name) && is(&renamed.from))
}

/// Whether a bicycle may be without the part of a hand check.
pub(crate) fn may_be_without(check: &str) -> bool {
    !NEVER_WITHOUT.iter().any(|part| stands_for(check, part, &[]))
}

/// Which of the hand checks of its kind a bicycle lacks, in their order. One that was taken off is not lacking: it is
/// told with who did it and why.
pub(super) fn lacking(of_kind: &[String], joints: &[&Joint], before: &Before) -> Vec<String> {
    let is_there = |name: &&String| {
        looks_at(joints, name, before) || hand_checks(before).any(|taken| is_of(taken, name, before))
    };
    of_kind.iter().filter(|name| !is_there(name)).cloned().collect()
}

/// Which of the hand checks of its kind were taken off a bicycle or decide no more. They are a condition of its verdict,
/// whatever the reason was: nobody looks there any more. Where there is no such part, nobody has to, as long as one brake
/// is looked at.
pub(super) fn waived(of_kind: &[String], joints: &[&Joint], before: &Before) -> Vec<String> {
    let has_brake = of_kind.iter().any(|name| {
        name.starts_with(BRAKING) && looks_at(joints, name, before) && !decides_no_more(name, before)
    });
    let is_waived = |name: &&String| {
        hand_checks(before).any(|taken| {
            is_of(taken, name, before)
                && match taken.less {
                    Less::TakenOff | Less::DecidesNoMore => true,
                    Less::NotFitted => !may_be_without(name) || (name.starts_with(BRAKING) && !has_brake),
                    Less::FewerBolts { .. } => false,
                }
        })
    };
    of_kind.iter().filter(is_waived).cloned().collect()
}

/// Whether one of the joints is the hand check of a name.
fn looks_at(joints: &[&Joint], name: &str, before: &Before) -> bool {
    joints
        .iter()
        .any(|joint| joint.check == Check::Function && stands_for(joint.name.text(), name, &before.renamed))
}

fn decides_no_more(name: &str, before: &Before) -> bool {
    hand_checks(before).any(|taken| taken.less == Less::DecidesNoMore && is_of(taken, name, before))
}

fn hand_checks(before: &Before) -> impl Iterator<Item = &TakenOff> {
    before.taken_off.iter().filter(|taken| taken.check == Check::Function)
}

fn is_of(taken: &TakenOff, name: &str, before: &Before) -> bool {
    stands_for(&taken.joint, name, &before.renamed)
}

#[cfg(test)]
#[path = "lacking_tests.rs"]
mod tests;
