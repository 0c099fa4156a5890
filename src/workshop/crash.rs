//! After a crash a bicycle is not fit before the parts that may have cracked or bent were looked over by hand
//! (`specs/rules.md`, "After a crash"), whether it has checks for them or not.

use super::lacking::stands_for;
use super::{Joint, JointVerdict, LocalInstant, Renamed, State};
use crate::book::Check;

/// The hand checks that are asked for after a crash; the cockpit is bar and stem. Common practice: a crash bends and
/// cracks what is hit and what bears the rider, and a torque shows nothing of it.
const PARTS: [&str; 7] = ["frame", "fork", "cockpit", "seat-post", "wheel-front", "wheel-rear", "pedals"];

/// The newest crash, and what nobody has examined since.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Unexamined {
    pub(crate) crash: LocalInstant,
    /// Names of hand checks; the bicycle may lack some of them.
    pub(crate) parts: Vec<&'static str>,
}

/// What was not examined since the newest crash; none without a crash, or where all was.
pub(super) fn unexamined(
    crash: Option<LocalInstant>,
    joints: &[(Joint, JointVerdict)],
    renamed: &[Renamed],
) -> Option<Unexamined> {
    let crash = crash?;
    let examined = |part: &str| {
        joints.iter().any(|(joint, verdict)| {
            joint.check == Check::Function
                && stands_for(joint.name.text(), part, renamed)
                && matches!(verdict.state(), State::Sound | State::Due)
                && verdict.worst.at.is_some_and(|at| at > crash)
        })
    };
    let parts: Vec<&'static str> = PARTS.into_iter().filter(|part| !examined(part)).collect();
    (!parts.is_empty()).then_some(Unexamined { crash, parts })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workshop::joint::tests::at;
    use crate::workshop::{Judgement, Name, Why, governing};

    fn looked_over(check: Check, part: &str, (state, when): (State, &str)) -> (Joint, JointVerdict) {
        let joint = Joint { check, ..Joint::named(Name::new(part).unwrap()) };
        let worst = Judgement { state, why: Why::Nothing, bolt: 1, at: Some(at(when)) };
        let governing = governing(&joint, None);
        (joint, JointVerdict { worst, bolts_without: vec![], governing, wear: None })
    }

    /// What is left open where all parts were looked over since, but for the frame.
    fn open(check: Check, frame: (State, &str)) -> Vec<&'static str> {
        let others = PARTS.into_iter().skip(1);
        let others =
            others.map(|part| looked_over(Check::Function, part, (State::Sound, "2026-06-11 09:00")));
        let joints: Vec<_> = others.chain([looked_over(check, "Frame", frame)]).collect();
        assert_eq!(unexamined(None, &joints, &[]), None, "there was no crash");
        unexamined(Some(at("2026-06-10 12:00")), &joints, &[]).map(|open| open.parts).unwrap_or_default()
    }

    #[test]
    fn a_part_is_examined_by_a_good_hand_check_that_is_newer_than_the_crash() {
        for (check, frame, wanted) in [
            (Check::Function, (State::Sound, "2026-06-10 12:01"), vec![]),
            (Check::Function, (State::Due, "2026-06-10 12:01"), vec![]),
            (Check::Function, (State::Sound, "2026-06-10 12:00"), vec!["frame"]),
            (Check::Function, (State::Fault, "2026-06-10 12:01"), vec!["frame"]),
            (Check::Torque, (State::Sound, "2026-06-10 12:01"), vec!["frame"]),
        ] {
            assert_eq!(open(check, frame), wanted, "{check:?} {frame:?}");
        }
    }
}
