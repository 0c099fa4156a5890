//! `bike joint`: add joints to a bicycle, change or take off what is different on this one.

use std::collections::BTreeSet;

use clap::{Args, Subcommand};

use super::super::target::{bicycle, joint, joints_named, key_meant};
use super::super::words::typed_name;
use super::super::{Answer, Context, Failure, FailureKind, clock};
use super::add::from_template;
use super::admit::{JointRules, refuse_less_without_reason};
use super::change;
use crate::book::{Check, Hand, Rounds};
use crate::report::{AlteredBicycle, BicycleReport, ChangedJoints};
use crate::sheet::field::YES_NO;
use crate::store::Store;
use crate::workshop::{BY_HAND, Figure, Joint, Marking, Name, StoredBicycle, StoredJoint, may_be_without};

/// Add joints to a bicycle, change or take off what is different on this one
#[derive(Debug, Subcommand)]
pub(super) enum JointAction {
    Add(Box<AddJointArgs>),
    Edit(Box<EditJointArgs>),
    /// Take a joint off; its readings stay in the log
    Remove {
        /// The bicycle
        bike: String,
        /// The joint
        joint: String,
        /// The bicycle has no such part, as a coaster brake needs no brake in front: its hand check is then no condition
        /// of `ready`, which still names who said so and why
        #[arg(long)]
        not_fitted: bool,
    },
}

/// Add a joint, or the hand checks that a bicycle of its kind should have
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp bike joint add loan-7 bottle-cage --entry bottle-cage-bolt --bolts 2 --critical no
  evenclamp bike joint add loan-7 --missing")]
pub(super) struct AddJointArgs {
    /// The bicycle
    bike: String,
    /// The joint
    #[arg(required_unless_present = "missing")]
    joint: Option<String>,
    /// Add the hand checks of its kind that the bicycle lacks, as `ready` names them
    #[arg(long, conflicts_with_all = ["joint", "JointChange"])]
    missing: bool,
    #[command(flatten)]
    change: JointChange,
}

/// Change joints: the figure on the part, their bolts, their entry
///
/// Several joints take the same change, all or none: the joints of one bicycle behind its name, or joints as
/// BIKE/JOINT. Names parted by commas stand for each of them.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp bike joint edit loan-7 bar-clamp --marking \"stem: max 6 N·m\" --marking \"bar: max 5 N·m\"
  evenclamp bike joint edit loan-7 rotor-front rotor-rear --part-maker \"4 N·m\" --thread M5
  evenclamp bike joint edit hire-1,hire-2,hire-3/seat-collar --marking \"max 5 N·m\"
  evenclamp bike joint edit loan-7 rotor-front-thickness --marking \"min 1.5 mm\"

`evenclamp bike sheet` takes the figures of whole bicycles from a table.")]
pub(super) struct EditJointArgs {
    /// A bicycle and its joints, or joints as BIKE/JOINT
    #[arg(required = true, value_name = "BIKE JOINT|BIKE/JOINT")]
    joints: Vec<String>,
    #[command(flatten)]
    change: JointChange,
}

