//! `wrench add`: register a wrench.

use clap::Args;
use jiff::civil::Date;
use uom::si::f64::Length;

use super::super::instrument::{percent, torque_in};
use super::super::{Answer, Context, Failure, FailureKind, OrFail as _, clock, geometry, words};
use crate::conformity::{Deviation, ToolClass};
use crate::quantity::{Spec, Stated, Torque, parse_spec};
use crate::wrench::{
    Calibration, CalibrationResult, Interval, StatedAccuracy, Wrench, WrenchKind, WrenchParts,
};

/// What is said of a wrench that cannot be.
pub(super) const NOTHING_STORED: &str = "nothing was stored";

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
    /// What one mark of the scale is worth, in the unit of the scale unless it names one
    #[arg(long, value_name = "TORQUE")]
    step: Option<String>,
    /// Class of ISO 6789-1, such as IIA [default: the usual one of its type, said to be assumed]
    #[arg(long, value_name = "CLASS", conflicts_with_all = ["accuracy", "certificate"])]
    class: Option<ToolClass>,
    /// What it may be off, in percent of the reading
    #[arg(long, value_name = "PERCENT", value_parser = percent, conflicts_with = "certificate")]
    accuracy: Option<Deviation>,
    /// Expanded uncertainty W of its certificate, in percent of the reading. It says nothing of how far off the wrench
    /// was found to be: give that with --found-off, else what its class allows is taken where that is more
    #[arg(long, value_name = "PERCENT", value_parser = percent)]
    certificate: Option<Deviation>,
    /// The largest deviation that the certificate found, in percent of the reading; W is added to it (the interval W′ of
    /// ISO 6789-2:2017, clause 8)
    #[arg(long, value_name = "PERCENT", value_parser = percent, requires = "certificate")]
    found_off: Option<Deviation>,
    /// Coverage factor of the certificate
    #[arg(long, value_name = "K", default_value_t = 2.0, requires = "certificate")]
    coverage: f64,
    /// It measures anticlockwise as well, as left-hand threads need
    #[arg(long)]
    anticlockwise: bool,
    /// Usable part of the scale, where its maker states one [default: 20 to 100 % of its capacity]
    #[arg(long, value_name = "RANGE")]
    usable: Option<String>,
    /// Who owns it
    #[arg(long, value_name = "NAME")]
    owner: Option<String>,
    /// From the middle of the handle to the drive, for adapters, such as 180mm
    #[arg(long, value_name = "LENGTH", value_parser = geometry::length)]
    lever: Option<Length>,
    /// Length of an adapter at hand; may be repeated
    #[arg(long, value_name = "LENGTH", value_parser = geometry::length)]
    adapter: Vec<Length>,
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
    let scale = parse_spec(&args.scale)?;
    if !scale.unit_given {
        let given = &args.scale;
        let hint =
            format!("write it with the unit on the wrench, such as \"{given} N·m\" or \"{given} lbf·in\"");
        return Err(Failure::new(FailureKind::Value, format!("the scale `{given}` has no unit"), hint));
    }
    let wrench = Wrench::new(parts(args, &scale)?, today).or_fail(FailureKind::Wrench, NOTHING_STORED)?;
    context.store()?.add_wrench(&wrench, today)?;
    if args.calibrated.is_none() && args.bought.is_none() {
        context.say(
            "no calibration is on record: its class is assumed and its readings are noted as `wrench not known`; \
             record one with `wrench calibrated`, or the day it was bought with --bought",
        );
    }
    super::shown(&args.name, context)
}

fn parts(args: &AddWrenchArgs, scale: &Stated) -> Result<WrenchParts, Failure> {
    let (low, high) = ends(scale, "scale")?;
    let usable = args.usable.as_deref().map(parse_spec).transpose()?;
    let usable = usable.map(|usable| ends(&usable, "usable")).transpose()?;
    let certificate = args.certificate.map(|expanded| (expanded, args.found_off, args.coverage));
    let accuracy = stated_accuracy(args.class, args.accuracy, certificate)?;
    let passed = |on| Calibration { on, result: CalibrationResult::Passed };
    Ok(WrenchParts {
        step: args.step.as_deref().map(|text| torque_in(text, scale.unit)).transpose()?,
        unit: scale.unit,
        usable,
        accuracy: accuracy.unwrap_or(StatedAccuracy::Unstated),
        anticlockwise: args.anticlockwise,
        owner: args.owner.clone(),
        lever: args.lever,
        adapters: args.adapter.clone(),
        calibrations: args.bought.into_iter().chain(args.calibrated).map(passed).collect(),
        interval: Interval::new(args.months, args.cycles).or_fail(FailureKind::Wrench, NOTHING_STORED)?,
        ..WrenchParts::new(args.name.trim(), args.kind, low, high)
    })
}

/// The accuracy that was stated: by class, as a share, or by a certificate's uncertainty, the deviation that it found and
/// its coverage factor; none where nothing was.
pub(super) fn stated_accuracy(
    class: Option<ToolClass>,
    share: Option<Deviation>,
    certificate: Option<(Deviation, Option<Deviation>, f64)>,
) -> Result<Option<StatedAccuracy>, Failure> {
    Ok(match (class, share, certificate) {
        (Some(class), _, _) => Some(StatedAccuracy::Class(class)),
        (_, Some(deviation), _) => Some(StatedAccuracy::Percent(deviation)),
        (_, _, Some((expanded, Some(found), _))) => Some(StatedAccuracy::Percent(
            Deviation::percent(found.in_percent() + expanded.in_percent())
                .or_fail(FailureKind::Wrench, NOTHING_STORED)?,
        )),
        (_, _, Some((expanded, None, coverage))) => Some(StatedAccuracy::Certificate { expanded, coverage }),
        _ => None,
    })
}

pub(super) fn ends(stated: &Stated, option: &str) -> Result<(Torque, Torque), Failure> {
    match stated.spec {
        Spec::Range { low, high } => Ok((low, high)),
        Spec::Set(value) => Ok((value, value)),
        Spec::Ceiling(_) | Spec::Floor(_) => Err(Failure::new(
            FailureKind::Value,
            format!("--{option} needs both ends"),
            "write it as \"2-10 N·m\"",
        )),
    }
}
