//! One sitting of a round: from question to question, back, and out.

use super::super::target::Target;
use super::super::{Context, Failure, clock};
use super::keep::AnswerTaken;
use super::marking;
use super::reader::Reader;
use super::turn::Asked;
use crate::book::{Check, Round};
use crate::report::{ItemQuestion, RoundTally};
use crate::store::Store;
use crate::workshop::{
    JointVerdict, LocalInstant, Logged, Proposal, Signature, StoredBicycle, StoredJoint, Turn,
    WorkshopSnapshot, in_turn, is_open, open_bolts, proposals, rounds_of, with_wrench,
};
use crate::wrench::{RegisteredWrench, Use};

/// How a sitting ended.
pub(super) enum SittingEnd {
    /// Every item was asked for.
    Whole,
    /// Somebody left.
    Left,
    /// An answer of a file, by its number, could not be taken; those behind it belong to other questions.
    NotUnderstood(usize, String),
}

/// What follows an answer.
pub(super) enum Move {
    Next,
    Again,
    Back(usize),
    End(SittingEnd),
}

pub(super) struct Sitting<'a> {
    pub(super) context: &'a Context,
    pub(super) bicycle: &'a StoredBicycle,
    pub(super) started: LocalInstant,
    pub(super) reader: Reader,
    /// Who reads; of a visit that goes on, who read last.
    pub(super) who: String,
    /// The items of the round, in the order in which they are asked.
    items: Vec<StoredJoint>,
    wrenches: Vec<RegisteredWrench>,
    /// The name of the wrench in the hand.
    pub(super) in_hand: Option<String>,
    /// The item that another wrench was asked for: it is taken though it may settle nothing.
    pub(super) insisted: Option<usize>,
    /// What was answered in this sitting.
    pub(super) steps: Vec<AnswerTaken>,
    /// An answer that was refused as implausible: the same once more means that it was read like that.
    pub(super) refused: Option<String>,
    /// The question that stands on the screen, and where on the bicycle it is.
    shown: Option<(usize, String)>,
    place: String,
}

impl<'a> Sitting<'a> {
    /// Gathers the items of a round; `at_hand` are the wrenches that were named, none for all that are registered.
    pub(super) fn new(
        store: &Store,
        (bicycle, started, round): (&'a StoredBicycle, LocalInstant, Round),
        at_hand: Vec<RegisteredWrench>,
        (context, reader): (&'a Context, Reader),
    ) -> Result<Sitting<'a>, Failure> {
        let named = at_hand.first().map(|first| first.wrench.name().to_owned());
        let mut wrenches = at_hand;
        if wrenches.is_empty() {
            wrenches = store.wrenches()?;
            wrenches.retain(|wrench| wrench.retired_on.is_none());
        }
        let mut sitting = Sitting {
            context,
            bicycle,
            started,
            reader,
            who: context.who.clone(),
            items: Vec::new(),
            wrenches,
            in_hand: named,
            insisted: None,
            steps: Vec::new(),
            refused: None,
            shown: None,
            place: String::new(),
        };
        sitting.items = sitting.items_of(store, round)?;
        sitting.as_left(store)?;
        Ok(sitting)
    }

    /// The items of a round in the order in which they are asked.
    fn items_of(&self, store: &Store, round: Round) -> Result<Vec<StoredJoint>, Failure> {
        let template = store.template(&self.bicycle.bicycle.kind)?;
        let (workshop, judged) = store.judge(self.bicycle, clock::now()?)?;
        let mut asked = Vec::new();
        for stored in store.joints(Some(self.bicycle.id))? {
            let verdict = judged.joints.iter().find(|(joint, _)| joint.name == stored.joint.name);
            let Some((_, verdict)) = verdict else { continue };
            let was_open = is_open(verdict) || !self.said_of(store, &stored)?.is_empty();
            if rounds_of(&stored.joint, &template).are_asked_in(round, was_open) {
                asked.push((stored, verdict));
            }
        }
        let turns: Vec<Turn<'_>> =
            asked.iter().map(|(stored, verdict)| self.turn(stored, verdict, &workshop)).collect();
        let in_turn = in_turn(&turns);
        Ok(in_turn.into_iter().map(|index| asked[index].0.clone()).collect())
    }

    fn turn<'t>(
        &'t self,
        stored: &'t StoredJoint,
        verdict: &JointVerdict,
        workshop: &WorkshopSnapshot,
    ) -> Turn<'t> {
        let proposed = self.proposals(stored, verdict, workshop);
        let (settles, others): (Vec<&Proposal<'_>>, Vec<_>) = proposed.iter().partition(|one| one.settles);
        let best = if settles.is_empty() { others.into_iter().take(1).collect() } else { settles };
        let names = best.into_iter().map(|proposal| proposal.wrench.name());
        Turn { place: &stored.joint.place, wrenches: names.collect() }
    }