/// What is to be different about a joint.
#[derive(Debug, Args)]
pub(super) struct JointChange {
    /// A new name
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
    /// Its entry in the spec book, or the item of a measured check; a name that is short for one will do
    #[arg(long, value_name = "ENTRY")]
    entry: Option<String>,
    /// How it is checked: torque, function (by hand, eye and ear), measure
    #[arg(long, value_name = "HOW")]
    check: Option<String>,
    /// How many bolts it has
    #[arg(long, value_name = "N")]
    bolts: Option<u16>,
    /// Where it is
    #[arg(long, value_name = "TEXT")]
    place: Option<String>,
    /// Whether it decides safety
    #[arg(long, value_name = "yes|no")]
    critical: Option<String>,
    /// Turning direction, where the side decides it: right or left
    #[arg(long, value_name = "HAND")]
    hand: Option<String>,
    /// What stands on the part, such as "max 5 N·m" or "stem: max 5 N·m"; given twice for the two
    /// parts of a clamp. Empty takes it away
    #[arg(long, value_name = "FIGURE")]
    marking: Vec<String>,
    /// What the maker of the part says; empty takes it away
    #[arg(long, value_name = "FIGURE")]
    part_maker: Option<String>,
    /// What the maker of the bicycle says; empty takes it away
    #[arg(long, value_name = "FIGURE")]
    bike_maker: Option<String>,
    /// What the shop's own book says; empty takes it away
    #[arg(long, value_name = "FIGURE")]
    shop: Option<String>,
    /// Thread, such as M5
    #[arg(long, value_name = "THREAD")]
    thread: Option<String>,
    /// Property class of its bolts as read off the head, such as 8.8, A2-70; empty takes it away. What takes a
    /// bolt of a known class past 90 % of yield is too much for it
    #[arg(long, value_name = "CLASS")]
    grade: Option<String>,
    /// Condition of the thread, such as greased
    #[arg(long, value_name = "TEXT")]
    condition: Option<String>,
    /// Where a photo is kept
    #[arg(long, value_name = "PATH")]
    photo: Option<String>,
    /// The rounds of `visit` that ask for it: before, after, "before after", none; empty for those of its kind of
    /// bicycle
    #[arg(long, value_name = "ROUNDS")]
    rounds: Option<String>,
}

pub(super) fn answer(action: &JointAction, context: &Context) -> Result<Answer, Failure> {
    let mut store = context.store_with_book()?;
    let (bike, added, taken_off) = match action {
        JointAction::Edit(args) => return edited(args, store, context),
        JointAction::Add(args) => {
            let bicycle = bicycle(&store, &args.bike)?;
            let Some(name) = &args.joint else {
                let added = missing(&mut store, &bicycle)?;
                return altered(&store, &args.bike, (&added, None), context);
            };
            let mut added = new_joint(name, &store.joints(Some(bicycle.id))?)?;
            args.change.apply(&mut added)?;
            let short = args.change.name_entry(&mut added, &store)?;
            if let Some(said) = short {
                context.say(said);
            }
            let rules = JointRules::of([&added].into_iter(), &store, context)?;
            rules.admit_typed(&added, None, |column| args.change.states(column))?;
            store.add_joints(bicycle.id, std::slice::from_ref(&added))?;
            (&args.bike, vec![added.name], None)
        }
        JointAction::Remove { bike, joint: name, not_fitted } => {
            let bicycle = bicycle(&store, bike)?;
            let found = joint(&store, &bicycle, name)?;
            if *not_fitted {
                refuse_fitted(&found.joint)?;
            }
            if found.joint.critical || *not_fitted {
                let why = if found.joint.critical { "decides safety" } else { "is said not to be fitted" };
                context.reason_for(&format!("{} {why}: it is taken off for a reason", found.joint.name))?;
            }
            store.remove_joint(found.id, !not_fitted)?;
            (bike, Vec::new(), Some(found.joint.name))
        }
    };
    altered(&store, bike, (&added, taken_off.as_ref()), context)
}

/// The bicycle of which joints were added or taken off; bad where one that was added is too much for its bolt.
fn altered(
    store: &Store,
    bike: &str,
    (added, taken_off): (&[Name], Option<&Name>),
    context: &Context,
) -> Result<Answer, Failure> {
    let stored = bicycle(store, bike)?;
    let (workshop, judged) = store.judge(&stored, clock::now()?)?;
    let bicycle = BicycleReport { judged: &judged, workshop: &workshop, unit: context.unit };
    let touched = judged.joints.iter().filter(|(joint, _)| added.contains(&joint.name));
    Answer::of(&AlteredBicycle { bicycle, added, taken_off }, context, super::decision(touched))
}

