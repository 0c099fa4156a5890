//! `convert`: a value, range or limit in other units.

use clap::Args;

use super::{Answer, Context, Decision, Failure, unit_arg};
use crate::quantity::{TorqueUnit, parse_spec};
use crate::report::Conversion;

/// Convert a torque, range or limit into other units
///
/// Limits are rounded inward, so that a converted range never allows more than the original; other
/// values to nearest. No figure gets more digits than it needs. The unrounded numbers stand beside.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp convert \"44 lbf·in\" --to N·m
  evenclamp convert 4-6 N·m --to in-lb
  evenclamp convert \"max 5 N·m\" --all
  evenclamp convert \"5 N·m ±10%\" --format json")]
pub(super) struct ConvertArgs {
    /// What to convert, such as 44 lbf·in, 4-6 N·m, max 5 N·m, 5 ±0.5 N·m
    #[arg(value_name = "VALUE", required = true)]
    value: Vec<String>,
    /// Unit to convert to [default: those that wrenches for bicycles carry; JSON and CSV have all]
    #[arg(long, value_name = "UNIT", value_parser = unit_arg)]
    to: Option<TorqueUnit>,
    /// List every unit
    #[arg(long, conflicts_with = "to")]
    all: bool,
}

pub(super) fn answer(args: &ConvertArgs, context: &Context) -> Result<Answer, Failure> {
    let stated = parse_spec(&args.value.join(" "))?;
    let units = match args.to.or(context.unit) {
        Some(unit) => vec![unit],
        None => TorqueUnit::ALL.to_vec(),
    };
    if !stated.unit_given {
        context.say("no unit given: read as N·m");
    }
    let is_brief = !args.all && units.len() > 1;
    Answer::of(&Conversion { stated: &stated, units: &units, is_brief }, context, Decision::Good)
}
