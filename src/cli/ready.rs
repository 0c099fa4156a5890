//! `ready`: is the bicycle fit to ride?

use clap::Args;

use super::target::any_bicycle;
use super::{Answer, Context, Decision, Failure, clock};
use crate::report::{FleetReady, ReadyReport};
use crate::workshop::Fitness;

/// Say whether a bicycle is fit to ride, what decides it and what to do next
///
/// A joint that decides safety and is bad makes the bicycle `unfit`; one without current evidence
/// leaves it `unproven`: a missing check is never a pass. Other open joints are conditions.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp ready loan-7
  evenclamp ready loan-7 --all
  evenclamp ready --all
  evenclamp ready loan-7 --at \"2026-05-31 18:00\" --format json

Exit status: 0 fit, or fit with conditions; 1 unfit; 2 wrong request; 3 unproven. Of several bicycles
the worst decides.")]
pub(super) struct ReadyArgs {
    /// The bicycle
    #[arg(value_name = "BIKE", required_unless_present = "all")]
    bike: Option<String>,
    /// Without a bicycle: every bicycle in use, the worst first. With one: every joint with its reason
    #[arg(long)]
    all: bool,
    /// As it was known at this time: what was written down or happened later does not count [default: now]
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
}

pub(super) fn answer(args: &ReadyArgs, context: &Context) -> Result<Answer, Failure> {
    let store = context.store_with_book()?;
    let now = args.at.as_deref().map_or_else(clock::now, clock::instant)?;
    let store = if args.at.is_some() { store.known_at(now)? } else { store.into_snapshot()? };
    let Some(name) = &args.bike else {
        let (workshop, judged) = store.judge_all(now)?;
        let report = FleetReady::new(&judged, &workshop, context.unit);
        if judged.is_empty() {
            context.say("no bicycle is taken in: `evenclamp bike add NAME --kind KIND`");
        }
        let decision = report.worst().map_or(Decision::Good, Fitness::decision);
        return Answer::of(&report, context, decision);
    };
    let stored = any_bicycle(&store, name).map_err(|failure| match (&args.at, failure.hint) {
        (Some(_), hint) => {
            let then = format!("at {now} it was not taken in yet, or had another name");
            Failure { hint: Some(hint.into_iter().fold(then, |then, hint| then + "; " + &hint)), ..failure }
        }
        (None, hint) => Failure { hint, ..failure },
    })?;
    let (workshop, judged) = store.judge(&stored, now)?;
    let report = ReadyReport::new(&judged, &workshop, context.unit, args.all);
    Answer::of(&report, context, judged.verdict.fitness.decision())
}
