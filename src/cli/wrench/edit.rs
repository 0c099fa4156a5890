//! `wrench edit`: change what is known of a wrench.

use clap::Args;

use super::super::tool::registered;
use super::super::{Answer, Context, Failure, FailureKind, OrFail as _, clock, words};
use super::facts::{NOTHING_STORED, WrenchFacts, scale};
use crate::wrench::{Interval, RegisteredWrench, Wrench, WrenchRecord};

/// Change what is known of a wrench; what is not named stays. Its readings are judged by what is known of it now
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp wrench edit small-click --step 0.2 --why \"read off the handle\"
  evenclamp wrench edit small-click --name small
  evenclamp wrench edit old-beam --in-use")]
pub(in super::super) struct EditWrenchArgs {
    /// Its name
    wrench: String,
    /// What it is called from now on
    #[arg(long = "name", value_name = "NAME")]
    name: Option<String>,
    /// Its scale, both ends, such as "2-10 N·m"; one value for a preset wrench
    #[arg(long, value_name = "RANGE")]
    scale: Option<String>,
    #[command(flatten)]
    facts: WrenchFacts,
    /// Whether it measures anticlockwise as well
    #[arg(long, value_name = "YES|NO", value_parser = words::yes_no)]
    anticlockwise: Option<bool>,
    /// Months for which a calibration stands
    #[arg(long, value_name = "MONTHS")]
    months: Option<u16>,
    /// Operations for which a calibration stands
    #[arg(long, value_name = "CYCLES")]
    cycles: Option<u32>,
    /// It is in use again after it was retired
    #[arg(long)]
    in_use: bool,
}

pub(super) fn answer(args: &EditWrenchArgs, context: &Context) -> Result<Answer, Failure> {
    let mut store = context.store()?;
    let before = match store.wrench(&args.wrench)? {
        Some(found) => found,
        None => registered(&store, &args.wrench)?,
    };
    let changed = changed(args, &before)?;
    let name = changed.wrench.name().to_owned();
    if WrenchRecord::of(&changed) == WrenchRecord::of(&before) {
        let hint = "name what is to be changed, such as --step 0.2; `--help` lists it all";
        return Err(Failure::new(FailureKind::Wrench, "nothing is to be changed", hint));
    }
    store.change_wrench(before.wrench.name(), &changed)?;
    super::shown(&name, context)
}

fn changed(args: &EditWrenchArgs, before: &RegisteredWrench) -> Result<RegisteredWrench, Failure> {
    let mut parts = before.wrench.parts().clone();
    if let Some(name) = &args.name {
        words::refuse_like_option(name)?;
        name.trim().clone_into(&mut parts.name);
    }
    if let Some(given) = &args.scale {
        ((parts.low, parts.high), parts.unit) = scale(given)?;
    }
    args.facts.put(&mut parts)?;
    parts.anticlockwise = args.anticlockwise.unwrap_or(parts.anticlockwise);
    let Interval { months, cycles } = parts.interval;
    parts.interval = Interval::new(args.months.unwrap_or(months), args.cycles.unwrap_or(cycles))
        .or_fail(FailureKind::Wrench, NOTHING_STORED)?;
    let wrench = Wrench::new(parts, clock::today()).or_fail(FailureKind::Wrench, NOTHING_STORED)?;
    let retired_on = before.retired_on.filter(|_| !args.in_use);
    Ok(RegisteredWrench { wrench, retired_on, ..before.clone() })
}