/// Adds the hand checks that the bicycle lacks of those of its kind, all or none; their names.
fn missing(store: &mut Store, bicycle: &StoredBicycle) -> Result<Vec<Name>, Failure> {
    let (_, judged) = store.judge(bicycle, clock::now()?)?;
    if judged.lacking.is_empty() {
        let message = format!("{} has every hand check of its kind", bicycle.bicycle.name);
        return Err(Failure::new(FailureKind::Joint, message, "there is nothing to add"));
    }
    let template = store.template(&bicycle.bicycle.kind)?.into_iter();
    let rows = template.filter(|row| judged.lacking.contains(&row.joint));
    let mut joints = rows.map(from_template).collect::<Result<Vec<Joint>, _>>()?;
    let others = store.joints(Some(bicycle.id))?;
    for joint in &mut joints {
        let is_taken = |other: &StoredJoint| other.joint.name.text().eq_ignore_ascii_case(joint.name.text());
        if others.iter().any(is_taken) {
            joint.name = Name::new(&format!("{}{BY_HAND}", joint.name))?;
        }
    }
    store.add_joints(bicycle.id, &joints)?;
    Ok(joints.into_iter().map(|joint| joint.name).collect())
}

/// Only a hand check is of a part that may not be there; what every bicycle has is there.
fn refuse_fitted(joint: &Joint) -> Result<(), Failure> {
    let message = if joint.check != Check::Function {
        format!("{} is no hand check", joint.name)
    } else if !may_be_without(joint.name.text()) {
        format!("no bicycle is without what {} looks at", joint.name)
    } else {
        return Ok(());
    };
    Err(Failure::new(FailureKind::Joint, message, "take it off without --not-fitted; nothing was changed"))
}

/// Changes all of the joints or none.
fn edited(args: &EditJointArgs, mut store: Store, context: &Context) -> Result<Answer, Failure> {
    let before = joints_named(&store, &args.joints)?;
    let mut changed: Vec<StoredJoint> = before.iter().map(|(_, stored)| stored.clone()).collect();
    let mut short = BTreeSet::new();
    for stored in &mut changed {
        args.change.apply(&mut stored.joint)?;
        short.extend(args.change.name_entry(&mut stored.joint, &store)?);
    }
    for said in short {
        context.say(said);
    }
    let rules = JointRules::of(changed.iter().map(|stored| &stored.joint), &store, context)?;
    for ((_, old), StoredJoint { joint, .. }) in before.iter().zip(&changed) {
        let remarks = rules.admit_typed(joint, Some(&old.joint), |column| args.change.states(column))?;
        for remark in remarks {
            context.say(remark);
        }
        refuse_less_without_reason(&old.joint, joint, context)?;
    }
    store.change_joints(&changed)?;
    let judged = super::judged(&store, before.into_iter().map(|(bicycle, _)| bicycle), &changed)?;
    let report = ChangedJoints { judged: &judged, unit: context.unit };
    Answer::of(&report, context, super::decision(judged.iter().flat_map(|(_, judged)| &judged.joints)))
}

/// A new joint stands last on the way round, behind the others.
fn new_joint(name: &str, others: &[StoredJoint]) -> Result<Joint, Failure> {
    let last = others.iter().map(|stored| stored.joint.order).max().unwrap_or(0);
    let place = "elsewhere".to_owned();
    Ok(Joint { place, order: last.saturating_add(1), ..Joint::named(typed_name(name)?) })
}

