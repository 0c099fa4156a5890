//! What is said of a joint, and why.

use super::losing::Losing;
use super::{DueWhy, Finding, LocalInstant};
use crate::conformity::{Decision, Doubt, Kind, Label, Probability, Side};
use crate::joint::Doubt as TooMuchTorque;
use crate::quantity::{self, Measure, MeasureLimit, Torque};
use crate::words::words;

words! {
    /// What is said of a joint (`specs/rules.md`, "Verdict on a joint"), the best first: the worst of its bolts decides.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
    pub enum State: text {
        /// Checked, and nothing against it.
        Sound = "sound",
        /// Its interval has passed, or something has happened since.
        Due = "due",
        /// Nothing was ever read.
        NeverChecked = "never checked",
        /// There is no figure to judge by.
        NoValue = "no value",
        /// The reading lies within U of a limit.
        TooClose = "too close",
        /// The wrench that read it cannot be believed.
        WrenchInDoubt = "wrench in doubt",
        /// It loses torque from check to check.
        Losing = "losing",
        /// It turned when it was checked, or was loosened, and was not tightened since.
        Moved = "moved",
        Low = "low",
        High = "high",
        /// A torque takes its bolt past what that bears.
        TooMuch = "too much for the bolt",
        /// Something was found by hand, eye or ear.
        Fault = "fault",
    }
}

impl State {
    /// Whether the joint is known to be bad, rather than not known to be good.
    pub(crate) fn is_bad(self) -> bool {
        self.decision() == Decision::Bad
    }

    pub(crate) fn decision(self) -> Decision {
        match self {
            State::Sound => Decision::Good,
            State::Due | State::NeverChecked | State::NoValue | State::TooClose | State::WrenchInDoubt => {
                Decision::Undecided
            }
            State::Losing | State::Moved | State::Low | State::High | State::TooMuch | State::Fault => {
                Decision::Bad
            }
        }
    }
}

/// Why a joint is in its state.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Why {
    /// The log has no line about it.
    Nothing,
    /// The newest lines say that it was skipped or done by hand.
    NoTorque(Kind),
    /// It held, but at less than the lower limit, which shows too little.
    HeldTooLow {
        torque: Torque,
    },
    /// It held, and no lower limit is known to hold it against.
    HeldAgainstNothing {
        torque: Torque,
    },
    /// It held, but the setting was above the upper limit: that shows no more than that it may be too
    /// tight.
    HeldTooHigh {
        torque: Torque,
    },
    NoFigure,
    Tightened {
        read: quantity::Reading,
        label: Label,
        lean: Option<Side>,
        chance: Option<Probability>,
        doubts: Vec<Doubt>,
        /// The range is narrower than this wrench can settle.
        narrow: bool,
        /// The side of which no limit is known.
        not_judged: Option<Side>,
        /// Whether the wrench is known: named and, as far as anybody knows, calibrated.
        known_wrench: bool,
    },
    /// It held at the lower limit or more.
    Held {
        read: quantity::Reading,
        doubts: Vec<Doubt>,
        known_wrench: bool,
    },
    /// It turned while it was checked.
    Moved {
        /// The torque at which it turned, where it was read.
        torque: Option<Torque>,
    },
    Loosened,
    /// A reading, or without one the figure that counts, is too much for the bolt.
    TooMuch {
        doubt: TooMuchTorque,
        read: bool,
    },
    Found(Finding),
    Losing(Losing),
    /// A measured value against its limit.
    Measured {
        measure: Measure,
        limit: MeasureLimit,
        word: String,
    },
    /// The makers' limits for a measured value differ, and the value lies between them.
    MakersDiffer {
        measure: Measure,
        limits: Vec<(MeasureLimit, String)>,
    },
    /// The interval has passed, or something has happened since.
    Due(DueWhy),
}

/// The state of one bolt or of a joint, with its basis.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    pub state: State,
    pub why: Why,
    /// The bolt that decides, from 1.
    pub bolt: u16,
    /// When the evidence was taken; none where there is none.
    pub at: Option<LocalInstant>,
}
