//! One line of the log: what was read or found on one bolt of one joint.

use super::LocalInstant;
use crate::conformity::Kind;
use crate::quantity::{self, Measure, Number, Torque};
use crate::words::words;

words! {
    /// What was found by hand, eye or ear, in the trade's words.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Finding: text {
        /// Nothing amiss: no play, turns freely, quiet, sits tight.
        Fine = "fine",
        Loose = "loose",
        /// Does not turn freely.
        Drags = "drags",
        Creaks = "creaks",
        /// Cannot be moved.
        Seized = "seized",
        /// A crack, soft spot or white line.
        Cracked = "cracked",
        Play = "play",
        /// Worn out or rounded.
        Worn = "worn",
        /// Out of true, or dented.
        Bent = "bent",
        /// In two, or missing a piece; a spoke too.
        Broken = "broken",
        /// Into a tyre, a hose, a lead.
        Cut = "cut",
        Leaks = "leaks",
        Rubs = "rubs",
    }
}

words! {
    /// What was done about it.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Action: text {
        None = "none",
        ReTightened = "re-tightened",
        /// Taken out, cleaned, locked anew.
        ReLocked = "re-locked",
        Replaced = "replaced",
        /// Handed to a qualified mechanic.
        HandedOver = "handed-over",
    }
}

impl Finding {
    pub(crate) fn is_fault(self) -> bool {
        self != Finding::Fine
    }

    /// Whether no tightening cures it: only a new part does.
    pub(crate) fn needs_new_part(self) -> bool {
        matches!(
            self,
            Finding::Cracked
                | Finding::Seized
                | Finding::Worn
                | Finding::Bent
                | Finding::Broken
                | Finding::Cut
        )
    }
}

/// What was read: a torque, or another measured value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Value {
    Torque(quantity::Reading),
    Measure(Measure),
}

impl Value {
    pub(crate) fn number(self) -> Number {
        match self {
            Value::Torque(read) => read.number,
            Value::Measure(measure) => measure.number,
        }
    }

    pub(crate) fn symbol(self) -> &'static str {
        match self {
            Value::Torque(read) => read.unit.symbol(),
            Value::Measure(measure) => measure.unit.symbol(),
        }
    }
}

/// One line of the log.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Number of the line in the log; lines of one moment are in the order of their numbers.
    pub id: i64,
    /// Bolt, from 1.
    pub bolt: u16,
    pub at: LocalInstant,
    pub kind: Kind,
    pub value: Option<Value>,
    /// Name of the wrench, where one was named.
    pub wrench: Option<String>,
    pub finding: Option<Finding>,
    pub action: Option<Action>,
    /// Who read it, or empty; as what follows, read from the log only where it is shown.
    pub who: String,
    pub note: String,
    pub corrects: Option<i64>,
}

impl Reading {
    /// A line about the first bolt that says no more than when and how.
    pub(crate) fn new(at: LocalInstant, kind: Kind) -> Reading {
        Reading {
            id: 0,
            bolt: 1,
            at,
            kind,
            value: None,
            wrench: None,
            finding: None,
            action: None,
            who: String::new(),
            note: String::new(),
            corrects: None,
        }
    }

    pub(crate) fn torque(&self) -> Option<Torque> {
        self.as_read().map(|read| read.torque)
    }

    pub(crate) fn as_read(&self) -> Option<quantity::Reading> {
        match self.value {
            Some(Value::Torque(read)) => Some(read),
            _ => None,
        }
    }

    /// The measured value, where one was read that is no torque.
    pub(crate) fn measure(&self) -> Option<Measure> {
        match self.value {
            Some(Value::Measure(measure)) => Some(measure),
            _ => None,
        }
    }

    pub(crate) fn is_tightening(&self) -> bool {
        self.kind == Kind::Tightened && self.torque().is_some()
    }

    /// The number of the reading that the line takes back, where it says nothing else.
    pub(crate) fn strikes(&self) -> Option<i64> {
        let says_more = self.value.is_some() || self.finding.is_some() || self.action.is_some();
        self.corrects.filter(|_| self.kind == Kind::Skipped && !says_more)
    }

    /// What a line without a value is: what is found by hand, eye and ear is no tightening, and does not undo one. None
    /// where it says nothing at all.
    pub(crate) fn kind_without_value(&self) -> Option<Kind> {
        let says_something = self.finding.is_some() || self.action.is_some();
        match self.kind {
            Kind::Tightened | Kind::Measured => says_something.then_some(Kind::Skipped),
            kind => Some(kind),
        }
    }

    /// Whether a part was replaced or locked anew, which ends the history of what was there before.
    pub(crate) fn begins_anew(&self) -> bool {
        matches!(self.action, Some(Action::Replaced | Action::ReLocked))
    }
}
