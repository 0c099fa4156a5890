//! `wrench pick`: which registered wrench serves a torque best.

use clap::Args;
use jiff::civil::Date;

use super::super::subject::Subject;
use super::super::{Answer, Context, Failure, Outcome, geometry};
use crate::conformity::Limits;
use crate::report::{PickReport, PickedFor};
use crate::wrench::{Use, Wrench, needs, rank};

/// Say which registered wrench serves each torque best, and what to buy where none does
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp wrench pick \"4-6 N·m\"
  evenclamp wrench pick crank-pinch-bolts cassette-lockring \"max 5 N·m\"")]
pub(in super::super) struct PickArgs {
    /// Entries, or literals such as \"4-6 N·m\"
    #[arg(value_name = "SPEC", required = true)]
    specs: Vec<String>,
    /// The thread is left-hand: the wrench must measure anticlockwise
    #[arg(long)]
    left_hand: bool,
    /// The day it is for [default: today]
    #[arg(long, value_name = "DAY", value_parser = geometry::day)]
    on: Option<Date>,
}

pub(in super::super) fn answer(args: &PickArgs, context: &Context) -> Result<Answer, Failure> {
    let subjects =
        args.specs.iter().map(|text| Subject::read(text, context)).collect::<Result<Vec<_>, _>>()?;
    let wrenches: Vec<Wrench> = context
        .store()?
        .wrenches()?
        .into_iter()
        .filter(|wrench| wrench.retired_on.is_none())
        .map(|wrench| wrench.wrench)
        .collect();
    let day = args.on.unwrap_or_else(geometry::today);
    let mut unserved: Vec<Limits> = Vec::new();
    let mut picked = Vec::new();
    for (text, subject) in args.specs.iter().zip(&subjects) {
        let limits = subject.limits();
        let left_hand_thread = args.left_hand || subject.is_left_hand();
        let usage = Use { left_hand_thread, ..Use::on(day) };
        let candidates = match &limits {
            Some(limits) => rank(wrenches.iter().map(|wrench| (wrench, None)), limits, &usage),
            None => Vec::new(),
        };
        if let Some(limits) = limits.filter(|_| !candidates.iter().any(crate::wrench::Candidate::serves)) {
            unserved.push(limits);
        }
        picked.push(PickedFor::new(
            text,
            subject.text(context.shown_unit()),
            &subject.ground,
            &candidates,
            context.shown_unit(),
        ));
    }
    let (to_buy, beyond) = needs(&unserved);
    let outcome = if picked.iter().all(PickedFor::is_served) { Outcome::Good } else { Outcome::Bad };
    Answer::of(&PickReport::new(picked, &to_buy, beyond.len(), context.shown_unit()), context, outcome)
}
