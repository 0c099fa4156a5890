//! `history`: how a joint went, with its limits; who changed what; looking back.

use std::path::PathBuf;

use clap::Args;

use super::look_back::{self, LookBackArgs};
use super::target::{any_bicycle, target};
use super::tool::any_wrench;
use super::{Answer, Context, Decision, Failure, FailureKind, clock};
use crate::report::{ChangesReport, HistoryReport, history_svg};
use crate::store::Store;
use crate::words::{Outlet, visible};
use crate::workshop::NotShown;

/// Show how a joint went, or look back by wrench, entry, person, bicycle or period
///
/// Of one joint: its readings with their limits, as a table and a plot. Looking back: what was read, where its joint
/// stands today, and what is in doubt because of its wrench; retired bicycles and joints that were taken off included.
/// The newest 20 readings of each bolt are shown, and nothing that was corrected or struck; --all shows the rest.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp history loan-7/bar-clamp
  evenclamp history loan-7/bar-clamp#2 --svg bar-clamp.svg
  evenclamp history loan-7/bar-clamp --all
  evenclamp history --wrench small-click --since 2026-05-01
  evenclamp history --wrench small-click --doubt
  evenclamp history --entry rotor-bolt-six --by Kim
  evenclamp history loan-7 --changes
  evenclamp history --wrench small-click --changes")]
pub(super) struct HistoryArgs {
    /// The joint: BIKE/JOINT, or one bolt of it: BIKE/JOINT#BOLT; or a bicycle
    #[arg(value_name = "BIKE/JOINT", required_unless_present = "LookBackArgs")]
    of: Option<String>,
    /// Who changed what on it or on a wrench, when and why, instead of what was read
    #[arg(long, conflicts_with_all = ["svg", "all", "entry", "by", "bike", "joint", "since", "until", "doubt"])]
    changes: bool,
    /// Every reading, and the lines that were corrected or struck
    #[arg(long)]
    all: bool,
    /// Write the plot as a picture
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    #[command(flatten)]
    looked_back: LookBackArgs,
}

pub(super) fn answer(args: &HistoryArgs, context: &Context) -> Result<Answer, Failure> {
    let of = args.of.as_deref();
    if args.changes {
        let store = context.store_with_book()?;
        return match (of, args.looked_back.wrench()) {
            (Some(of), None) => changes(&store, of, context),
            (None, Some(wrench)) => changes_of_wrench(&store, wrench, context),
            _ => {
                let message = "the changes are those of one thing: a bicycle, a joint or a wrench";
                let hint = "evenclamp history BIKE --changes, or evenclamp history --wrench NAME --changes";
                Err(Failure::new(FailureKind::Usage, message, hint))
            }
        };
    }
    let store = context.store_with_book()?;
    match of {
        Some(path) if !args.looked_back.asks() && is_in_use(&store, path)? => {
            of_joint(&store, path, args, context)
        }
        _ if args.svg.is_some() => {
            let message = "a plot is of a joint of a bicycle in use, without other options";
            Err(Failure::new(FailureKind::Usage, message, "evenclamp history BIKE/JOINT --svg FILE"))
        }
        _ => look_back::answer(&args.looked_back, (of, args.all), context),
    }
}

/// Whether a path is to be read as that of a joint of a bicycle in use: not one of a bicycle alone, nor what was retired
/// or taken off, whose log alone is left.
fn is_in_use(store: &Store, path: &str) -> Result<bool, Failure> {
    let Some((bike, rest)) = path.split_once('/') else { return Ok(false) };
    let bicycle = any_bicycle(store, bike)?;
    let name = rest.split('#').next().unwrap_or_default();
    let is_name = |name_of: &str| name_of.eq_ignore_ascii_case(name.trim());
    let carried = store.joints(Some(bicycle.id))?;
    let is_gone = carried.iter().all(|stored| !is_name(stored.joint.name.text()))
        && store.joints_ever(Some(bicycle.id))?.iter().any(|(name_of, _)| is_name(name_of));
    Ok(bicycle.bicycle.retired.is_none() && !is_gone)
}

fn of_joint(store: &Store, path: &str, args: &HistoryArgs, context: &Context) -> Result<Answer, Failure> {
    let target = target(store, path)?;
    let mut log = store.log_of(target.joint.id)?;
    log.retain(|logged| target.bolt.is_none_or(|bolt| bolt == logged.reading.bolt));
    let mut not_shown = NotShown::default();
    if !args.all {
        not_shown = NotShown::cut(&mut log, |logged| (0, logged));
    }
    let (workshop, joint, verdict) = target.judge(store, clock::now()?)?;
    let bike = target.bicycle.bicycle.name.text();
    let report =
        HistoryReport::new(bike, &joint, &verdict, (log, not_shown), context.unit).in_workshop(&workshop);
    if let Some(file) = &args.svg {
        let svg = history_svg(&report)?;
        super::file::write_whole(file, visible(&svg, Outlet::Text { coloured: false }).as_bytes())?;
        context.say(format!("the plot is in {}", file.display()));
    }
    Answer::of(&report, context, Decision::Good)
}

/// Who changed what on a wrench, one that was retired as well.
fn changes_of_wrench(store: &Store, name: &str, context: &Context) -> Result<Answer, Failure> {
    let wrench = any_wrench(store, name)?;
    let of = wrench.wrench.name().to_owned();
    let changes = store.changes_of_wrench(&of)?;
    Answer::of(&ChangesReport { of, changes: &changes }, context, Decision::Good)
}

/// Who changed what on a joint or a bicycle, one that was retired as well.
fn changes(store: &Store, of: &str, context: &Context) -> Result<Answer, Failure> {
    let (of, changes) = if of.contains('/') {
        let found = target(store, of)?;
        let of = format!("{}/{}", found.bicycle.bicycle.name, found.joint.joint.name);
        (of, store.changes(found.bicycle.id, Some(found.joint.id))?)
    } else {
        let found = any_bicycle(store, of)?;
        (found.bicycle.name.to_string(), store.changes(found.id, None)?)
    };
    Answer::of(&ChangesReport { of, changes: &changes }, context, Decision::Good)
}
