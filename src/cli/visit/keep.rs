//! What an answer writes down, all of it or nothing, and how it is taken back.

use super::super::record::entry::RecordEntry;
use super::super::target::Target;
use super::super::{Failure, FailureKind, clock};
use super::answers::{nothing_set, split_values};
use super::sitting::{Move, Sitting};
use super::turn::Asked;
use crate::book::Check;
use crate::conformity::Kind;
use crate::report::{next_text, reason_text, told};
use crate::store::Store;
use crate::workshop::{Finding, Joint, Reading, State, StoredJoint};

/// An answer of this sitting, as far as taking it back needs it.
pub(super) struct AnswerTaken {
    index: usize,
    /// What was written down, with the joint that it is of.
    recorded: Vec<(i64, Reading)>,
    /// The joint as it was before a marking was noted.
    before_marking: Option<StoredJoint>,
}

impl AnswerTaken {
    pub(super) fn left_out(index: usize) -> AnswerTaken {
        AnswerTaken { index, recorded: Vec::new(), before_marking: None }
    }

    pub(super) fn marked(index: usize, before: StoredJoint) -> AnswerTaken {
        AnswerTaken { before_marking: Some(before), ..AnswerTaken::left_out(index) }
    }
}

impl Sitting<'_> {
    /// Keeps that every bolt was done as set.
    pub(super) fn keep_as_set(&mut self, store: &mut Store, asked: &Asked<'_>) -> Result<Move, Failure> {
        let Some((_, kind, setting)) = &asked.with else {
            return Err(Failure::new(FailureKind::Value, nothing_set(asked.stored.joint.check), ""));
        };
        let values = vec![setting.clone(); asked.bolts.len()];
        self.keep(store, asked, (*kind, None, ""), &values, true)
    }

    /// Keeps values for the next bolts; `held` and `moved` alone are at what was set.
    pub(super) fn keep_values(
        &mut self,
        store: &mut Store,
        asked: &Asked<'_>,
        (kind, typed): (Kind, &[String]),
        sure: bool,
    ) -> Result<Move, Failure> {
        let mut values = split_values(typed);
        if let Some((_, _, setting)) = asked.with.as_ref().filter(|_| values.is_empty()) {
            match kind {
                Kind::Held => values = vec![setting.clone(); asked.bolts.len()],
                Kind::Moved => values.push(setting.clone()),
                _ => {}
            }
        }
        self.keep(store, asked, (kind, None, ""), &values, sure)
    }

    /// Keeps what was found: of the whole joint.
    pub(super) fn keep_finding(
        &mut self,
        store: &mut Store,
        asked: &Asked<'_>,
        finding: Finding,
        words: &str,
    ) -> Result<Move, Failure> {
        if finding == Finding::Fine && asked.stored.joint.check != Check::Function {
            return Err(Failure::new(FailureKind::Finding, nothing_fine(asked.stored.joint.check), ""));
        }
        self.keep(store, asked, (Kind::Tightened, Some(finding), words), &[], true)
    }

    fn keep(
        &mut self,
        store: &mut Store,
        asked: &Asked<'_>,
        (kind, finding, note): (Kind, Option<Finding>, &str),
        values: &[String],
        sure: bool,
    ) -> Result<Move, Failure> {
        let (now, count) = (clock::now()?, values.len().max(1));
        if count > asked.bolts.len() {
            let message = format!("{count} values for {} open bolts", asked.bolts.len());
            return Err(Failure::new(FailureKind::Value, message, "give at most one for each"));
        }
        let bolts =
            if finding.is_some() { asked.bolts } else { asked.bolts.get(..count).unwrap_or_default() };
        let mut lines = Vec::new();
        for (index, &bolt) in bolts.iter().enumerate() {
            let target =
                Target { bicycle: self.bicycle.clone(), joint: asked.stored.clone(), bolt: Some(bolt) };
            let line = Reading {
                wrench: self.wrench_of(asked),
                who: self.who.clone(),
                note: note.to_owned(),
                finding,
                ..Reading::new(now, kind)
            };
            let mut entry = RecordEntry::new(store, &target, line, (None, None), self.context)?;
            entry.values(values.get(index).map(std::slice::from_ref).unwrap_or_default())?;
            for hint in entry.doubtful(sure)? {
                self.say(&format!("      {hint}"));
            }
            lines.extend(entry.into_lines());
        }
        let joint = asked.stored.id;
        let mut appending = store.append()?;
        for line in &mut lines {
            line.id = appending.add(joint, line, now)?;
        }
        appending.commit()?;
        // It stays in the hand as where a visit goes on.
        self.in_hand = lines.iter().find_map(|line| line.wrench.clone()).or(self.in_hand.take());
        let recorded = recorded_text(&lines, &asked.stored.joint);
        self.say_verdict(store, asked, &recorded)?;
        let recorded = lines.into_iter().map(|line| (joint, line)).collect();
        self.steps.push(AnswerTaken { index: asked.index, recorded, before_marking: None });
        Ok(Move::Again)
    }

    /// The wrench of a reading: the one that the question was about, else the one in the hand.
    fn wrench_of(&self, asked: &Asked<'_>) -> Option<String> {
        let of_question = asked.with.as_ref().map(|(wrench, ..)| wrench.clone());
        of_question.or_else(|| self.in_hand.clone()).filter(|_| asked.stored.joint.check == Check::Torque)
    }

    /// Says what was written down, what the answers about the joint come to, and what to do now.
    fn say_verdict(&self, store: &Store, asked: &Asked<'_>, recorded: &str) -> Result<(), Failure> {
        let now = clock::now()?;
        let target = Target { bicycle: self.bicycle.clone(), joint: asked.stored.clone(), bolt: None };
        let (workshop, joint, verdict) = target.judge(store, now)?;
        let item = workshop.items.get(&joint.entry);
        let path = format!("{}/{}", self.bicycle.bicycle.name, joint.name);
        let (unit, style) = (self.context.unit, self.reader.style);
        let state = verdict.state();
        let word = style.decided(state.decision(), state.text());
        if joint.check == Check::Function && state == State::Sound {
            self.say(&format!("      recorded: {recorded}: {word}"));
            return Ok(());
        }
        self.say(&format!("      recorded: {recorded}"));
        if state == State::NeverChecked && !verdict.bolts_without.is_empty() {
            // The next bolt is asked for at once.
            return Ok(());
        }
        self.say(style.wrapped(&format!("      {word}: "), &reason_text(&joint, &verdict, unit)).trim_end());
        let next = next_text(&path, &joint, &verdict, item, unit);
        if !next.is_empty() {
            self.say(style.wrapped("      next: ", &next).trim_end());
        }
        Ok(())
    }

    /// Takes the last answer of this sitting back, and asks for it again.
    pub(super) fn undo(&mut self, store: &mut Store) -> Result<Move, Failure> {
        let Some(step) = self.steps.pop() else {
            self.say("      nothing was answered in this sitting; `evenclamp record --strike` takes older lines back");
            return Ok(Move::Again);
        };
        let now = clock::now()?;
        if let Some(before) = &step.before_marking {
            self.sign(store, "taken back on the round");
            store.change_joints(std::slice::from_ref(before))?;
            self.say(&format!("      taken back: the marking of {}", before.joint.name));
        }
        let mut appending = store.append()?;
        for (joint, reading) in &step.recorded {
            let struck = Reading {
                bolt: reading.bolt,
                who: self.who.clone(),
                note: "taken back on the round".to_owned(),
                corrects: Some(reading.id),
                ..Reading::new(reading.at, Kind::Skipped)
            };
            appending.add(*joint, &struck, now)?;
        }
        appending.commit()?;
        if let Some((_, first)) = step.recorded.first() {
            self.say(&format!("      taken back: {}", told(first)));
        }
        Ok(Move::Back(step.index))
    }
}

/// What was written down, in a few words.
fn recorded_text(lines: &[Reading], joint: &Joint) -> String {
    let Some(first) = lines.first() else { return String::new() };
    let bolts: Vec<String> = lines.iter().map(|line| line.bolt.to_string()).collect();
    let bolts = match bolts.as_slice() {
        _ if joint.bolts == 1 => String::new(),
        [one] => format!("bolt {one} "),
        several => format!("bolts {} ", several.join("-")),
    };
    let is_same = lines.iter().all(|line| told(line) == told(first));
    let text = if is_same { told(first) } else { lines.iter().map(told).collect::<Vec<_>>().join(", ") };
    let note = if first.note.is_empty() { String::new() } else { format!(" ({})", first.note) };
    format!("{bolts}{text}{note}")
}

/// Why nothing is fine without a number.
fn nothing_fine(check: Check) -> &'static str {
    match check {
        Check::Torque => {
            "a torque takes a number, not `fine`: Enter where it was done as set, or the torque read"
        }
        Check::Function | Check::Measure => "what is measured takes a number with its unit, not `fine`",
    }
}
