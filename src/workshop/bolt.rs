//! What the readings of one bolt say, the newest evidence first.
//!
//! A tightening is judged; a re-check is not, but what it shows counts: a bolt that turned or was
//! loosened is open until it is tightened again, and one that held at its lower limit is still at
//! least that tight. A fault is open until it is put right; a crack, a seizure or wear until the part
//! is replaced.

use super::losing::losing;
use super::{
    Action, FigureBasis, Finding, Governing, Joint, Judgement, JudgingContext, LocalInstant, Reading, State,
    Why, use_for,
};
use crate::book::{Check, MeasuredVerdict};
use crate::conformity::{
    Accuracy, Finding as Shown, Instrument, Kind, Label, Limits, Outcome, Reason, Side, Verdict, assess,
};
use crate::joint::KnownBolt;
use crate::quantity::{self, Against};
use crate::wrench::Wrench;

/// Judges one bolt; `newest_first` are its readings up to now.
pub(super) fn judge_bolt(
    joint: &Joint,
    bolt: u16,
    (governing, known): (&Governing, Option<&KnownBolt>),
    newest_first: &[&Reading],
    judging: &JudgingContext<'_>,
) -> Judgement {
    let said = |state, why, at| Judgement { state, why, bolt, at };
    if let Some((finding, at)) = open_fault(newest_first) {
        return said(State::Fault, Why::Found(finding), Some(at));
    }
    let voided = newest_first.iter().position(|reading| voids(reading));
    let current = newest_first.get(..voided.unwrap_or(newest_first.len())).unwrap_or_default();
    let newest = current.first().map(|reading| reading.at);
    let damaged = governing.basis == FigureBasis::Unreadable;
    let (state, why, at) = match joint.check {
        Check::Measure | Check::Function if damaged => (State::NoValue, Why::NoFigure, newest),
        Check::Measure => measured(joint, current, judging),
        Check::Function => by_hand(current),
        Check::Torque => too_much(governing, known, current).unwrap_or_else(|| match &governing.limits {
            Some(limits) => Torques { joint, limits, judging }.judge(current, newest_first),
            None => opened(current).unwrap_or((State::NoValue, Why::NoFigure, newest)),
        }),
    };
    match voided.and_then(|index| newest_first.get(index)) {
        // What was there before no longer stands, and nothing was checked since.
        Some(line) if state == State::NeverChecked && why == Why::Nothing => {
            said(state, Why::NoTorque(line.kind), Some(line.at))
        }
        _ => said(state, why, at),
    }
}

type StateFound = (State, Why, Option<LocalInstant>);

/// The newest fault that nothing has put right since.
fn open_fault(newest_first: &[&Reading]) -> Option<(Finding, LocalInstant)> {
    let mut put_right = false;
    for reading in newest_first {
        if reading.action == Some(Action::Replaced) {
            return None;
        }
        if let Some(finding) = reading.finding.filter(|finding| finding.is_fault()) {
            let acted = !matches!(reading.action, None | Some(Action::None | Action::HandedOver));
            if finding.needs_new_part() || !(put_right || acted) {
                return Some((finding, reading.at));
            }
        }
        put_right |= reading.finding == Some(Finding::Fine) || reading.is_tightening();
    }
    None
}

/// A line after which nothing older stands: another part, or a bolt set by hand, without a value.
fn voids(reading: &Reading) -> bool {
    let by_hand = reading.kind == Kind::ByHand && reading.finding.is_none();
    reading.value.is_none() && reading.finding != Some(Finding::Fine) && (reading.begins_anew() || by_hand)
}

