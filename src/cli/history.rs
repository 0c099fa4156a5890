//! `history`: every reading of a joint, with its limits.

use std::path::PathBuf;

use clap::Args;

use super::target::target;
use super::{Answer, Context, Decision, Failure, clock};
use crate::report::{HistoryReport, history_svg};

/// Show every reading of a joint, with its limits, as a table and a plot
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp history loan-7/bar-clamp
  evenclamp history loan-7/bar-clamp#2 --svg bar-clamp.svg")]
pub(super) struct HistoryArgs {
    /// The joint: BIKE/JOINT, or one bolt of it: BIKE/JOINT#BOLT
    #[arg(value_name = "BIKE/JOINT")]
    joint: String,
    /// Write the plot as a picture
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
}

pub(super) fn answer(args: &HistoryArgs, context: &Context) -> Result<Answer, Failure> {
    let store = context.store_with_book()?;
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
