//! `bike`: take bicycles in, look at them, change what is written about them and their joints.

mod add;
mod admit;
mod joint;
mod sheet;

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use clap::{Args, Subcommand};

pub(super) use admit::JointRules;

use super::target::{any_bicycle, bicycle};
use super::{Answer, Context, Decision, Failure, FailureKind, clock};
use crate::report::{BicycleReport, FleetList};
use crate::store::Store;
use crate::workshop::{
    Joint, JointVerdict, JudgedBicycle, Name, NameError, State, StoredBicycle, StoredJoint, WorkshopSnapshot,
};

/// Take bicycles in, look at them, change what is written about them and their joints
///
/// A template gives a bicycle the joints of its kind; add, change or take off what is different on this
/// one, and note the figure that stands on the part: it counts before every other.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp bike add loan-7 --kind hardtail --owner \"the club\"
  evenclamp bike show loan-7
  evenclamp bike joint edit loan-7 bar-clamp --marking \"stem: max 6 N·m\" --marking \"bar: max 5 N·m\"
  evenclamp bike sheet loan-7 --to loan-7.csv
  evenclamp bike joint add loan-7 bottle-cage --entry bottle-cage-bolt --bolts 2 --place frame
  evenclamp bike retire loan-7")]
pub(super) struct BikeArgs {
    #[command(subcommand)]
    action: BikeAction,
}

#[derive(Debug, Subcommand)]
enum BikeAction {
    Add(Box<add::AddBikeArgs>),
    /// Show a bicycle with its joints and the figure that counts for each
    Show {
        /// Its name
        bike: String,
    },
    /// List the bicycles
    List {
        /// List retired ones as well
        #[arg(long)]
        all: bool,
    },
    Edit(EditArgs),
    /// Take a bicycle out of use; its log is kept
    Retire {
        /// Its name
        bike: String,
    },
    Sheet(sheet::SheetArgs),
    #[command(subcommand)]
    Joint(Box<joint::JointAction>),
}

/// Change what is written about a bicycle
#[derive(Debug, Args)]
struct EditArgs {
    /// Its name
    bike: String,
    /// A new name
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
    /// Frame number
    #[arg(long, value_name = "TEXT")]
    frame: Option<String>,
    /// Who owns it
    #[arg(long, value_name = "TEXT")]
    owner: Option<String>,
    /// Anything else worth knowing
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    /// Take a retired bicycle into use again
    #[arg(long)]
    in_use: bool,
}

pub(super) fn answer(args: &BikeArgs, context: &Context) -> Result<Answer, Failure> {
    match &args.action {
        BikeAction::Add(args) => add::answer(args, context),
        BikeAction::Show { bike } => shown(bike, |_| false, context),
        BikeAction::List { all } => {
            let bicycles = context.store()?.bicycles(*all)?;
            if bicycles.is_empty() {
                context.say("no bicycle is taken in: `evenclamp bike add NAME --kind KIND`");
            }
            Answer::of(&FleetList(&bicycles), context, Decision::Good)
        }
        BikeAction::Edit(args) => edited(args, context),
        BikeAction::Retire { bike } => {
            let mut store = context.store()?;
            let mut stored = bicycle(&store, bike)?;
            stored.bicycle.retired = Some(clock::now()?);
            store.change_bicycle(&stored)?;
            Answer::of(&FleetList(&[stored]), context, Decision::Good)
        }
        BikeAction::Sheet(args) => sheet::answer(args, context),
        BikeAction::Joint(action) => joint::answer(action, context),
    }
}

/// The bicycle; bad where a joint that was `touched` is too much for its bolt.
fn shown(name: &str, touched: impl Fn(&Name) -> bool, context: &Context) -> Result<Answer, Failure> {
    let store = context.store_with_book()?;
    let stored = any_bicycle(&store, name)?;
    let (workshop, judged) = store.judge(&stored, clock::now()?)?;
    let report = BicycleReport { judged: &judged, workshop: &workshop, unit: context.unit };
    let touched = judged.joints.iter().filter(|(joint, _)| touched(&joint.name));
    Answer::of(&report, context, decision(touched))
}

/// Bad where one of the joints that were touched is too much for its bolt.
fn decision<'a>(touched: impl IntoIterator<Item = &'a (Joint, JointVerdict)>) -> Decision {
    let is_too_much = |(_, verdict): &(Joint, JointVerdict)| verdict.state() == State::TooMuch;
    if touched.into_iter().any(is_too_much) { Decision::Bad } else { Decision::Good }
}

/// The bicycles, each once, with none of their joints but those that were changed, as they are judged now.
fn judged(
    store: &Store,
    bicycles: impl IntoIterator<Item = StoredBicycle>,
    changed: &[StoredJoint],
) -> Result<Vec<(WorkshopSnapshot, JudgedBicycle)>, Failure> {
    let (now, mut judged) = (clock::now()?, BTreeMap::new());
    for bicycle in bicycles {
        if let Entry::Vacant(place) = judged.entry(bicycle.id) {
            let (workshop, mut one) = store.judge(&bicycle, now)?;
            let is_changed =
                |joint: &Joint| changed.iter().any(|c| c.bicycle == bicycle.id && c.joint.name == joint.name);
            one.joints.retain(|(joint, _)| is_changed(joint));
            place.insert((workshop, one));
        }
    }
    Ok(judged.into_values().collect())
}

fn edited(args: &EditArgs, context: &Context) -> Result<Answer, Failure> {
    let mut store = context.store()?;
    let StoredBicycle { id, mut bicycle } = any_bicycle(&store, &args.bike)?;
    if let Some(name) = &args.name {
        bicycle.name = super::words::typed_name(name)?;
    }
    change(&mut bicycle.frame, args.frame.as_ref());
    change(&mut bicycle.owner, args.owner.as_ref());
    change(&mut bicycle.note, args.note.as_ref());
    if args.in_use {
        bicycle.retired = None;
    }
    let name = bicycle.name.to_string();
    store.change_bicycle(&StoredBicycle { id, bicycle })?;
    drop(store);
    shown(&name, |_| false, context)
}

/// Puts a text as typed in the place of another; none leaves it as it is.
fn change(slot: &mut String, typed: Option<&String>) {
    if let Some(text) = typed {
        text.trim().clone_into(slot);
    }
}

impl From<NameError> for Failure {
    fn from(error: NameError) -> Failure {
        Failure::new(FailureKind::Name, error, "nothing was stored")
    }
}
