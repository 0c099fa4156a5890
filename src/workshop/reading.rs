//! One line of the log: what was read or found on one bolt of one joint.

use super::LocalInstant;
use crate::conformity::Kind;
use crate::quantity::{self, Measure, Number, Torque};

/// What was found by hand, eye or ear, in the trade's words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Finding {
    /// Nothing amiss: no play, turns freely, quiet, sits tight.
    Fine,
    /// Loose.
    Loose,
    /// Does not turn freely.
    Drags,
    /// Makes a noise under load.
    Creaks,
    /// Cannot be moved.
    Seized,
    /// A crack, soft spot or white line.
    Cracked,
    /// Play.
    Play,
    /// Worn out or rounded.
    Worn,
}

/// What was done about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Action {
    /// Nothing.
    None,
    /// Tightened again.
    ReTightened,
    /// Taken out, cleaned, locked anew.
    ReLocked,
    /// Part or bolt replaced.
    Replaced,
    /// Handed to a qualified mechanic.
    HandedOver,
}

const FINDINGS: &[(Finding, &str)] = &[
    (Finding::Fine, "fine"),
    (Finding::Loose, "loose"),
    (Finding::Drags, "drags"),
    (Finding::Creaks, "creaks"),
    (Finding::Seized, "seized"),
    (Finding::Cracked, "cracked"),
    (Finding::Play, "play"),
    (Finding::Worn, "worn"),
];

const ACTIONS: &[(Action, &str)] = &[
    (Action::None, "none"),
    (Action::ReTightened, "re-tightened"),
    (Action::ReLocked, "re-locked"),
    (Action::Replaced, "replaced"),
    (Action::HandedOver, "handed-over"),
];

fn word_of<T: PartialEq>(words: &[(T, &'static str)], wanted: &T) -> &'static str {
    words.iter().find(|(value, _)| value == wanted).map_or("", |(_, word)| word)
}

fn meant<T: Copy>(words: &[(T, &'static str)], text: &str) -> Option<T> {
    words.iter().find(|(_, word)| word.eq_ignore_ascii_case(text.trim())).map(|(value, _)| *value)
}

impl Finding {
    /// Every word, for help and diagnostics.
    #[must_use]
    pub fn words() -> String {
        FINDINGS.iter().map(|(_, word)| *word).collect::<Vec<_>>().join(", ")
    }

    /// The word of the log.
    #[must_use]
    pub fn text(self) -> &'static str {
        word_of(FINDINGS, &self)
    }

    /// The finding that a word stands for.
    #[must_use]
    pub fn parse(text: &str) -> Option<Finding> {
        meant(FINDINGS, text)
    }

    /// Whether something is amiss.
    #[must_use]
    pub fn is_fault(self) -> bool {
        self != Finding::Fine
    }

    /// Whether no tightening cures it: only a new part does.
    #[must_use]
    pub fn needs_new_part(self) -> bool {
        matches!(self, Finding::Cracked | Finding::Seized | Finding::Worn)
    }
}

impl Action {
    /// Every word, for help and diagnostics.
    #[must_use]
    pub fn words() -> String {
        ACTIONS.iter().map(|(_, word)| *word).collect::<Vec<_>>().join(", ")
    }

    /// The word of the log.
    #[must_use]
    pub fn text(self) -> &'static str {
        word_of(ACTIONS, &self)
    }

    /// The action that a word stands for.
    #[must_use]
    pub fn parse(text: &str) -> Option<Action> {
        meant(ACTIONS, text)
    }
}

/// What was read: a torque, or another measured value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Value {
    /// A torque as read.
    Torque(quantity::Reading),
    /// Another measured value as read.
    Measure(Measure),
}

impl Value {
    /// The number as read.
    #[must_use]
    pub fn number(self) -> Number {
        match self {
            Value::Torque(read) => read.number,
            Value::Measure(measure) => measure.number,
        }
    }

    /// The unit of the number.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Value::Torque(read) => read.unit.symbol(),
            Value::Measure(measure) => measure.unit.symbol(),
        }
    }
}

/// One line of the log as far as it decides anything.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Number of the line in the log; lines of one moment are in the order of their numbers.
    pub id: i64,
    /// Bolt, from 1.
    pub bolt: u16,
    /// When.
    pub at: LocalInstant,
    /// How the value came about.
    pub kind: Kind,
    /// The value, where one was read.
    pub value: Option<Value>,
    /// Name of the wrench, where one was named.
    pub wrench: Option<String>,
    /// What was found.
    pub finding: Option<Finding>,
    /// What was done.
    pub action: Option<Action>,
}

impl Reading {
    /// The torque, where one was read.
    #[must_use]
    pub fn torque(&self) -> Option<Torque> {
        self.as_read().map(|read| read.torque)
    }

    /// The torque as read.
    #[must_use]
    pub fn as_read(&self) -> Option<quantity::Reading> {
        match self.value {
            Some(Value::Torque(read)) => Some(read),
            _ => None,
        }
    }

    /// The measured value, where one was read that is no torque.
    #[must_use]
    pub fn measure(&self) -> Option<Measure> {
        match self.value {
            Some(Value::Measure(measure)) => Some(measure),
            _ => None,
        }
    }

    /// Whether a part was replaced or locked anew, which ends the history of what was there before.
    #[must_use]
    pub fn begins_anew(&self) -> bool {
        matches!(self.action, Some(Action::Replaced | Action::ReLocked))
    }
}
