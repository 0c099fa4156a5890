//! `wrench pick`: which registered wrench serves a torque best.

use clap::Args;
use jiff::civil::Date;

use super::super::known_bolt::GradedBoltArgs;
use super::super::subject::Subject;
use super::super::target::bicycle;
use super::super::{Answer, Context, Decision, Failure, clock, geometry};
use crate::book::Check;
use crate::conformity::Limits;
use crate::report::{PickReport, PickedFor, ShownSetting};
use crate::workshop::Joint;
use crate::wrench::{Use, needs, rank};

/// Say which registered wrench serves each torque best, and what to buy where none does
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp wrench pick \"4-6 N·m\"
  evenclamp wrench pick crank-pinch-bolts cassette-lockring \"max 5 N·m\"
  evenclamp wrench pick --bike loan-7")]
pub(in super::super) struct PickArgs {
    /// Entries, joints as BIKE/JOINT, or literals such as "4-6 N·m"
    #[arg(value_name = "SPEC", required_unless_present = "bike")]
    specs: Vec<String>,
    /// Every joint of a bicycle that is tightened to a torque
    #[arg(long, value_name = "BIKE", conflicts_with = "specs")]
    bike: Option<String>,
    /// The thread is left-hand: the wrench must measure anticlockwise
    #[arg(long)]
    left_hand: bool,
    /// The day it is for [default: today]
    #[arg(long, value_name = "DAY", value_parser = geometry::day)]
    on: Option<Date>,
    #[command(flatten)]
    bolt: GradedBoltArgs,
}

pub(in super::super) fn answer(args: &PickArgs, context: &Context) -> Result<Answer, Failure> {
    let mut subjects = subjects(args, context)?;
    let mut registered = context.store()?.wrenches()?;
    registered.retain(|wrench| wrench.retired_on.is_none());
    let wrenches = || registered.iter().map(|registered| &registered.wrench);
    let day = args.on.unwrap_or_else(clock::today);
    let unit = context.shown_unit();
    let mut unserved: Vec<Limits> = Vec::new();
    let mut picked = Vec::new();
    let mut anticlockwise = false;
    for (text, subject) in &mut subjects {
        let bolt = args.bolt.remarks(subject, context)?;
        subject.bears = bolt.bears;
        // What the bolt does not bear is not to be set on any wrench.
        let limits = subject.limits_on_bolt().filter(|_| bolt.too_much.is_none());
        let left_hand_thread = args.left_hand || subject.is_left_hand();
        let usage = Use { left_hand_thread, ..Use::on(day) };
        let candidates = limits.as_ref().map_or_else(Vec::new, |limits| rank(wrenches(), limits, &usage));
        let aimed = candidates.into_iter().map(|candidate| {
            let wrench = candidate.wrench;
            let aim = subject.aim(&wrench.instrument(None), &wrench.settings(None)).and_then(Result::ok);
            let shown = aim.map(|aim| ShownSetting {
                aim,
                on_scale: aim.setting,
                step: wrench.shown_step(),
                unit: wrench.unit(),
                doubts: candidate.doubts.clone(),
            });
            (candidate, shown)
        });
        let picked_for = PickedFor {
            spec: text,
            specified: subject.text(unit),
            ground: &subject.basis,
            wrenches: aimed.collect(),
            remarks: bolt.doubts,
            notes: &subject.notes,
            too_much: bolt.too_much,
        };
        if !picked_for.is_served() {
            unserved.extend(limits);
            anticlockwise |= left_hand_thread;
        }
        picked.push(picked_for);
    }
    let (to_buy, beyond) = needs(&unserved);
    let outcome = if picked.iter().all(PickedFor::is_served) { Decision::Good } else { Decision::Bad };
    Answer::of(&PickReport { picked, to_buy, anticlockwise, beyond: beyond.len(), unit }, context, outcome)
}

/// What wrenches are wanted for, by the name it is shown under.
fn subjects(args: &PickArgs, context: &Context) -> Result<Vec<(String, Subject)>, Failure> {
    let Some(bike) = &args.bike else {
        return args.specs.iter().map(|text| Ok((text.clone(), Subject::read(text, context)?))).collect();
    };
    let store = context.store_with_book()?;
    let bicycle = bicycle(&store, bike)?;
    let joints = store.joints(Some(bicycle.id))?.into_iter().map(|stored| stored.joint);
    let torques = joints.filter(|joint| joint.check == Check::Torque);
    let name = |joint: &Joint| format!("{}/{}", bicycle.bicycle.name, joint.name);
    torques.map(|joint| Ok((name(&joint), Subject::joint(&joint, &store)?))).collect()
}
