//! What is counted, and how pieces add up. Everything is a whole number, so the order of adding does
//! not matter and the sum of pieces equals the whole to the bit.

use std::ops::AddAssign;

use serde::{Deserialize, Serialize};

use crate::conformity::{Decision, Finding, Label};
use crate::words::words;

macro_rules! counts {
    ($($(#[$doc:meta])+ $name:ident,)+) => {
        /// Rows by what was said of them.
        ///
        /// `inside + low + high + too_close + not_settled + rejected = rows`, always; rows that were left out are
        /// not among them. The counts after
        /// `rejected` say more about rows that are among these.
        #[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
        #[serde(default)]
        pub struct Counts {
            $($(#[$doc])+ pub $name: u64,)+
        }

        impl AddAssign for Counts {
            fn add_assign(&mut self, other: Counts) {
                $(self.$name += other.$name;)+
            }
        }
    };
}

counts! {
    /// Rows of the log; blank lines are none.
    rows,
    /// At least U inside every limit.
    inside,
    /// Below the lower limit by more than U.
    low,
    /// Above the upper limit by more than U.
    high,
    /// Within U of a limit.
    too_close,
    /// Not decided: by this wrench, without an agreed figure, or not a tightening.
    not_settled,
    /// Rows that cannot be read.
    rejected,
    /// High: too much for a bolt of a known class, whatever the limits say.
    too_much,
    /// Readings outside their limits that make sense in another unit or on another scale.
    unit_slips,
    /// Not settled: the wrench cannot be believed (scale, calibration, direction).
    in_doubt,
    /// Not settled: nothing is agreed to judge by.
    no_figure,
    /// Not settled: re-checks at which the bolt held, set at or above the lower limit and not above the upper.
    held,
    /// Not settled: re-checks at which it held below the lower limit, or set above the upper, or with a wrench in doubt.
    held_low,
    /// Not settled: re-checks at which it moved, a finding.
    moved,
    /// Not settled: loosening and back-to-mark torques.
    noted,
    /// Not settled: tightened by hand, or skipped.
    no_torque,
    /// Values without a unit, read as N·m.
    no_unit,
    /// Readings of a registered wrench without a day, judged as of the day of the audit.
    undated,
}

impl Counts {
    /// Counts tightenings with the same label; `doubted` tells whether their wrench is.
    pub(super) fn add_label(&mut self, label: Label, doubted: bool, times: u64) {
        self.rows += times;
        self.in_doubt += if doubted { times } else { 0 };
        match label {
            Label::Inside => self.inside += times,
            Label::Low => self.low += times,
            Label::High => self.high += times,
            Label::TooClose => self.too_close += times,
            Label::NotSettled => self.not_settled += times,
        }
    }

    /// Counts what a re-check shows; `doubted` tells whether its wrench is.
    pub(super) fn add_finding(&mut self, finding: Finding, doubted: bool) {
        self.rows += 1;
        self.not_settled += 1;
        match finding {
            Finding::HeldAtLeast { reaches_low: Some(true), above_high: false, .. } if !doubted => {
                self.held += 1;
            }
            Finding::HeldAtLeast { .. } => self.held_low += 1,
            Finding::MovedAt { .. } => self.moved += 1,
            Finding::Noted { .. } => self.noted += 1,
            Finding::NoTorque { .. } => self.no_torque += 1,
        }
    }

    /// What the whole comes to: bad where something is outside, moved or unreadable; else undecided where
    /// something is; else good.
    pub fn decision(&self) -> Decision {
        if self.low + self.high + self.moved + self.rejected > 0 {
            Decision::Bad
        } else if self.too_close + self.not_settled > self.held {
            Decision::Undecided
        } else {
            Decision::Good
        }
    }
}

words! {
    /// Why rows were rejected, counted.
    #[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
    #[serde(rename_all = "snake_case")]
    pub enum Fault: text {
        /// The row does not have the columns of the header.
        #[default]
        Columns = "not the columns of the header",
        /// A quote is not closed.
        Quote = "a quote is not closed",
        /// It names neither an entry nor a joint.
        NoEntry = "neither an entry nor a joint",
        /// The book has no such entry.
        Entry = "unknown entry",
        /// The bicycle has no such joint.
        Joint = "unknown joint",
        /// No kind of reading is called that.
        Kind = "unknown kind of reading",
        /// The value is not one torque.
        Value = "not one torque",
        /// It shows nothing: zero, or less than the smallest division of its wrench.
        NoReading = "no reading",
        /// It would tear any bolt of its thread.
        TearsAny = "would tear any bolt of that thread",
        /// The day cannot be read.
        Day = "a day that cannot be read",
    }
}

words! {
    /// Why rows were left out: nothing is wrong with them, and no torque is in them that counts.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
    #[serde(rename_all = "snake_case")]
    pub enum LeftOut: text {
        /// Corrected or struck by a later row, or such a row that strikes another.
        Corrected = "corrected or struck",
        /// Of what is measured: a thickness, a wear, a pressure.
        Measure = "measured values, which are no torques",
        /// Of what is checked by hand, eye and ear.
        HandCheck = "checks by hand, eye and ear",
        /// A finding or re-check of a bolt without a torque.
        Finding = "findings without a torque",
    }
}

/// What became of a row that was not judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unjudged {
    Rejected(Fault),
    LeftOut(LeftOut),
}

impl From<Fault> for Unjudged {
    fn from(fault: Fault) -> Unjudged {
        Unjudged::Rejected(fault)
    }
}

impl From<LeftOut> for Unjudged {
    fn from(why: LeftOut) -> Unjudged {
        Unjudged::LeftOut(why)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_log_of_bolts_that_held_is_good_and_one_that_moved_is_bad() {
        let of = |change: fn(&mut Counts)| {
            let mut counts = Counts { rows: 1, ..Counts::default() };
            change(&mut counts);
            counts.decision()
        };
        assert_eq!(of(|c| c.inside = 1), Decision::Good);
        assert_eq!(of(|c| (c.not_settled, c.held) = (1, 1)), Decision::Good);
        assert_eq!(of(|c| (c.not_settled, c.held_low) = (1, 1)), Decision::Undecided);
        assert_eq!(of(|c| (c.not_settled, c.moved) = (1, 1)), Decision::Bad);
        assert_eq!(of(|c| c.too_close = 1), Decision::Undecided);
        assert_eq!(of(|c| c.rejected = 1), Decision::Bad);
        assert_eq!(Counts::default().decision(), Decision::Good);
    }
}
