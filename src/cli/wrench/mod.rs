//! `wrench`: register the torque wrenches, choose one, set one.

mod add;
mod edit;
mod facts;
mod pick;
mod setting;

use clap::{Args, Subcommand};
use jiff::civil::Date;

use super::tool::{any_wrench, registered};
use super::{Answer, Context, Decision, Failure, FailureKind, OrFail as _, clock, geometry};
use crate::report::{ShownWrench, WrenchReport};
use crate::store::Store;
use crate::words::shell;
use crate::workshop::{JudgedBicycle, LookBack, NotShown, Recalled, State};
use crate::wrench::{Calibration, CalibrationResult, RegisteredWrench, Wrench};

/// Register torque wrenches, choose one for a joint, correct for an adapter
///
/// A registered wrench brings its accuracy, step, scale, direction and calibration into every
/// judgement: `check --wrench`, `show --wrench` and `order --wrench` use them. A calibration stands for
/// some months or some operations, whichever comes first; operations are counted in the workshop book.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp wrench add small-click --type click --scale \"2-10 N·m\" --step 0.1 --calibrated 2026-05-04
  evenclamp wrench list
  evenclamp wrench pick \"4-6 N·m\"
  evenclamp wrench setting \"12 N·m\" --wrench big-click --adapter 40mm
  evenclamp wrench calibrated small-click --on 2026-11-02 --failed --note \"dropped\"")]
pub(super) struct WrenchArgs {
    #[command(subcommand)]
    action: WrenchAction,
}

#[derive(Debug, Subcommand)]
enum WrenchAction {
    Add(Box<add::AddWrenchArgs>),
    /// List the wrenches, their operations since the last good calibration, and whether their readings
    /// stand today
    List {
        /// List retired ones as well
        #[arg(long)]
        all: bool,
    },
    /// Show one wrench with its calibrations, its operations since the last good one, what it was used for and what is in
    /// doubt
    Show {
        /// Its name
        name: String,
    },
    /// Record a calibration; one that failed puts every reading since the last good one in doubt, and lists them
    Calibrated {
        /// Its name
        name: String,
        /// The day it was done [default: today]
        #[arg(long, value_name = "DAY", value_parser = geometry::day)]
        on: Option<Date>,
        /// It was found out of tolerance
        #[arg(long)]
        failed: bool,
        /// What else to keep, such as the certificate's number
        #[arg(long, value_name = "TEXT", default_value = "")]
        note: String,
        /// Take the calibration of this number back, as `wrench show` lists it; --why says why. It stays readable
        #[arg(long, value_name = "NUMBER", conflicts_with_all = ["on", "failed", "note"])]
        strike: Option<i64>,
    },
    Edit(Box<edit::EditWrenchArgs>),
    /// Take a wrench out of use; its history is kept
    Retire {
        /// Its name
        name: String,
    },
    Pick(pick::PickArgs),
    Setting(setting::SettingArgs),
}

pub(super) fn answer(args: &WrenchArgs, context: &Context) -> Result<Answer, Failure> {
    match &args.action {
        WrenchAction::Add(args) => add::answer(args, context),
        WrenchAction::List { all } => {
            let store = context.store()?;
            let mut wrenches = store.wrenches()?;
            wrenches.retain(|wrench| *all || wrench.retired_on.is_none());
            if wrenches.is_empty() {
                context.say("no wrench is registered: `evenclamp wrench add --help` shows how");
            }
            let reports = wrenches.iter().map(|wrench| report(&store, wrench, context));
            let reports: Vec<WrenchReport> = reports.collect::<Result<_, _>>()?;
            Answer::of(&reports, context, Decision::Good)
        }
        WrenchAction::Show { name } => shown(name, context),
        WrenchAction::Calibrated { name, strike: Some(number), .. } => {
            let mut store = context.store()?;
            registered(&store, name)?;
            context.reason_for("a calibration is struck for a reason")?;
            if !store.strike_calibration(name, *number)? {
                let message = format!("{name} has no calibration {number} to be struck");
                let hint = format!("`evenclamp wrench show {}` lists them with their numbers", shell(name));
                return Err(Failure::new(FailureKind::Value, message, hint));
            }
            shown(name, context)
        }
        WrenchAction::Calibrated { name, on, failed, note, strike: None } => {
            let today = clock::today();
            let result = if *failed { CalibrationResult::Failed } else { CalibrationResult::Passed };
            calibrated(name, Calibration { on: on.unwrap_or(today), result }, note, today, context)
        }
        WrenchAction::Retire { name } => {
            let mut store = context.store()?;
            registered(&store, name)?;
            store.retire_wrench(name, clock::today())?;
            shown(name, context)
        }
        WrenchAction::Edit(args) => edit::answer(args, context),
        WrenchAction::Pick(args) => pick::answer(args, context),
        WrenchAction::Setting(args) => setting::answer(args, context),
    }
}