/// What is too much for the bolt (`specs/rules.md`, "The bolt decides"): a torque that it got at its newest tightening or
/// at a check since, else the figure that counts. What comes loose at a torque was not tightened to it.
fn too_much(
    governing: &Governing,
    known: Option<&KnownBolt>,
    newest_first: &[&Reading],
) -> Option<StateFound> {
    let known = known?;
    let older = newest_first.iter().position(|reading| reading.is_tightening()).map(|index| index + 1);
    let standing = newest_first.get(..older.unwrap_or(newest_first.len())).unwrap_or_default();
    let torn = standing.iter().filter(|reading| reading.kind != Kind::Loosening).find_map(|reading| {
        let read = reading.as_read()?;
        // A reading of 0 is no torque.
        let doubt = known.doubt(read.number.value, read.unit).ok()??;
        doubt.is_too_much().then_some((doubt, reading.at))
    });
    if let Some((doubt, at)) = torn {
        return Some((State::TooMuch, Why::TooMuch { doubt, read: true }, Some(at)));
    }
    let doubt = governing.on_bolt.too_much.clone()?;
    let at = newest_first.first().map(|reading| reading.at);
    Some((State::TooMuch, Why::TooMuch { doubt, read: false }, at))
}

/// The newest line about a joint that is checked by hand, eye and ear.
fn by_hand(newest_first: &[&Reading]) -> StateFound {
    let fine = newest_first.iter().find(|reading| reading.finding == Some(Finding::Fine));
    match (fine, newest_first.first()) {
        (Some(fine), _) => (State::Sound, Why::Found(Finding::Fine), Some(fine.at)),
        (None, newest) => unchecked(newest),
    }
}

/// Without evidence, the newest line says no more than how it came about.
fn unchecked(newest: Option<&&Reading>) -> StateFound {
    (State::NeverChecked, newest.map_or(Why::Nothing, |reading| Why::NoTorque(reading.kind)), None)
}

/// The newest measured value against the part's own limit or the known ones.
fn measured(joint: &Joint, newest_first: &[&Reading], judging: &JudgingContext<'_>) -> StateFound {
    let Some((at, measure)) = newest_first.iter().find_map(|reading| Some((reading.at, reading.measure()?)))
    else {
        return (State::NeverChecked, Why::Nothing, None);
    };
    let own = joint.figures.markings.iter().find_map(|marking| marking.figure.limit());
    let Some(item) = judging.workshop.items.get(&joint.entry) else {
        return (State::NoValue, Why::NoFigure, Some(at));
    };
    let (state, why) = match item.judge(own, measure) {
        MeasuredVerdict::Within(limit, word) => (State::Sound, Why::Measured { measure, limit, word }),
        MeasuredVerdict::Outside(limit, word, side) => {
            let state = if side == Against::Below { State::Low } else { State::High };
            (state, Why::Measured { measure, limit, word })
        }
        MeasuredVerdict::MakersDiffer(limits) => (State::NoValue, Why::MakersDiffer { measure, limits }),
        MeasuredVerdict::NoLimit => (State::NoValue, Why::NoFigure),
    };
    (state, why, Some(at))
}

/// A bolt that turned or was loosened after its last tightening.
fn opened(newest_first: &[&Reading]) -> Option<StateFound> {
    newest_first.iter().take_while(|reading| !reading.is_tightening()).find_map(|reading| {
        let why = match reading.kind {
            Kind::Moved => Why::Moved { torque: reading.torque() },
            Kind::Loosening => Why::Loosened,
            _ => return None,
        };
        Some((State::Moved, why, Some(reading.at)))
    })
}

/// Judging the torques of one bolt against limits.
struct Torques<'a> {
    joint: &'a Joint,
    limits: &'a Limits,
    judging: &'a JudgingContext<'a>,
}

