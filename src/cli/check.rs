//! `check`: the verdict on a reading.

use clap::Args;

use super::instrument::InstrumentArgs;
use super::subject::Subject;
use super::{Answer, Context, Failure, Outcome};
use crate::conformity::{Label, Limits, SettingScale, judge, slip};
use crate::quantity::{Spec, Torque, TorqueUnit, parse_reading};
use crate::report::CheckReport;

/// Judge a reading against an entry or a stated value, range or limit
///
/// `inside`, `low` and `high` are said only where the wrench's uncertainty leaves no doubt; between
/// them lies `too close`, with the chance of being inside. A set value is judged as what it is, an
/// instruction to a conforming wrench. Without a reading the setting to aim at is given.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp check \"12-14 N·m\" \"13 N·m\" --accuracy 4% --step 0.1
  evenclamp check crank-pinch-bolts \"115 lbf·in\"
  evenclamp check \"max 5 N·m\" \"4.6 N·m\" --accuracy 6%
  evenclamp check \"4-6 N·m\" --step 0.5

Exit status: 0 inside, 1 low or high, 2 wrong request, 3 too close or not settled.")]
pub(super) struct CheckArgs {
    /// What is specified: an entry, or a literal such as \"12-14 N·m\", \"max 5 N·m\", \"5 N·m\"
    #[arg(value_name = "SPEC")]
    spec: String,
    /// The value as read, with its unit
    #[arg(value_name = "READING")]
    reading: Option<String>,
    #[command(flatten)]
    instrument: InstrumentArgs,
    /// Show the uncertainty term by term
    #[arg(long)]
    explain: bool,
}

pub(super) fn answer(args: &CheckArgs, context: &Context) -> Result<Answer, Failure> {
    let subject = Subject::read(&args.spec, context)?;
    let reading = args.reading.as_deref().map(parse_reading).transpose()?;
    let unit = reading.map_or(subject.unit, |reading| reading.unit);
    if reading.is_some_and(|reading| !reading.unit_given) {
        context.say("the reading has no unit: read as N·m".to_owned());
    }
    let limits = subject.limits();
    let upper =
        limits.as_ref().map_or_else(|| reading.map_or_else(Torque::default, |r| r.torque), Limits::largest);
    let instrument = args.instrument.instrument(upper, unit)?;
    let verdict = reading.map(|reading| judge(limits.as_ref(), reading.torque, &instrument, &[]));
    let hints = match (&limits, reading, &verdict) {
        (Some(limits), Some(reading), Some(verdict)) => slip::suspect(limits, reading, verdict.label),
        _ => Vec::new(),
    };
    let scale_step = args.instrument.step_or_usual(upper, unit)?;
    let aim = SettingScale::new(Torque::default(), upper * 2.0, Some(scale_step))
        .and_then(|scale| subject.aim(&instrument, &scale));
    let outcome = verdict.as_ref().map_or(Outcome::Good, |verdict| outcome(verdict.label));
    let shown = context.unit.unwrap_or(match reading {
        Some(reading) if reading.unit_given => reading.unit,
        _ => TorqueUnit::NewtonMetre,
    });
    let report = CheckReport {
        specified: subject.text(shown),
        form: subject.spec.map(Spec::form),
        ground: subject.ground,
        limits,
        reading,
        instrument,
        verdict,
        hints,
        aim,
        scale_step,
        shown,
        explain: args.explain,
        resolution: subject.resolution,
    };
    Answer::of(&report, context, outcome)
}

fn outcome(label: Label) -> Outcome {
    match label {
        Label::Inside => Outcome::Good,
        Label::Low | Label::High => Outcome::Bad,
        Label::TooClose | Label::NotSettled => Outcome::Undecided,
    }
}