fn shown(name: &str, context: &Context) -> Result<Answer, Failure> {
    shown_after(name, None, context)
}

/// A wrench with what it was used for and what of that is in doubt; after a calibration that failed on a day all that it
/// casts doubt on.
fn shown_after(name: &str, failed_on: Option<Date>, context: &Context) -> Result<Answer, Failure> {
    let store = context.store_with_book()?.into_snapshot()?;
    let wrench = any_wrench(&store, name)?;
    let name = wrench.wrench.name();
    let asked = LookBack { wrench: Some(name.to_owned()), ..LookBack::default() };
    let mut read = store.look_back(&asked, clock::now()?)?;
    NotShown::taken_back(&mut read, Recalled::told);
    let is_doubted = |one: &&Recalled| match failed_on {
        Some(day) => one.is_doubted_by(day),
        None => !one.doubts.is_empty(),
    };
    let doubted = read.iter().filter(is_doubted).cloned().collect();
    let report = report(&store, &wrench, context)?;
    let shown = ShownWrench::new(report, name, &read, (doubted, failed_on.is_some()));
    Answer::of(&shown, context, Decision::Good)
}

fn report<'a>(
    store: &Store,
    wrench: &'a RegisteredWrench,
    context: &Context,
) -> Result<WrenchReport<'a>, Failure> {
    let name = wrench.wrench.name();
    let known = (store.cycles(wrench)?, store.calibrations(name)?, store.struck_calibrations(name)?);
    Ok(WrenchReport::new(wrench, known, clock::today(), context.unit))
}

/// Records a calibration after checking that the wrench with it is one.
fn calibrated(
    name: &str,
    calibration: Calibration,
    note: &str,
    today: Date,
    context: &Context,
) -> Result<Answer, Failure> {
    let mut store = context.store_with_book()?;
    let mut parts = registered(&store, name)?.wrench.parts().clone();
    parts.calibrations.push(calibration);
    Wrench::new(parts, today).or_fail(FailureKind::Wrench, facts::NOTHING_STORED)?;
    let before = in_doubt(&store)?;
    store.calibrate_wrench(name, calibration, note)?;
    if calibration.result == CalibrationResult::Failed {
        context.say(format!("every reading of {name} since its last good calibration is in doubt"));
        let mut again = in_doubt(&store)?;
        again.retain(|joint| !before.contains(joint));
        if !again.is_empty() {
            context.say(format!("do these joints again with a sound wrench: {}", again.join(", ")));
        }
        return shown_after(name, Some(calibration.on), context);
    }
    shown(name, context)
}

/// The joints of bicycles in use whose newest evidence rests on a wrench in doubt, as BIKE/JOINT.
fn in_doubt(store: &Store) -> Result<Vec<String>, Failure> {
    let (_, bicycles) = store.judge_all(clock::now()?)?;
    let of_bicycle = |judged: &JudgedBicycle| -> Vec<String> {
        let open = judged.joints.iter().filter(|(_, verdict)| verdict.state() == State::WrenchInDoubt);
        open.map(|(joint, _)| format!("{}/{}", judged.stored.bicycle.name, joint.name)).collect()
    };
    Ok(bicycles.iter().flat_map(of_bicycle).collect())
}
