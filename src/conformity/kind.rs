//! The kinds of reading, and what each can say (`specs/rules.md`, "Kinds of reading").
//!
//! A click on a standing bolt shows only that the torque to start it again is at least the setting. It
//! says nothing of the tension, nor whether the bolt was over-tightened: no ratio between a re-check
//! and the tightening holds across joints. A re-check is therefore never judged as a tightening.

use super::{Decision, Doubt, Instrument, Limits, Verdict, judge};
use crate::quantity::Torque;
use crate::quantity::tolerance::{at_least, more_than};
use crate::words::words;

words! {
    /// How a value came about.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Kind: text {
        /// Tightened to the value.
        Tightened = "tightened",
        /// Wrench set to the value, tightening direction, no movement.
        Held = "held",
        /// The bolt turned at the value while it was checked: a finding.
        Moved = "moved",
        /// The torque at which it came loose.
        Loosening = "loosening",
        /// Marked, loosened, and tightened until back at the mark.
        BackToMark = "back-to-mark",
        /// Tightened by hand only.
        ByHand = "by-hand",
        /// Not checked.
        Skipped = "skipped",
        /// Read with a gauge: a thickness, a wear, a pressure. No wrench had a part in it.
        Measured = "measured",
    }
}

impl Kind {
    pub(crate) fn has_torque(self) -> bool {
        !matches!(self, Kind::ByHand | Kind::Skipped | Kind::Measured)
    }

    /// Whether a line of it has a value: a torque, or what was measured.
    pub(crate) fn has_value(self) -> bool {
        self.has_torque() || self == Kind::Measured
    }

    /// Whether the bolt was turned anticlockwise while the torque was read: a left-hand thread is tightened so,
    /// and a loosening torque is read the other way round.
    pub(crate) fn turns_anticlockwise(self, left_hand_thread: bool) -> bool {
        left_hand_thread != (self == Kind::Loosening)
    }
}

/// What a re-check or a missing torque shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Finding {
    /// It held: the torque to start it again is still at least this.
    HeldAtLeast {
        /// The setting.
        torque: Torque,
        /// Whether the setting reached the lower limit; none where no lower limit is known.
        reaches_low: Option<bool>,
        /// Whether the setting was above the upper limit, where a check has nothing to look for.
        above_high: bool,
    },
    /// It turned: look for the cause, then tighten anew and log that as its own reading.
    MovedAt {
        /// The torque at which it moved.
        torque: Torque,
    },
    /// A torque that is kept but not compared with the limits.
    Noted {
        /// Loosening or back-to-mark.
        kind: Kind,
        /// The torque.
        torque: Torque,
    },
    /// No torque was measured.
    NoTorque {
        /// By hand, skipped or measured with a gauge.
        kind: Kind,
    },
}

/// What is said of a reading of any kind.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// A tightening, judged.
    Judged(Verdict),
    /// Anything else.
    ReCheck {
        /// What it shows.
        finding: Finding,
        /// Why the wrench cannot be believed, if so.
        doubts: Vec<Doubt>,
    },
}

impl Outcome {
    /// What it comes to: as its label for a tightening; good for a bolt that held at the lower limit
    /// or more, bad for one that moved, undecided for what decides nothing or rests on a doubtful wrench.
    pub(crate) fn decision(&self) -> Decision {
        match self {
            Outcome::Judged(verdict) => verdict.label.decision(),
            Outcome::ReCheck { finding: Finding::MovedAt { .. }, .. } => Decision::Bad,
            Outcome::ReCheck {
                finding: Finding::HeldAtLeast { reaches_low: Some(true), above_high: false, .. },
                doubts,
            } if doubts.is_empty() => Decision::Good,
            Outcome::ReCheck { .. } => Decision::Undecided,
        }
    }
}

