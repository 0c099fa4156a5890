//! `check`: the verdict on a reading.

use clap::{Args, ValueEnum};

use super::subject::Subject;
use super::tool::ToolArgs;
use super::{Answer, Context, Failure, Outcome};
use crate::conformity::{self, Kind, Label, Limits, slip};
use crate::quantity::{Reading, Spec, Torque, TorqueUnit, parse_reading};
use crate::report::CheckReport;

/// Judge a reading against an entry or a stated value, range or limit
///
/// `inside`, `low` and `high` are said only where the wrench's uncertainty leaves no doubt; between
/// them lies `too close`, with the chance of being inside. A set value is judged as what it is, an
/// instruction to a conforming wrench. Without a reading the setting to aim at is given.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp check \"12-14 N·m\" \"13 N·m\" --accuracy 4% --step 0.1
  evenclamp check crank-pinch-bolts \"115 lbf·in\" --wrench big-click
  evenclamp check \"max 5 N·m\" \"4.6 N·m\" --wrench small-click --explain
  evenclamp check \"4-6 N·m\" \"4 N·m\" --kind held --wrench small-click
  evenclamp check \"4-6 N·m\" --wrench small-click

Exit status: 0 inside or held, 1 low, high or moved, 2 wrong request, 3 too close or not settled.")]
pub(super) struct CheckArgs {
    /// What is specified: an entry, or a literal such as \"12-14 N·m\", \"max 5 N·m\", \"5 N·m\"
    #[arg(value_name = "SPEC")]
    spec: String,
    /// The value as read, with its unit
    #[arg(value_name = "READING")]
    reading: Option<String>,
    /// How the value came about; only a tightening is judged as one
    #[arg(long, value_enum, default_value = "tightened", requires = "reading")]
    kind: KindArg,
    /// The thread is left-hand
    #[arg(long)]
    left_hand: bool,
    #[command(flatten)]
    tool: ToolArgs,
    /// Show the uncertainty term by term
    #[arg(long)]
    explain: bool,
}

/// How a value came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum KindArg {
    /// Tightened to the value
    Tightened,
    /// Set to the value, pulled, no movement
    Held,
    /// The bolt turned at the value
    Moved,
    /// The torque at which it came loose
    Loosening,
    /// Marked, loosened, tightened back to the mark
    BackToMark,
    /// Tightened by hand only
    ByHand,
}

impl From<KindArg> for Kind {
    fn from(kind: KindArg) -> Kind {
        match kind {
            KindArg::Tightened => Kind::Tightened,
            KindArg::Held => Kind::Held,
            KindArg::Moved => Kind::Moved,
            KindArg::Loosening => Kind::Loosening,
            KindArg::BackToMark => Kind::BackToMark,
            KindArg::ByHand => Kind::ByHand,
        }
    }
}

pub(super) fn answer(args: &CheckArgs, context: &Context) -> Result<Answer, Failure> {
    let subject = Subject::read(&args.spec, context)?;
    let reading = args.reading.as_deref().map(parse_reading).transpose()?;
    if reading.is_some_and(|reading| !reading.unit_given) {
        context.say("the reading has no unit: read as N·m".to_owned());
    }
    let unit = reading.map_or(subject.unit, |reading| reading.unit);
    let limits = subject.limits();
    let upper = upper(limits.as_ref(), reading);
    let tool = args.tool.tool(context, upper, unit)?;
    let left_hand = args.left_hand || subject.is_left_hand();
    let result =
        reading.map(|reading| tool.assess(args.kind.into(), limits.as_ref(), reading.torque, left_hand));
    let hints = match (&limits, reading, &result) {
        (Some(limits), Some(reading), Some(conformity::Outcome::Judged(verdict))) => {
            slip::suspect(limits, reading, verdict.label)
        }
        _ => Vec::new(),
    };
    let outcome = result.as_ref().map_or(Outcome::Good, outcome);
    let shown = context.unit.unwrap_or(match reading {
        Some(reading) if reading.unit_given => reading.unit,
        _ => tool.unit().unwrap_or(TorqueUnit::NewtonMetre),
    });
    let report = CheckReport {
        specified: subject.text(shown),
        form: subject.spec.map(Spec::form),
        aim: tool.setting(&subject, left_hand),
        at_bolt: reading.map(|reading| tool.at_bolt(reading.torque)),
        wrench: tool.registered.as_ref().map(|registered| registered.wrench.name().to_owned()),
        instrument: tool.instrument,
        scale_step: tool.scale_step,
        ground: subject.ground,
        limits,
        reading,
        result,
        hints,
        shown,
        explain: args.explain,
    };
    Answer::of(&report, context, outcome)
}

/// The upper limit by which an unknown wrench is taken: that of what is specified, else the reading.
fn upper(limits: Option<&Limits>, reading: Option<Reading>) -> Torque {
    match (limits, reading) {
        (Some(limits), _) => limits.largest(),
        (None, Some(reading)) if reading.torque > Torque::default() => reading.torque,
        _ => TorqueUnit::NewtonMetre.of(1.0),
    }
}

fn outcome(result: &conformity::Outcome) -> Outcome {
    match result.exit_code() {
        0 => Outcome::Good,
        code if code == Label::High.exit_code() => Outcome::Bad,
        _ => Outcome::Undecided,
    }
}
