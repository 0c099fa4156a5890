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