impl JointChange {
    /// Puts what was typed into the joint; nothing of it is checked against the book yet.
    fn apply(&self, joint: &mut Joint) -> Result<(), Failure> {
        if let Some(name) = &self.name {
            joint.name = typed_name(name)?;
        }
        if let Some(check) = &self.check {
            let unknown = format!("`{check}` is no way to check");
            let hint = "use torque, function or measure";
            joint.check =
                Check::parse(check).ok_or_else(|| Failure::new(FailureKind::Value, unknown, hint))?;
        }
        if let Some(word) = &self.critical {
            joint.critical = one_of(YES_NO, word, ("--critical", "say yes or no"))?;
        }
        if let Some(word) = &self.hand {
            joint.hand = Some(one_of(HANDS, word, ("--hand", "say right or left"))?);
        }
        if let Some(words) = &self.rounds {
            joint.rounds = rounds(words)?;
        }
        joint.bolts = self.bolts.unwrap_or(joint.bolts);
        change(&mut joint.entry, self.entry.as_ref());
        change(&mut joint.place, self.place.as_ref());
        change(&mut joint.thread, self.thread.as_ref());
        change(&mut joint.grade, self.grade.as_ref());
        change(&mut joint.condition, self.condition.as_ref());
        change(&mut joint.photo, self.photo.as_ref());
        state(&mut joint.figures.part_maker, self.part_maker.as_deref());
        state(&mut joint.figures.bicycle_maker, self.bike_maker.as_deref());
        state(&mut joint.figures.shop, self.shop.as_deref());
        if !self.marking.is_empty() {
            joint.figures.markings = markings(&self.marking)?;
        }
        Ok(())
    }

    /// Puts the whole key where the entry or measured item was typed by a short name, and tells so.
    fn name_entry(&self, joint: &mut Joint, store: &Store) -> Result<Option<String>, Failure> {
        let Some(typed) = self.entry.as_deref().filter(|text| !text.trim().is_empty()) else {
            return Ok(None);
        };
        let keys = match joint.check {
            Check::Measure => store.measured_items()?.into_keys().collect(),
            Check::Torque | Check::Function => store.entry_keys()?,
        };
        let Some(key) = key_meant(typed, keys.iter().map(String::as_str))? else { return Ok(None) };
        let said = (key != typed.trim().to_lowercase()).then(|| format!("`{typed}` is {key}"));
        joint.entry = key;
        Ok(said)
    }

    /// Whether the figure of a column is typed in.
    fn states(&self, column: &str) -> bool {
        match column {
            "part_maker" => self.part_maker.is_some(),
            "bicycle_maker" => self.bike_maker.is_some(),
            "shop" => self.shop.is_some(),
            _ => !self.marking.is_empty(),
        }
    }
}

const HANDS: &[(&str, Hand)] = &[("right", Hand::Right), ("left", Hand::Left)];

/// What a word of an option stands for.
fn one_of<T: Copy>(words: &[(&str, T)], word: &str, (option, hint): (&str, &str)) -> Result<T, Failure> {
    let found = words.iter().find(|(known, _)| *known == word).map(|(_, value)| *value);
    found.ok_or_else(|| Failure::new(FailureKind::Value, format!("{option} `{word}`"), hint))
}

/// Markings as typed: the part before a colon, the figure after it.
fn markings(typed: &[String]) -> Result<Vec<Marking>, Failure> {
    let filled: Vec<&String> = typed.iter().filter(|text| !text.trim().is_empty()).collect();
    if filled.len() > 2 {
        let hint = "a clamp has two parts: keep the two that carry a figure";
        return Err(Failure::new(FailureKind::Value, format!("{} markings were given", filled.len()), hint));
    }
    Ok(filled.into_iter().map(|text| Marking::typed(text)).collect())
}

/// Rounds as typed; an empty text gives those of the kind of bicycle back.
fn rounds(typed: &str) -> Result<Option<Rounds>, Failure> {
    if typed.trim().is_empty() {
        return Ok(None);
    }
    let unknown = || {
        let hint = "say before, after, \"before after\" or none; empty for those of its kind of bicycle";
        Failure::new(FailureKind::Value, format!("--rounds `{typed}`"), hint)
    };
    Rounds::parse(typed).map(Some).ok_or_else(unknown)
}

/// A figure as typed; an empty text takes it away.
fn state(slot: &mut Option<Figure>, typed: Option<&str>) {
    if let Some(text) = typed {
        *slot = Some(Figure::read(text)).filter(|figure| !figure.text().is_empty());
    }
}
