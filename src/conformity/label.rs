//! The word a reading is given, and the side it leans to.

use std::fmt;

/// What anything that is judged comes to: a reading, a joint, a bicycle, a log.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Decision {
    /// All is well.
    Good,
    /// Outside, unfit, or nothing found.
    Bad,
    /// It cannot be decided.
    Undecided,
}

/// What is said of a reading (`specs/rules.md`, "Labels").
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Label {
    /// At least U inside every limit; for a set value, within the deviation it allows.
    Inside,
    /// Below the lower limit by more than U.
    Low,
    /// Above the upper limit by more than U.
    High,
    /// Within U of a limit: the wrench cannot tell which side.
    TooClose,
    /// This wrench cannot decide it, or there is nothing to decide it by.
    NotSettled,
}

impl Label {
    /// The word printed for the label.
    #[must_use]
    pub fn text(self) -> &'static str {
        match self {
            Label::Inside => "inside",
            Label::Low => "low",
            Label::High => "high",
            Label::TooClose => "too close",
            Label::NotSettled => "not settled",
        }
    }

    /// What the label comes to.
    #[must_use]
    pub fn decision(self) -> Decision {
        match self {
            Label::Inside => Decision::Good,
            Label::Low | Label::High => Decision::Bad,
            Label::TooClose | Label::NotSettled => Decision::Undecided,
        }
    }
}

impl fmt::Display for Label {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.text())
    }
}

/// The low or the high side of what is specified.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Side {
    /// Below the lower limit.
    Low,
    /// Above the upper limit.
    High,
}

impl Side {
    /// `low` or `high`.
    #[must_use]
    pub fn text(self) -> &'static str {
        match self {
            Side::Low => "low",
            Side::High => "high",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_and_decisions_are_those_of_the_contract() {
        let all = [Label::Inside, Label::Low, Label::High, Label::TooClose, Label::NotSettled];
        let [good, bad, open] = [Decision::Good, Decision::Bad, Decision::Undecided];
        assert_eq!(all.map(Label::decision), [good, bad, bad, open, open]);
        assert_eq!(all.map(Label::text), ["inside", "low", "high", "too close", "not settled"]);
    }
}
