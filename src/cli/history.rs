//! `history`: every reading of a joint, with its limits.

use std::path::PathBuf;

use clap::Args;

use super::target::{any_bicycle, target};
use super::{Answer, Context, Decision, Failure, clock};
use crate::report::{ChangesReport, HistoryReport, history_svg};
use crate::store::Store;

/// Show every reading of a joint, with its limits, as a table and a plot
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp history loan-7/bar-clamp
  evenclamp history loan-7/bar-clamp#2 --svg bar-clamp.svg
  evenclamp history loan-7/bar-clamp --changes
  evenclamp history loan-7 --changes")]
pub(super) struct HistoryArgs {
    /// The joint: BIKE/JOINT, or one bolt of it: BIKE/JOINT#BOLT; with --changes a bicycle, too
    #[arg(value_name = "BIKE/JOINT")]
    joint: String,
    /// Who changed what on it, when and why, instead of what was read
    #[arg(long, conflicts_with = "svg")]
    changes: bool,
    /// Write the plot as a picture
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
}

pub(super) fn answer(args: &HistoryArgs, context: &Context) -> Result<Answer, Failure> {
    let store = context.store_with_book()?;
    if args.changes {
        return changes(&store, &args.joint, context);
    }
    let target = target(&store, &args.joint)?;
    let mut log = store.log_of(target.joint.id)?;
    log.retain(|logged| target.bolt.is_none_or(|bolt| bolt == logged.reading.bolt));
    let (_, joint, verdict) = target.judge(&store, clock::now()?)?;
    let bike = target.bicycle.bicycle.name.text();
    let report = HistoryReport::new(bike, &joint, &verdict, log, context.unit);
    if let Some(file) = &args.svg {
        super::file::write_whole(file, history_svg(&report).as_bytes())?;
        context.say(format!("the plot is in {}", file.display()));
    }
    Answer::of(&report, context, Decision::Good)
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
