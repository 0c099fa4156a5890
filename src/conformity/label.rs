//! The word a reading is given, and the side it leans to.

use std::fmt;

/// What is said of a reading (design §5).
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

    /// The exit code: 0 good, 1 bad, 3 cannot be decided.
    #[must_use]
    pub fn exit_code(self) -> u8 {
        match self {
            Label::Inside => 0,
            Label::Low | Label::High => 1,
            Label::TooClose | Label::NotSettled => 3,
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
    fn words_and_exit_codes_are_those_of_the_contract() {
        let all = [Label::Inside, Label::Low, Label::High, Label::TooClose, Label::NotSettled];
        assert_eq!(all.map(Label::exit_code), [0, 1, 1, 3, 3]);
        assert_eq!(all.map(Label::text), ["inside", "low", "high", "too close", "not settled"]);
    }
}