/// What a reading that is not judged shows, given the limits that are known; none for a tightening.
#[must_use]
pub fn finding(kind: Kind, low: Option<Torque>, high: Option<Torque>, torque: Torque) -> Option<Finding> {
    match kind {
        Kind::Tightened => None,
        Kind::Held => {
            let reaches_low = low.map(|low| at_least(torque, low));
            let above_high = high.is_some_and(|high| more_than(torque, high));
            Some(Finding::HeldAtLeast { torque, reaches_low, above_high })
        }
        Kind::Moved => Some(Finding::MovedAt { torque }),
        Kind::Loosening | Kind::BackToMark => Some(Finding::Noted { kind, torque }),
        Kind::ByHand | Kind::Skipped | Kind::Measured => Some(Finding::NoTorque { kind }),
    }
}

/// Says what a reading of any kind shows. The torque of a kind without one is not looked at.
pub fn assess(
    kind: Kind,
    limits: Option<&Limits>,
    torque: Torque,
    instrument: &Instrument,
    doubts: &[Doubt],
) -> Outcome {
    let (low, high) = (limits.and_then(Limits::low), limits.and_then(Limits::high));
    let Some(finding) = finding(kind, low, high, torque) else {
        return Outcome::Judged(judge(limits, torque, instrument, doubts));
    };
    Outcome::ReCheck { finding, doubts: if kind.has_torque() { doubts.to_vec() } else { Vec::new() } }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conformity::Uncalibrated;
    use crate::conformity::{Accuracy, Deviation};
    use crate::quantity::{Spec, newton_metres as nm};

    fn outcome(kind: Kind, torque: f64, doubts: &[Doubt]) -> Outcome {
        let limits = Limits::new(Spec::range_nm(4.0, 6.0));
        let wrench = Instrument::of_accuracy(Accuracy::given(Deviation::SIX_PERCENT));
        assess(kind, Some(&limits), nm(torque), &wrench, doubts)
    }

    #[test]
    fn only_a_tightening_is_judged() {
        for kind in Kind::ALL {
            let judged = matches!(outcome(kind, 9.0, &[]), Outcome::Judged(_));
            assert_eq!(judged, kind == Kind::Tightened, "{}", kind.text());
            assert_eq!(Kind::parse(&kind.text().to_uppercase()), Some(kind));
        }
        assert_eq!(Kind::parse("tight"), None);
    }

    #[test]
    fn a_bolt_that_held_at_the_lower_limit_is_good_and_one_that_moved_is_a_finding() {
        let held = outcome(Kind::Held, 4.0, &[]);
        let finding = Finding::HeldAtLeast { torque: nm(4.0), reaches_low: Some(true), above_high: false };
        assert_eq!(held, Outcome::ReCheck { finding, doubts: vec![] });
        assert_eq!(held.decision(), Decision::Good);
        assert_eq!(outcome(Kind::Held, 3.5, &[]).decision(), Decision::Undecided);
        assert_eq!(outcome(Kind::Held, 8.0, &[]).decision(), Decision::Undecided);
        assert_eq!(
            outcome(Kind::Held, 4.0, &[Doubt::Uncalibrated(Uncalibrated::Never)]).decision(),
            Decision::Undecided
        );
        assert_eq!(outcome(Kind::Moved, 4.0, &[]).decision(), Decision::Bad);
        for kind in [Kind::Loosening, Kind::BackToMark, Kind::ByHand, Kind::Skipped, Kind::Measured] {
            assert_eq!(outcome(kind, 5.0, &[]).decision(), Decision::Undecided);
        }
    }

    #[test]
    fn a_bolt_that_held_against_a_ceiling_proves_nothing_about_it() {
        let ceiling = Limits::new(Spec::Ceiling(nm(5.0)));
        let wrench = Instrument::of_accuracy(Accuracy::given(Deviation::SIX_PERCENT));
        let held = assess(Kind::Held, Some(&ceiling), nm(4.0), &wrench, &[]);
        assert_eq!(held.decision(), Decision::Undecided);
    }
}
