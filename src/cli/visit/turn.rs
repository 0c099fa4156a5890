//! One answer: what it does, and what follows.

use super::super::{Failure, FailureKind};
use super::answers::{Entered, HELP, said};
use super::keep::AnswerTaken;
use super::marking;
use super::sitting::{Move, Sitting, SittingEnd};
use crate::book::Check;
use crate::conformity::Kind;
use crate::report::told;
use crate::store::Store;
use crate::workshop::{Finding, Logged, StoredJoint};

/// What is asked, and what of it stands already.
pub(super) struct Asked<'a> {
    pub(super) index: usize,
    pub(super) stored: &'a StoredJoint,
    pub(super) bolts: &'a [u16],
    pub(super) said: &'a [Logged],
    /// The wrench in the hand, what is done with it, and its setting.
    pub(super) with: Option<(String, Kind, String)>,
    /// The wrenches that can be set to it, the best first.
    pub(super) served: Vec<String>,
}

impl Asked<'_> {
    fn prompt(&self) -> String {
        let bolt = match self.bolts {
            [next, ..] if self.stored.joint.bolts > 1 => format!("bolt {next}"),
            _ => String::new(),
        };
        let marking = if marking::is_wanted(&self.stored.joint) { "(m: marking)" } else { "" };
        let part = if bolt.is_empty() || marking.is_empty() { "" } else { " " };
        format!("      {bolt}{part}{marking}> ")
    }
}

impl Sitting<'_> {
    /// Takes one answer.
    pub(super) fn answered(&mut self, store: &mut Store, asked: &Asked<'_>) -> Result<Move, Failure> {
        let Some(line) = self.reader.ask(&asked.prompt())? else { return Ok(Move::End(SittingEnd::Left)) };
        let check = asked.stored.joint.check;
        let entered = said(&line, check);
        // A fault that was found is newer evidence, whatever somebody else said meanwhile.
        let is_fault = matches!(&entered, Entered::Found(finding, _) if *finding != Finding::Fine);
        if let Some(other) = self.said_meanwhile(store, asked, &entered)?.filter(|_| !is_fault) {
            self.say(&format!("      {other}: yours was not kept; what is still open is asked for anew"));
            return Ok(Move::Back(asked.index));
        }
        let refused = self.refused.take();
        let sure = refused.as_deref() == Some(line.trim());
        if let Some(refused) = refused.filter(|_| self.reader.is_piped() && !sure) {
            let why = format!("`{refused}`: the same line once more would keep it");
            return Ok(Move::End(SittingEnd::NotUnderstood(self.reader.lines() - 1, why)));
        }
        let taken = match entered {
            Entered::Quit => return Ok(Move::End(SittingEnd::Left)),
            Entered::LeaveOut => {
                self.steps.push(AnswerTaken::left_out(asked.index));
                return Ok(Move::Next);
            }
            Entered::Help => {
                self.say(HELP);
                return Ok(Move::Again);
            }
            Entered::Undo => return self.undo(store),
            Entered::Wrench(name) => self.take_wrench(asked, &name),
            Entered::Marking(text) => self.mark(store, asked, &text),
            Entered::AsSet => self.keep_as_set(store, asked),
            Entered::Values(kind, values) => self.keep_values(store, asked, (kind, &values), sure),
            Entered::Found(finding, words) => self.keep_finding(store, asked, finding, &words),
            Entered::Unclear(why) => Err(Failure::new(FailureKind::Value, why, "")),
        };
        self.after(taken, &line)
    }

    /// What somebody else wrote of the item since it was asked for; what writes nothing needs not know.
    fn said_meanwhile(
        &self,
        store: &Store,
        asked: &Asked<'_>,
        entered: &Entered,
    ) -> Result<Option<String>, Failure> {
        if !matches!(entered, Entered::AsSet | Entered::Values(..) | Entered::Found(..)) {
            return Ok(None);
        }
        let newest = |said: &[Logged]| said.iter().map(|logged| logged.reading.id).max();
        let now = self.said_of(store, asked.stored)?;
        let other = now.last().filter(|_| newest(&now) > newest(asked.said));
        Ok(other.map(|logged| {
            let who = if logged.reading.who.is_empty() { "somebody" } else { &logged.reading.who };
            format!("{who} recorded {} meanwhile", told(&logged.reading))
        }))
    }

    /// Another wrench: the next of those that can be set to the joint, or the one named.
    fn take_wrench(&mut self, asked: &Asked<'_>, name: &str) -> Result<Move, Failure> {
        let current = asked.with.as_ref().map(|(wrench, ..)| wrench.as_str());
        let next = if name.is_empty() {
            let place = asked.served.iter().position(|one| Some(one.as_str()) == current);
            let others = asked.served.iter().cycle().skip(place.map_or(0, |place| place + 1));
            others.take(asked.served.len()).find(|one| Some(one.as_str()) != current)
        } else {
            let lower = name.to_lowercase();
            let exact = asked.served.iter().find(|one| one.to_lowercase() == lower);
            exact.or_else(|| asked.served.iter().find(|one| one.to_lowercase().starts_with(&lower)))
        };
        let Some(next) = next else {
            let message = match (name, asked.stored.joint.check) {
                (_, Check::Function | Check::Measure) => "no torque wrench is used here".to_owned(),
                ("", _) => "no other registered wrench can be set to it".to_owned(),
                (name, _) => format!("`{name}` is no registered wrench that can be set to it"),
            };
            let hint = match asked.served.as_slice() {
                [] => String::new(),
                served => format!("these can: {}", served.join(", ")),
            };
            return Err(Failure::new(FailureKind::Wrench, message, hint));
        };
        self.in_hand = Some(next.clone());
        self.insisted = Some(asked.index);
        Ok(Move::Back(asked.index))
    }

    /// Goes on after an answer that was taken; asks again after one that was not, but of a file, which ends there.
    fn after(&mut self, taken: Result<Move, Failure>, line: &str) -> Result<Move, Failure> {
        let failure = match taken {
            Ok(next) => return Ok(next),
            Err(failure) if failure.kind == FailureKind::Database => return Err(failure),
            Err(failure) => failure,
        };
        if failure.kind == FailureKind::Implausible {
            self.say(&format!("      {}; enter it once more to keep it", failure.message));
            self.refused = Some(line.trim().to_owned());
            return Ok(Move::Again);
        }
        let hint = failure.hint.filter(|hint| !hint.is_empty());
        let why = hint.map_or(failure.message.clone(), |hint| format!("{}; {hint}", failure.message));
        if self.reader.is_piped() {
            return Ok(Move::End(SittingEnd::NotUnderstood(self.reader.lines(), format!("`{line}`: {why}"))));
        }
        self.say(self.reader.style.wrapped("      ", &why).trim_end());
        Ok(Move::Again)
    }
}
