//! The word a reading is given, and the side it leans to.

use crate::words::words;

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

words! {
    /// What is said of a reading (`specs/rules.md`, "Labels").
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Label: text {
        /// At least U inside every limit; for a set value, within the deviation it allows.
        Inside = "inside",
        /// Below the lower limit by more than U.
        Low = "low",
        /// Above the upper limit by more than U.
        High = "high",
        /// Within U of a limit: the wrench cannot tell which side.
        TooClose = "too close",
        /// This wrench cannot decide it, or there is nothing to decide it by.
        NotSettled = "not settled",
    }
}

impl Label {
    pub(crate) fn decision(self) -> Decision {
        match self {
            Label::Inside => Decision::Good,
            Label::Low | Label::High => Decision::Bad,
            Label::TooClose | Label::NotSettled => Decision::Undecided,
        }
    }
}

words! {
    /// The low or the high side of what is specified.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Side: text {
        /// Below the lower limit.
        Low = "low",
        /// Above the upper limit.
        High = "high",
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
