//! `visit`: a check that leads from joint to joint; one number and Enter moves on.

mod answers;
mod marking;

use std::io::{BufRead, IsTerminal as _};

use clap::Args;

use super::record::entry::RecordEntry;
use super::target::{Target, bicycle};
use super::tool::{registered, standing_doubt};
use super::{Answer, Context, Failure, FailureKind, OrFail as _, clock};
use crate::book::{Check, Hand, MeasuredItem};
use crate::conformity::Kind;
use crate::report::{
    JointSetting, ReadyReport, TooMuch, by_hand_text, governing_text, layout_of, next_text,
    orientation_to_act, reason_text, told, turning_warning,
};
use crate::sequence::order;
use crate::store::Store;
use crate::workshop::{
    FigureBasis, Finding, Joint, JointVerdict, LocalInstant, Reading, StoredBicycle, StoredJoint,
    WorkshopSnapshot,
};
use crate::wrench::RegisteredWrench;
use answers::{Entered, HELP, prompt, prompt_text, said, say, split_values, told_failure};

/// Lead through a check, joint by joint, in the order in which one walks round the bicycle
///
/// Each line is kept as soon as it is entered. A number is a tightening; `held 4`, `moved 4`,
/// `loosening 3`, `back-to-mark 4.8` are re-checks; `fine`, `loose`, `play`, `cracked` … are findings;
/// `m max 5 N·m` notes the marking on the part, `m stem: max 5 N·m` that on one of two parts; a print that is no
/// reading, such as `4-6 N·m`, needs no `m`. Enter alone leaves the joint out; `q` leaves the visit, which goes
/// on where it was left.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp visit loan-7 --wrench small-click --who Kim
  evenclamp visit loan-7 < answers.txt
  evenclamp visit loan-7 --anew

Exit status: that of `ready` afterwards.")]
pub(super) struct VisitArgs {
    /// The bicycle
    bike: String,
    /// The registered wrench, for every torque of the visit
    #[arg(long, value_name = "NAME")]
    wrench: Option<String>,
    /// Begin anew instead of going on with a visit that was left
    #[arg(long)]
    anew: bool,
}

pub(super) fn answer(args: &VisitArgs, context: &Context) -> Result<Answer, Failure> {
    let mut store = context.store_with_book()?;
    let now = clock::now()?;
    clock::refuse_clock_set_back(&store, now, false)?;
    let stored = bicycle(&store, &args.bike)?;
    let wrench = args.wrench.as_deref().map(|name| registered(&store, name)).transpose()?;
    if args.anew {
        store.end_visit(stored.id, now)?;
    }
    let started = if let Some(started) = store.open_visit(stored.id)? {
        say(&format!("going on with the visit of {}; ? for help", started.short()));
        started
    } else {
        store.start_visit(stored.id, now)?;
        say("a number and Enter moves on; Enter alone leaves a joint out; q leaves; ? for help");
        now
    };
    if let Some(doubt) = wrench.as_ref().and_then(standing_doubt) {
        say(&format!("note: {doubt}"));
    }
    let mut visit = Visit {
        context,
        bicycle: &stored,
        wrench: wrench.as_ref(),
        started,
        piped: !std::io::stdin().is_terminal(),
    };
    if visit.walk(&mut store)? {
        context.sign(&mut store);
        store.end_visit(stored.id, clock::now()?)?;
    } else {
        say(&format!("left; `evenclamp visit {}` goes on from here", stored.bicycle.name));
    }
    let (workshop, judged) = store.judge(&stored, clock::now()?)?;
    let report = ReadyReport::new(&judged, &workshop, context.unit, false);
    Answer::of(&report, context, judged.verdict.fitness.decision())
}

struct Visit<'a> {
    context: &'a Context,
    bicycle: &'a StoredBicycle,
    wrench: Option<&'a RegisteredWrench>,
    started: LocalInstant,
    piped: bool,
}

