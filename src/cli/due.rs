//! `due`: what is due, why, and when the next is.

use clap::Args;

use super::target::any_bicycle;
use super::{Answer, Context, Decision, Failure, clock};
use crate::report::DueReport;

/// Say what is due, why, and when the next is
///
/// Intervals come from the spec book with their sources. `due` means that a joint no longer counts as
/// checked; `advised` that somebody of the trade would look now.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp due loan-7
  evenclamp due --format csv

Exit status: 0 nothing is due, 1 something is, 2 wrong request.")]
pub(super) struct DueArgs {
    /// The bicycle [default: all in use]
    #[arg(value_name = "BIKE")]
    bike: Option<String>,
    /// As of this time [default: now]
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
}

pub(super) fn answer(args: &DueArgs, context: &Context) -> Result<Answer, Failure> {
    let store = context.store_with_book()?;
    let now = args.at.as_deref().map_or_else(clock::now, clock::instant)?;
    let outcome = |due: bool| if due { Decision::Bad } else { Decision::Good };
    if let Some(name) = &args.bike {
        let (workshop, judged) = store.judge(&any_bicycle(&store, name)?, now)?;
        let report = DueReport::new(&judged, &workshop);
        return Answer::of(&report, context, outcome(report.is_due()));
    }
    let (workshop, judged) = store.judge_all(now)?;
    let bikes: Vec<DueReport> = judged.iter().map(|judged| DueReport::new(judged, &workshop)).collect();
    let due = bikes.iter().any(DueReport::is_due);
    Answer::of(&bikes, context, outcome(due))
}