impl Torques<'_> {
    /// Judges by the `current` readings, which nothing has voided; a trend looks at all.
    fn judge(&self, current: &[&Reading], newest_first: &[&Reading]) -> StateFound {
        if let Some(said) = opened(current) {
            return said;
        }
        let last = current.iter().position(|reading| reading.is_tightening());
        let since = current.get(..last.unwrap_or(current.len())).unwrap_or_default();
        let held = since.iter().find(|reading| reading.kind == Kind::Held).and_then(|r| self.held(r));
        let tightened = last.and_then(|index| self.tightened(current.get(index)?));
        let (mut state, mut why, mut at) = match (tightened, held) {
            (Some(said), Some(held)) => self.newer_held(said, held),
            (Some(said), None) | (None, Some(said)) => said,
            (None, None) => unchecked(current.first()),
        };
        if state == State::Sound {
            // The newest check that left the bolt as it was found.
            let looked = since.iter().find(|reading| reading.kind == Kind::BackToMark);
            at = at.max(looked.map(|reading| reading.at));
        }
        if state < State::Losing
            && let Some(newest) = newest_first.first()
            && let Some(trend) = losing(newest_first, &self.instrument(newest))
        {
            (state, why, at) = (State::Losing, Why::Losing(trend), Some(newest.at));
        }
        (state, why, at)
    }

    /// What a newer check that held adds to a tightening: it cures a low side in doubt, never a high
    /// one.
    fn newer_held(&self, tightened: StateFound, held: StateFound) -> StateFound {
        let cures = match (tightened.0, &tightened.1) {
            (State::Sound | State::Low, _) => true,
            // Within a range that the wrench cannot settle the nearer limit is not the only one in doubt.
            (State::TooClose, Why::Tightened { lean, narrow, .. }) => !narrow && *lean != Some(Side::High),
            (State::WrenchInDoubt, Why::Tightened { read, narrow, .. }) => {
                !narrow && self.limits.high().is_none_or(|high| read.torque <= high)
            }
            _ => false,
        };
        if held.0 == State::Sound && cures { held } else { tightened }
    }

    fn tightened(&self, reading: &Reading) -> Option<StateFound> {
        let read = reading.as_read()?;
        let Outcome::Judged(verdict) = self.assess(reading, read) else { return None };
        let Verdict { label, lean, chance_inside: chance, not_judged, reasons, .. } = verdict;
        let doubts: Vec<_> = reasons
            .iter()
            .filter_map(|reason| if let Reason::Doubt(doubt) = reason { Some(*doubt) } else { None })
            .collect();
        let narrow = reasons.iter().any(|reason| matches!(reason, Reason::NarrowRange { .. }));
        let state = match label {
            _ if !doubts.is_empty() => State::WrenchInDoubt,
            Label::Inside => State::Sound,
            Label::Low => State::Low,
            Label::High => State::High,
            Label::TooClose | Label::NotSettled => State::TooClose,
        };
        let known_wrench = self.knows_wrench(reading);
        let why = Why::Tightened { read, label, lean, chance, doubts, narrow, not_judged, known_wrench };
        Some((state, why, Some(reading.at)))
    }

    fn held(&self, reading: &Reading) -> Option<StateFound> {
        let read = reading.as_read()?;
        let Outcome::ReCheck { finding: Shown::HeldAtLeast { torque, reaches_low, above_high }, doubts } =
            self.assess(reading, read)
        else {
            return None;
        };
        let (state, why) = match reaches_low {
            _ if above_high => (State::TooClose, Why::HeldTooHigh { torque }),
            Some(false) => (State::NeverChecked, Why::HeldTooLow { torque }),
            None => (State::NeverChecked, Why::HeldAgainstNothing { torque }),
            Some(true) => {
                let state = if doubts.is_empty() { State::Sound } else { State::WrenchInDoubt };
                (state, Why::Held { read, doubts, known_wrench: self.knows_wrench(reading) })
            }
        };
        Some((state, why, Some(reading.at)))
    }

    fn assess(&self, reading: &Reading, read: quantity::Reading) -> Outcome {
        match self.wrench(reading) {
            Some(wrench) => {
                let usage = use_for(reading, self.joint.is_left_handed(self.judging));
                wrench.assess(reading.kind, Some(self.limits), read.torque, &usage)
            }
            None => assess(reading.kind, Some(self.limits), read.torque, &self.instrument(reading), &[]),
        }
    }

    fn wrench(&self, reading: &Reading) -> Option<&Wrench> {
        self.judging.workshop.wrenches.get(reading.wrench.as_ref()?)
    }

    fn knows_wrench(&self, reading: &Reading) -> bool {
        !self.instrument(reading).accuracy().is_taken_on_trust()
    }

    /// What is known of the accuracy of a reading; assumed where its wrench is not registered.
    fn instrument(&self, reading: &Reading) -> Instrument {
        let assumed = || Instrument::of_accuracy(Accuracy::assumed(self.limits.largest()));
        self.wrench(reading).map_or_else(assumed, |wrench| wrench.instrument(None))
    }
}

#[cfg(test)]
#[path = "bolt_tests.rs"]
mod tests;
