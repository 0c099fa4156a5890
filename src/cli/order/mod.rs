//! `order`: the procedure of a joint and the steps in which its bolts are brought up.

mod joint;
mod places;

use std::path::PathBuf;

use clap::Args;
use uom::si::f64::Ratio;
use uom::si::ratio::ratio;

use super::known_bolt::GradedBoltArgs;
use super::subject::{names_joint, torque_joint};
use super::target::page;
use super::tool::ToolArgs;
use super::words::one_of;
use super::{Answer, Context, Decision, Failure, FailureKind, file};
use crate::report::StepAt;
use crate::sequence::{ClosedSide, Layout, Shape};
use joint::{Ordered, given_joint, planned_entry};

/// Give the order of the bolts and the settings, with what to do before and after
///
/// The passes are computed: lower steps so that the joint closes evenly, then passes at full torque
/// until the loads that the bolts keep are predicted to lie within what is asked, then one more until
/// no bolt moves. Friction is not in that prediction and is reported beside it. No setting is above
/// what is specified. Where another joint must be set first, its order comes first.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp order crank-pinch-bolts
  evenclamp order rotor-bolt-six --torque \"4 N·m\" --step 0.5
  evenclamp order chainring-bolt-steel --bolts 4 --torque \"8-10 N·m\"
  evenclamp order crank-pinch-bolts --wrench big-click --from 3.2
  evenclamp order loan-7/bar-clamp --wrench small-click
  evenclamp order --bolts 4 --layout ring --torque \"5 N·m\" --closed-side bottom
  evenclamp order --bolts 6 --layout \"grid 2x3\" --torque \"60-70 in-lb\" --format csv
  evenclamp order --at 0,20 --at 35,-12 --at -30,-15 --torque \"5 N·m\" --svg joint.svg
  evenclamp order --bolts 6 --torque \"4 N·m\" --loss 0.2 --within 2% --explain")]
pub(super) struct OrderArgs {
    /// Key of the entry, as `find` lists it, or a joint as BIKE/JOINT: then its own figure and bolts count
    #[arg(
        value_name = "ENTRY",
        required_unless_present_any = ["bolts", "at", "at_file"],
        conflicts_with_all = ["at", "at_file"]
    )]
    entry: Option<String>,
    /// How many bolts the joint has; with ENTRY instead of its own count, and its procedure stays
    #[arg(long, value_name = "N", conflicts_with_all = ["at", "at_file"])]
    bolts: Option<usize>,
    /// How they stand: ring, grid RxC, pair, row, single [default: as those of ENTRY, else ring]
    #[arg(long, value_name = "LAYOUT", conflicts_with_all = ["at", "at_file"])]
    layout: Option<String>,
    /// Place of a bolt, to the right and up, in any one unit; once for each bolt, as they are numbered
    #[arg(
        long,
        value_name = "X,Y",
        requires = "torque",
        allow_hyphen_values = true,
        conflicts_with = "at_file"
    )]
    at: Vec<String>,
    /// CSV file with the columns x and y, one line for each bolt
    #[arg(long, value_name = "FILE", requires = "torque")]
    at_file: Option<PathBuf>,
    /// What they are tightened to, instead of the entry's band
    #[arg(long, value_name = "SPEC")]
    torque: Option<String>,
    /// Side of a face plate that closes without a gap, by its maker's marking [default: top, for an
    /// entry that has such a side]
    #[arg(long, value_name = "SIDE", value_parser = one_of(ClosedSide::WORDS, |_| true))]
    closed_side: Option<ClosedSide>,
    /// Spread of the loads to reach, elastic part only, in percent of the target
    #[arg(long, value_name = "PERCENT", default_value = "5%", value_parser = fraction)]
    within: Ratio,
    /// Share of its load that the first bolt loses while the others come up, instead of the assumed
    /// low, likely and high one; below 0 for a gain
    #[arg(long, value_name = "SHARE", value_parser = fraction, allow_hyphen_values = true)]
    loss: Option<Ratio>,
    /// Show the load of every bolt after every action
    #[arg(long)]
    explain: bool,
    /// Go on from a step, such as 3.2 for pass 3, step 2
    #[arg(long, value_name = "PASS.STEP", value_parser = step_at)]
    from: Option<StepAt>,
    /// Draw the pass that is begun with (the first, or that of --from) into a file
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    #[command(flatten)]
    tool: ToolArgs,
    #[command(flatten)]
    bolt: GradedBoltArgs,
}