    fn proposals(
        &self,
        stored: &StoredJoint,
        verdict: &JointVerdict,
        workshop: &WorkshopSnapshot,
    ) -> Vec<Proposal<'_>> {
        if stored.joint.check != Check::Torque {
            return Vec::new();
        }
        let left_hand_thread = stored.joint.turning(workshop) == crate::book::Hand::Left;
        let usage = Use { left_hand_thread, ..Use::on(clock::today()) };
        proposals(verdict, self.wrenches.iter().map(|registered| &registered.wrench), &usage)
    }

    /// Takes over the wrench and the name of the newest answer of a visit that goes on, where none is given.
    fn as_left(&mut self, store: &Store) -> Result<(), Failure> {
        let mut said = Vec::new();
        for stored in &self.items {
            said.extend(self.said_of(store, stored)?);
        }
        said.sort_by_key(|logged| logged.reading.id);
        let newest = |of: fn(&Logged) -> Option<&str>| said.iter().rev().find_map(of).map(str::to_owned);
        if self.in_hand.is_none() {
            self.in_hand = newest(|logged| logged.reading.wrench.as_deref());
        }
        if self.who.is_empty() {
            self.who = newest(|logged| Some(logged.reading.who.as_str()).filter(|who| !who.is_empty()))
                .unwrap_or_default();
        }
        Ok(())
    }

    /// The lines of a joint in this visit that stand, oldest first, whoever wrote them.
    pub(super) fn said_of(&self, store: &Store, stored: &StoredJoint) -> Result<Vec<Logged>, Failure> {
        let mut said = store.log_of(stored.id)?;
        // What was found stands a moment before what was set, but was written down together with it.
        said.retain(|logged| {
            logged.recorded >= self.started
                && logged.corrected_by.is_none()
                && logged.reading.strikes().is_none()
        });
        said.sort_by_key(|logged| logged.reading.id);
        Ok(said)
    }

    /// How many items were asked for and answered, by anybody, in this visit.
    pub(super) fn tally(&self, store: &Store) -> Result<RoundTally, Failure> {
        let (workshop, _) = store.judge(self.bicycle, clock::now()?)?;
        let mut answered = 0;
        for stored in &self.items {
            let said = self.said_of(store, stored)?;
            answered += usize::from(open_bolts(&stored.joint, &said, &workshop).is_empty());
        }
        Ok(RoundTally { items: self.items.len(), answered })
    }

    /// Goes from item to item.
    pub(super) fn walk(&mut self, store: &mut Store) -> Result<SittingEnd, Failure> {
        let mut index = 0;
        while let Some(item) = self.items.get(index).cloned() {
            let Some(stored) = self.as_stored(store, &item)? else {
                self.say(&format!("{} was taken off meanwhile", item.joint.name));
                index += 1;
                continue;
            };
            match self.ask(store, index, &stored)? {
                Move::Next => index += 1,
                Move::Again => {}
                Move::Back(to) => {
                    index = to;
                    self.shown = None;
                }
                Move::End(ended) => return Ok(ended),
            }
        }
        Ok(SittingEnd::Whole)
    }

    /// Asks for an item once, unless everything was said of it.
    fn ask(&mut self, store: &mut Store, index: usize, stored: &StoredJoint) -> Result<Move, Failure> {
        let target = Target { bicycle: self.bicycle.clone(), joint: stored.clone(), bolt: None };
        let (workshop, _, verdict) = target.judge(store, clock::now()?)?;
        let said = self.said_of(store, stored)?;
        let bolts = open_bolts(&stored.joint, &said, &workshop);
        if bolts.is_empty() {
            return Ok(Move::Next);
        }
        let proposed = self.proposals(stored, &verdict, &workshop);
        let proposal = self.chosen(index, &proposed).cloned();
        let question = ItemQuestion {
            joint: &stored.joint,
            verdict: &verdict,
            workshop: &workshop,
            proposal: proposal.as_ref(),
            bolts: &bolts,
            unit: self.context.unit,
        };
        let (setting, text, notes) = (question.setting(), question.text(), question.notes());
        let why_nothing = proposed.is_empty().then(|| self.why_nothing(stored, &verdict)).flatten();
        let served: Vec<String> = proposed.iter().map(|one| one.wrench.name().to_owned()).collect();
        let with = proposal.map(|one| (one.wrench.name().to_owned(), one.kind, setting.unwrap_or_default()));
        if self.shown.as_ref() != Some(&(index, text.clone())) {
            self.say_place(&stored.joint.place);
            self.say_question(index, (&text, &notes));
            if let Some(why) = why_nothing {
                self.say(&why);
            }
            self.shown = Some((index, text));
        }
        self.answered(store, &Asked { index, stored, bolts: &bolts, said: &said, with, served })
    }

    /// The item as it is now; none where it was taken off.
    fn as_stored(&self, store: &Store, item: &StoredJoint) -> Result<Option<StoredJoint>, Failure> {
        Ok(store.joints(Some(self.bicycle.id))?.into_iter().find(|stored| stored.id == item.id))
    }

    fn chosen<'p, 'w>(&self, index: usize, proposed: &'p [Proposal<'w>]) -> Option<&'p Proposal<'w>> {
        let in_hand = self.in_hand.as_deref();
        let insisted = proposed.iter().find(|one| Some(one.wrench.name()) == in_hand);
        insisted.filter(|_| self.insisted == Some(index)).or_else(|| with_wrench(proposed, in_hand))
    }

    fn say_place(&mut self, place: &str) {
        if place != self.place {
            place.clone_into(&mut self.place);
            self.say(&format!("\n{}", place.to_uppercase()));
        }
    }

    fn say_question(&self, index: usize, (text, notes): (&str, &[String])) {
        let number = format!("{:>2}/{} ", index + 1, self.items.len());
        let style = self.reader.style;
        let mut said = style.wrapped(&number, text);
        for note in notes {
            said += &style.wrapped(&" ".repeat(number.len()), note);
        }
        self.say(said.trim_end());
    }

    /// Why nothing can be set, and what helps.
    fn why_nothing(&self, stored: &StoredJoint, verdict: &JointVerdict) -> Option<String> {
        if marking::is_needed(&stored.joint, verdict) {
            return Some(marking::QUESTION.to_owned());
        }
        let name = &self.bicycle.bicycle.name;
        let is_set = stored.joint.check == Check::Torque
            && verdict.governing.limits.is_some()
            && !verdict.governing.parts_apart;
        let text = format!(
            "none of the wrenches at hand can be set to it; `evenclamp wrench pick {name}/{}` says what would do",
            stored.joint.name
        );
        is_set.then(|| self.reader.style.wrapped("      ", &text).trim_end().to_owned())
    }

    pub(super) fn say(&self, text: &str) {
        self.reader.say(text);
    }

    /// Signs what is changed next.
    pub(super) fn sign(&self, store: &mut Store, why: &str) {
        let why = if why.is_empty() { self.context.why() } else { why };
        store.sign(Signature { at: clock::moment(), who: self.who.clone(), why: why.to_owned() });
    }
}
