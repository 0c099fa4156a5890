//! The hand checks that every bicycle of a kind has, and one of them lacks: nobody would be asked for what is not there
//! (`specs/rules.md`, "Hand checks").

use super::{Joint, Less, TakenOff};
use crate::book::Check;

/// Which of the hand checks of its kind a bicycle lacks, in their order. One that was taken off is not lacking: it is
/// told with who did it and why.
pub(super) fn lacking<'a>(
    of_kind: &[String],
    joints: impl Iterator<Item = &'a Joint>,
    taken_off: &[TakenOff],
) -> Vec<String> {
    let checks = joints.filter(|joint| joint.check == Check::Function).map(|joint| joint.name.text());
    let there: Vec<&str> = checks.chain(taken_off.iter().map(|taken| taken.joint.as_str())).collect();
    let is_there = |name: &str| there.iter().any(|known| known.eq_ignore_ascii_case(name));
    of_kind.iter().filter(|name| !is_there(name)).cloned().collect()
}

/// Which of the hand checks of its kind were taken off a bicycle or decide no more. They are a condition of its verdict,
/// whatever the reason was: nobody looks there any more.
pub(super) fn waived(of_kind: &[String], taken_off: &[TakenOff]) -> Vec<String> {
    let gone = |taken: &&TakenOff| matches!(taken.less, Less::TakenOff | Less::DecidesNoMore);
    let gone: Vec<&str> = taken_off.iter().filter(gone).map(|taken| taken.joint.as_str()).collect();
    of_kind.iter().filter(|name| gone.iter().any(|known| known.eq_ignore_ascii_case(name))).cloned().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workshop::{LocalInstant, Name};

    /// A fork that is tightened to a torque was not looked at.
    #[test]
    fn only_a_hand_check_of_the_name_is_one_that_is_there() {
        let joint = |check| Joint { check, ..Joint::named(Name::new("Fork").unwrap()) };
        let taken = TakenOff {
            joint: "fork".into(),
            less: Less::TakenOff,
            at: LocalInstant::BLANK,
            who: String::new(),
            why: "rigid".into(),
        };
        let lacks = |joints: &[Joint], taken: &[TakenOff]| {
            !lacking(&["fork".to_owned()], joints.iter(), taken).is_empty()
        };
        assert!(
            lacks(&[], &[]) && lacks(&[joint(Check::Torque)], &[]) && lacks(&[joint(Check::Measure)], &[])
        );
        assert!(!lacks(&[joint(Check::Function)], &[]) && !lacks(&[], &[taken]));
    }
}