pub(super) fn answer(args: &OrderArgs, context: &Context) -> Result<Answer, Failure> {
    let store = context.book()?;
    let mut report = match &args.entry {
        Some(text) if names_joint(text) => {
            let found = torque_joint(store, text, context)?;
            let (joint, beside) = (&found.joint.joint, store.joints(Some(found.bicycle.id))?);
            let ordered = Ordered { joint: Some(joint), beside: &beside };
            planned_entry(page(store, &joint.entry)?, ordered, store, args, context)?
        }
        Some(entry) => {
            let ordered = Ordered { joint: None, beside: &[] };
            planned_entry(page(store, entry)?, ordered, store, args, context)?
        }
        None => given_joint(layout(args)?, store, args, context)?,
    };
    if report.too_much.is_some() {
        return Answer::of(&report, context, Decision::Bad);
    }
    if args.explain {
        report.explain();
    }
    if let Some(from) = args.from {
        let steps = report.steps();
        report = report.resumed(from).ok_or_else(|| no_such_step(from, &steps))?;
    }
    if let Some(path) = &args.svg {
        let pass = args.from.map_or(1, |from| from.pass);
        let picture = report.picture(pass).ok_or_else(|| {
            Failure::new(FailureKind::Usage, "there is no pass to draw", "leave out --from")
        })?;
        file::write_whole(path, picture.as_bytes())?;
        context.say(format!("pass {pass} is drawn in {}", path.display()));
    }
    Answer::of(&report, context, Decision::Good)
}

/// The bolts that the command line places.
fn layout(args: &OrderArgs) -> Result<Layout, Failure> {
    if let Some(bolts) = args.bolts {
        return Ok(Layout::named(args.layout.as_deref().unwrap_or(usual_layout(bolts)), bolts)?);
    }
    let places = match &args.at_file {
        Some(path) => places::read(path),
        None => args.at.iter().map(|text| places::place(text)).collect(),
    };
    Ok(Layout::points(places?)?)
}

/// The bolts of a joint that stand as `known`, or otherwise where the command line says so.
fn layout_like(known: &Layout, args: &OrderArgs) -> Result<Layout, Failure> {
    let bolts = args.bolts.unwrap_or(known.bolts());
    let is_alike = bolts > 1 && matches!(known.shape(), Shape::Ring | Shape::Row);
    let name = if is_alike { known.shape().to_string() } else { usual_layout(bolts).to_owned() };
    Ok(Layout::named(args.layout.as_deref().unwrap_or(&name), bolts)?)
}

/// The layout meant when only the number of bolts is given.
fn usual_layout(bolts: usize) -> &'static str {
    match bolts {
        0 | 1 => "single",
        2 => "pair",
        _ => "ring",
    }
}

/// The failure to go on from a step where each pass has so many `steps`.
fn no_such_step(StepAt { pass, step }: StepAt, steps: &[usize]) -> Failure {
    let hint = match pass.checked_sub(1).and_then(|index| steps.get(index)) {
        Some(last) => format!("pass {pass} has steps {pass}.1 to {pass}.{last}"),
        None => format!("there are {} passes, 1 to {}", steps.len(), steps.len()),
    };
    Failure::new(FailureKind::Usage, format!("there is no step {pass}.{step}"), hint)
}

/// A step such as `3.2`; `3` alone is the first step of pass 3.
fn step_at(text: &str) -> Result<StepAt, String> {
    let wrong = || format!("`{text}` is not a step; write pass 3, step 2 as 3.2");
    let (pass, step) = text.trim().split_once('.').unwrap_or((text.trim(), "1"));
    let number = |digits: &str| digits.parse().ok().filter(|number| *number > 0).ok_or_else(wrong);
    Ok(StepAt { pass: number(pass)?, step: number(step)? })
}

/// A share such as `0.2` or `20 %`; a bare number from 1 on may be meant as either and is refused.
fn fraction(text: &str) -> Result<Ratio, String> {
    let percent = text.trim().strip_suffix('%').map(str::trim);
    let (number, whole) = percent.map_or((text.trim(), 1.0), |number| (number, 100.0));
    match number.replace(',', ".").parse::<f64>() {
        Ok(value) if percent.is_none() && value.abs() >= 1.0 => {
            Err(format!("`{text}` may be a share or a percentage; write {number}% or {}", value / 100.0))
        }
        Ok(value) if value.is_finite() => Ok(Ratio::new::<ratio>(value / whole)),
        _ => Err(format!("`{text}` is not a share; write it as 5% or 0.05")),
    }
}