impl Visit<'_> {
    /// Walks round the bicycle; false when the visit was left before its end.
    fn walk(&mut self, store: &mut Store) -> Result<bool, Failure> {
        let mut lines = std::io::stdin().lock().lines();
        let joints = store.joints(Some(self.bicycle.id))?;
        let (workshop, judged) = store.judge(self.bicycle, clock::now()?)?;
        let mut place = String::new();
        for stored in &joints {
            let done = self.done(store, stored)?;
            let open: Vec<u16> = (1..=stored.joint.bolts).filter(|bolt| !done.contains(bolt)).collect();
            if open.is_empty() {
                continue;
            }
            if stored.joint.place != place {
                place.clone_from(&stored.joint.place);
                say(&format!("\n{}", place.to_uppercase()));
            }
            let judged = judged.joints.iter().find(|(joint, _)| joint.name == stored.joint.name);
            let verdict = judged.map(|(_, verdict)| verdict);
            say(&self.heading(&stored.joint, verdict, &workshop));
            if verdict.is_some_and(|verdict| marking::is_needed(&stored.joint, verdict)) {
                say(marking::QUESTION);
            }
            if !self.ask(store, stored.clone(), open, &mut lines)? {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// Bolts of a joint that have a line of this visit.
    fn done(&self, store: &Store, stored: &StoredJoint) -> Result<Vec<u16>, Failure> {
        // What was found stands a moment before what was set, but was written down together with it.
        let of_visit = store.log_of(stored.id)?.into_iter().filter(|logged| logged.recorded >= self.started);
        Ok(of_visit.map(|logged| logged.reading.bolt).collect())
    }

    /// One line about the joint: what is specified, what to set, in which order.
    fn heading(&self, joint: &Joint, verdict: Option<&JointVerdict>, workshop: &WorkshopSnapshot) -> String {
        let what = match joint.check {
            Check::Function => format!("by hand: {}", by_hand_text(joint.name.text())),
            Check::Measure => {
                workshop.items.get(&joint.entry).map(MeasuredItem::measured).unwrap_or_default()
            }
            Check::Torque => verdict
                .map_or_else(String::new, |verdict| self.torque_heading(verdict, joint.turning(workshop))),
        };
        let damage = verdict
            .map(|verdict| &verdict.governing)
            .filter(|governing| joint.check != Check::Torque && governing.basis == FigureBasis::Unreadable);
        let damage = damage.map_or_else(String::new, |governing| format!("; no figure: {}", governing.word));
        let star = if joint.critical { "*" } else { " " };
        let order = layout_of(joint, workshop).map(|layout| {
            let bolts: Vec<String> = order(&layout).iter().map(ToString::to_string).collect();
            format!("; order {}", bolts.join("-"))
        });
        let turning =
            turning_warning(joint.turning(workshop)).map_or_else(String::new, |text| format!("; {text}"));
        format!("{star} {}: {what}{damage}{turning}{}", joint.name, order.unwrap_or_default())
    }

    fn torque_heading(&self, verdict: &JointVerdict, hand: Hand) -> String {
        let governing = &verdict.governing;
        if governing.limits.is_none() {
            let unit = self.context.unit.unwrap_or(governing.unit);
            let given = governing.orientation.as_ref().map(|given| orientation_to_act(given, unit));
            return [format!("no figure: {}", governing.word)]
                .into_iter()
                .chain(given)
                .collect::<Vec<_>>()
                .join("; ");
        }
        let mut text = format!("{} ({})", governing_text(governing, self.context.unit), governing.word);
        for note in &governing.notes {
            text += &format!("; {note}");
        }
        if let Some(too_much) = TooMuch::of_figure(governing, self.context.unit) {
            return format!("{text}; {}", too_much.whole());
        }
        if let Some(wrench) = self.wrench {
            text += &match JointSetting::new(governing, wrench, hand) {
                Some(Ok(setting)) => {
                    let known = [vec![setting.text], setting.notes].concat();
                    format!("; set {}", known.join("; "))
                }
                Some(Err(why)) => format!("; no setting of this wrench serves: {why}"),
                None => String::new(),
            };
        }
        text
    }

    /// Asks for the open bolts of a joint; false when the visit is left.
    fn ask(
        &self,
        store: &mut Store,
        mut stored: StoredJoint,
        mut open: Vec<u16>,
        lines: &mut impl Iterator<Item = std::io::Result<String>>,
    ) -> Result<bool, Failure> {
        let mut refused: Option<String> = None;
        while let Some(&bolt) = open.first() {
            prompt(&prompt_text(&stored.joint, bolt));
            let Some(line) = lines.next() else { return Ok(false) };
            let line = line.map_err(|error| format!("cannot read the answer: {error}"));
            let line = line.or_fail(FailureKind::Input, "the visit can be resumed")?;
            if self.piped {
                // The answers are to stand beside their questions.
                say(&line);
            }
            match said(&line, stored.joint.check) {
                Entered::Quit => return Ok(false),
                Entered::LeaveOut => return Ok(true),
                Entered::Help => say(HELP),
                Entered::Marking(text) => told_failure(self.mark(store, &mut stored, &text))?,
                Entered::Line(kind, values, finding) => {
                    // The same line once more means that it was read like that.
                    let sure = refused.take().as_deref() == Some(line.trim());
                    match self.keep(store, &stored, &open, (kind, finding), &split_values(&values), sure) {
                        Ok(kept) => drop(open.drain(..kept)),
                        Err(failure) if failure.kind == FailureKind::Implausible => {
                            say(&format!("    {}; enter it once more to keep it", failure.message));
                            refused = Some(line.trim().to_owned());
                        }
                        Err(failure) => told_failure(Err(failure))?,
                    }
                }
            }
        }
        Ok(true)
    }

    /// Keeps an answer for the next open bolts; says for how many it was.
    fn keep(
        &self,
        store: &mut Store,
        stored: &StoredJoint,
        open: &[u16],
        (kind, finding): (Kind, Option<Finding>),
        values: &[String],
        sure: bool,
    ) -> Result<usize, Failure> {
        let now = clock::now()?;
        let count = values.len().max(1);
        if count > open.len() {
            let message = format!("{count} values for {} open bolts", open.len());
            return Err(Failure::new(FailureKind::Value, message, "one each"));
        }
        // A finding without a value is about the whole joint.
        let bolts = if finding.is_some() { open } else { open.get(..count).unwrap_or(open) };
        for (index, &bolt) in bolts.iter().enumerate() {
            let target = Target { bicycle: self.bicycle.clone(), joint: stored.clone(), bolt: Some(bolt) };
            let line = Reading {
                wrench: self
                    .wrench
                    .filter(|_| stored.joint.check == Check::Torque)
                    .map(|wrench| wrench.wrench.name().to_owned()),
                who: self.context.who.clone(),
                finding,
                ..Reading::new(now, kind)
            };
            let mut entry = RecordEntry::new(store, &target, line, (None, None), self.context)?;
            entry.values(values.get(index).map(std::slice::from_ref).unwrap_or_default())?;
            for hint in entry.doubtful(sure)? {
                say(&format!("    {hint}"));
            }
            for reading in entry.record(store)? {
                say(&format!("    recorded: bolt {} {}", reading.bolt, told(&reading)));
            }
        }
        if bolts.len() == open.len() {
            self.say_verdict(store, stored, now)?;
        }
        Ok(bolts.len())
    }

    /// Says what the answers about a joint come to, and what to do now.
    fn say_verdict(&self, store: &Store, stored: &StoredJoint, now: LocalInstant) -> Result<(), Failure> {
        let target = Target { bicycle: self.bicycle.clone(), joint: stored.clone(), bolt: None };
        let (workshop, joint, verdict) = target.judge(store, now)?;
        let item = workshop.items.get(&joint.entry);
        let path = format!("{}/{}", self.bicycle.bicycle.name, joint.name);
        let unit = self.context.unit;
        let (word, reason) = (verdict.state().text(), reason_text(&joint, &verdict, unit));
        say(&format!("    {word}: {reason}"));
        let next = next_text(&path, &joint, &verdict, item, unit);
        if !next.is_empty() {
            say(&format!("    next: {next}"));
        }
        Ok(())
    }
}
