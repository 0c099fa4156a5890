//! `wrench add`: register a wrench.

use clap::Args;
use jiff::civil::Date;

use super::super::{Answer, Context, Failure, FailureKind, OrFail as _, clock, geometry, words};
use super::facts::{NOTHING_STORED, WrenchFacts, scale};
use crate::wrench::{Calibration, CalibrationResult, Interval, Wrench, WrenchKind, WrenchParts};

/// Register a torque wrench
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp wrench add small-click --type click --scale \"2-10 N·m\" --step 0.1 --calibrated 2026-05-04
  evenclamp wrench add beam --type beam --scale \"0-60 N·m\" --step 1 --anticlockwise --calibrated 2026-01-15
  evenclamp wrench add new-click --type click --scale \"5-25 N·m\" --step 0.25 --bought 2026-03-20
  evenclamp wrench add key5 --type preset --scale \"5 N·m\" --class IIB --calibrated 2026-02-01
  evenclamp wrench add lab --type electronic --scale \"1-20 N·m\" --step 0.01 --certificate 1.2% --found-off 0.8% --calibrated 2026-04-01")]
pub(in super::super) struct AddWrenchArgs {
    /// What you call it
    name: String,
    /// Its type
    #[arg(long = "type", value_name = "TYPE", value_parser = words::one_of(WrenchKind::WORDS, |_| true))]
    kind: WrenchKind,
    /// Its scale, both ends, such as "2-10 N·m"; one value for a preset wrench
    #[arg(long, value_name = "RANGE")]
    scale: String,
    #[command(flatten)]
    facts: WrenchFacts,
    /// It measures anticlockwise as well, as left-hand threads need
    #[arg(long)]
    anticlockwise: bool,
    /// Day of its last good calibration, or of its maker's declaration
    #[arg(long, value_name = "DAY", value_parser = geometry::day)]
    calibrated: Option<Date>,
    /// Day it was bought, where no calibration of it is known: it counts as calibrated from then on
    #[arg(long, value_name = "DAY", value_parser = geometry::day)]
    bought: Option<Date>,
    /// Months for which a calibration stands
    #[arg(long, value_name = "MONTHS", default_value_t = 12)]
    months: u16,
    /// Operations for which a calibration stands: readings of a torque in the workshop book that name the
    /// wrench count, one for each bolt. What is not recorded is not counted, so it has made at least as many
    #[arg(long, value_name = "CYCLES", default_value_t = 5000)]
    cycles: u32,
}

pub(in super::super) fn answer(args: &AddWrenchArgs, context: &Context) -> Result<Answer, Failure> {
    let today = clock::today();
    words::refuse_like_option(&args.name)?;
    let wrench = Wrench::new(parts(args)?, today).or_fail(FailureKind::Wrench, NOTHING_STORED)?;
    context.store()?.add_wrench(&wrench, today)?;
    if args.calibrated.is_none() && args.bought.is_none() {
        context.say(
            "no calibration is on record: its class is assumed and its readings are noted as `wrench not known`; \
             record one with `wrench calibrated`, or the day it was bought with --bought",
        );
    }
    super::shown(&args.name, context)
}

fn parts(args: &AddWrenchArgs) -> Result<WrenchParts, Failure> {
    let ((low, high), unit) = scale(&args.scale)?;
    let passed = |on| Calibration { on, result: CalibrationResult::Passed };
    let mut parts = WrenchParts {
        unit,
        anticlockwise: args.anticlockwise,
        calibrations: args.bought.into_iter().chain(args.calibrated).map(passed).collect(),
        interval: Interval::new(args.months, args.cycles).or_fail(FailureKind::Wrench, NOTHING_STORED)?,
        ..WrenchParts::new(args.name.trim(), args.kind, low, high)
    };
    args.facts.put(&mut parts)?;
    Ok(parts)
}
