//! The open joints of a bicycle, put together by what is to be done about them.

use crate::book::Check;
use crate::workshop::{Joint, JointVerdict, State};

/// What is to be done about an open joint, where the same is to be done about others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NextAct {
    /// Its own story: something is wrong with it.
    Alone,
    NoteMarking,
    Look,
    Measure,
    Tighten,
    CheckAgain,
}

impl NextAct {
    /// Those that are told of together, in their order.
    pub const TOGETHER: [NextAct; 5] =
        [NextAct::NoteMarking, NextAct::Look, NextAct::Measure, NextAct::Tighten, NextAct::CheckAgain];

    /// What is to be done, above the joints.
    pub fn title(self) -> &'static str {
        match self {
            NextAct::Alone => "Put right",
            NextAct::NoteMarking => "Note the marking",
            NextAct::Look => "Look over by hand",
            NextAct::Measure => "Measure",
            NextAct::Tighten => "Tighten and record",
            NextAct::CheckAgain => "Check again with the wrench",
        }
    }

    /// Whether a figure is to be noted, rather than something be done to the bicycle.
    pub fn is_noted(self) -> bool {
        self == NextAct::NoteMarking
    }

    /// What is to be done about a joint that is not sound.
    pub fn of(joint: &Joint, verdict: &JointVerdict) -> NextAct {
        match (verdict.state(), joint.check) {
            (State::NoValue, Check::Torque) if joint.damaged().next().is_none() => NextAct::NoteMarking,
            (State::NeverChecked | State::Due, Check::Function) => NextAct::Look,
            (State::NeverChecked | State::Due, Check::Measure) => NextAct::Measure,
            (State::NeverChecked, Check::Torque) => NextAct::Tighten,
            (State::Due, Check::Torque) => NextAct::CheckAgain,
            _ => NextAct::Alone,
        }
    }

    /// The command that does it for a bicycle.
    pub fn command(self, bike: &str) -> String {
        match self {
            NextAct::NoteMarking => format!(
                "read it on the part or ask its maker: `evenclamp bike joint edit {bike} JOINT… --marking …`, or all \
                 in a table: `evenclamp bike sheet {bike} --to {bike}.csv`"
            ),
            _ => format!("`evenclamp visit {bike} --round open` leads through these, with settings"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workshop::{Judgement, Marking, Name, Why, governing};

    fn act(state: State, check: Check, marking: &str) -> NextAct {
        let mut joint = Joint { check, ..Joint::named(Name::new("clamp").unwrap()) };
        let markings = [marking].into_iter().filter(|text| !text.is_empty());
        joint.figures.markings = markings.map(Marking::typed).collect();
        let worst = Judgement { state, why: Why::Nothing, bolt: 1, at: None };
        let governing = governing(&joint, None);
        NextAct::of(&joint, &JointVerdict { worst, bolts_without: Vec::new(), governing, wear: None })
    }

    /// What was never done or is due is done by its own means; what is wrong is told alone.
    #[test]
    fn what_needs_the_same_act_is_told_together_and_what_is_wrong_alone() {
        for (state, check, marking, expected) in [
            (State::NeverChecked, Check::Function, "", NextAct::Look),
            (State::Due, Check::Function, "", NextAct::Look),
            (State::NeverChecked, Check::Measure, "", NextAct::Measure),
            (State::Due, Check::Measure, "", NextAct::Measure),
            (State::NeverChecked, Check::Torque, "5 N·m", NextAct::Tighten),
            (State::Due, Check::Torque, "5 N·m", NextAct::CheckAgain),
            (State::NoValue, Check::Torque, "", NextAct::NoteMarking),
            // A marking was noted: it is to be read anew, which says more than that there is none.
            (State::NoValue, Check::Torque, "max five", NextAct::Alone),
            (State::NoValue, Check::Measure, "", NextAct::Alone),
            (State::Fault, Check::Function, "", NextAct::Alone),
            (State::Low, Check::Torque, "5 N·m", NextAct::Alone),
            (State::Moved, Check::Torque, "5 N·m", NextAct::Alone),
        ] {
            assert_eq!(act(state, check, marking), expected, "{state:?} {check:?} {marking}");
        }
    }
}
