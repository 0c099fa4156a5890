//! `bolt`: what a bolt stands at a torque.

use std::path::PathBuf;

use clap::Args;

use super::file::write_whole;
use super::geometry;
use super::{Answer, Context, Decision, Failure};
use crate::joint::{
    Bolt, Catalogue, Condition, Engagement, Friction, HeadKind, Length, Plausibility, explain, sweep,
    unit_slips,
};
use crate::quantity::tolerance::whole_above;
use crate::quantity::{Reading, Resolution, Torque, TorqueUnit, parse_reading};
use crate::report::{BoltReport, ConditionReport, StatedCondition, nice_step, sweep_plot};

/// Tell what a bolt stands at a torque: clamp force, share of yield, and the torque that is too much
///
/// Friction decides how much of a torque becomes clamp force, so everything is told for its whole
/// band. Nothing here replaces the figure on the part: it tells what the bolt stands, not what the
/// clamped part stands.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp bolt --thread M5 --grade 8.8 --torque \"5 N·m\"
  evenclamp bolt --thread M6 --grade A2-70 --torque \"6 N·m\" --friction greased --engagement 8mm --into aluminium
  evenclamp bolt --thread M8x1 --grade 10.9 --torque \"30 lbf·ft\" --friction 0.10..0.16 --explain
  evenclamp bolt --thread M5 --grade 8.8 --sweep --svg m5.svg

Exit status: 0 plausible, 1 past 90 % of yield, past tearing or stripping, 2 wrong request.")]
pub(super) struct BoltArgs {
    /// Thread, such as M5, M8x1, 9/16-20
    #[arg(long, value_name = "THREAD")]
    thread: String,
    /// Property class as marked on the head, such as 8.8, A2-70, titanium
    #[arg(long, value_name = "CLASS")]
    grade: String,
    /// Tightening torque with its unit
    #[arg(long, value_name = "TORQUE", allow_hyphen_values = true, required_unless_present = "sweep")]
    torque: Option<String>,
    /// Friction: greased, oiled, anti-seize, as-delivered, threadlocker, dry, unknown, or numbers such
    /// as 0.10..0.16 [default: that of --condition, else unknown]
    #[arg(long, value_name = "FRICTION", allow_hyphen_values = true)]
    friction: Option<String>,
    /// Form of the head: socket or hex
    #[arg(long, value_name = "HEAD", default_value = "socket")]
    head: String,
    /// Length of engaged thread, such as 8mm
    #[arg(long, value_name = "LENGTH", value_parser = geometry::length, allow_hyphen_values = true, requires = "into", requires = "torque")]
    engagement: Option<Length>,
    /// What the bolt is screwed into, such as aluminium, 6061-T6, magnesium, steel
    #[arg(long, value_name = "MATERIAL", requires = "engagement")]
    into: Option<String>,
    /// Condition of the thread in hand
    #[arg(long, value_name = "CONDITION")]
    condition: Option<String>,
    /// Condition of the thread that the figure is stated for
    #[arg(long, value_name = "CONDITION", requires = "condition")]
    stated_condition: Option<String>,
    /// Show every formula with its numbers
    #[arg(long, requires = "torque")]
    explain: bool,
    /// Show clamp force against torque
    #[arg(long)]
    sweep: bool,
    /// Torques in the sweep, from 2 to 1000 [default: at round figures]
    #[arg(long, value_name = "N", requires = "sweep")]
    points: Option<usize>,
    /// Also draw the sweep into a file
    #[arg(long, value_name = "FILE", requires = "sweep")]
    svg: Option<PathBuf>,
}

/// Beyond the torque at which even high friction reaches 90 % of yield, a sweep goes on this much.
const SWEEP_BEYOND: f64 = 1.2;
/// A sweep has at least this many rows.
const SWEEP_ROWS: f64 = 10.0;

pub(super) fn answer(args: &BoltArgs, context: &Context) -> Result<Answer, Failure> {
    let reading = args.torque.as_deref().map(parse_reading).transpose()?;
    if reading.is_some_and(|reading| !reading.unit_given) {
        context.say("the torque has no unit: read as N·m");
    }
    let catalogue = context.book()?.catalogue()?;
    let bolt = catalogue.bolt(&args.thread, &args.grade, HeadKind::named(&args.head)?)?;
    let friction = friction(args, &catalogue, &bolt)?;
    let engagement = engagement(args, &catalogue)?;
    let at_torque = reading.map(|reading| {
        let analysis = bolt.analyse(reading.torque, friction.band, engagement.as_ref())?;
        Ok::<_, Failure>((reading.torque, analysis))
    });
    let at_torque = at_torque.transpose()?;
    let slips = match (reading, &at_torque) {
        (Some(reading), Some((_, analysis))) if analysis.plausibility != Plausibility::Plausible => {
            unit_slips(&bolt, reading.number.value, reading.unit, friction.band)?
        }
        _ => Vec::new(),
    };
    let steps = match (args.explain, reading) {
        (true, Some(reading)) => explain(&bolt, reading.torque, friction.band)?,
        _ => Vec::new(),
    };
    let mut report = BoltReport {
        condition: condition(args, &catalogue)?,
        number: reading.map_or(0.0, |reading| reading.number.value),
        resolution: reading.map_or(Resolution(Torque::default()), Reading::resolution),
        shown: context.unit.unwrap_or(reading.map_or(TorqueUnit::NewtonMetre, |reading| reading.unit)),
        sweep: Vec::new(),
        bolt,
        friction,
        at_torque,
        engagement,
        slips,
        steps,
    };
    if args.sweep {
        add_sweep(&mut report, args, reading, context)?;
    }
    let outcome = if report.is_plausible() { Decision::Good } else { Decision::Bad };
    Answer::of(&report, context, outcome)
}

/// The friction as given, else that of the condition in hand, else of any condition.
fn friction(args: &BoltArgs, catalogue: &Catalogue, bolt: &Bolt) -> Result<Friction, Failure> {
    let words = args.friction.as_deref().or(args.condition.as_deref());
    let into = args.into.as_deref().map(|into| catalogue.material(into)).transpose()?;
    Ok(catalogue.friction(words.unwrap_or(Condition::Unknown.name()), bolt.class.family, into)?)
}

fn engagement(args: &BoltArgs, catalogue: &Catalogue) -> Result<Option<Engagement>, Failure> {
    match (&args.engagement, &args.into) {
        (Some(length), Some(into)) => Ok(Some(Engagement::new(*length, catalogue.material(into)?.clone())?)),
        _ => Ok(None),
    }
}

/// What is published on the condition in hand against the one that the figure is stated for.
fn condition(args: &BoltArgs, catalogue: &Catalogue) -> Result<Option<ConditionReport>, Failure> {
    let Some(actual) = &args.condition else { return Ok(None) };
    let stated = args.stated_condition.as_deref().map(Condition::named).transpose()?;
    let stated = stated.map(StatedCondition::named).into_iter().collect();
    Ok(Some(ConditionReport::new(catalogue, stated, Condition::named(actual)?)))
}

fn add_sweep(
    report: &mut BoltReport,
    args: &BoltArgs,
    reading: Option<Reading>,
    context: &Context,
) -> Result<(), Failure> {
    let unit = report.shown;
    let least = unit.value_of(report.torque_limit().high) * SWEEP_BEYOND;
    let least = reading.map_or(least, |reading| unit.value_of(reading.torque).max(least));
    let step = nice_step(least, SWEEP_ROWS);
    let rows = whole_above(least / step);
    let up_to: Torque = unit.of(rows * step);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "10 to 26 rows")]
    let usual = rows as usize;
    report.sweep = sweep(&report.bolt, report.friction.band, up_to, args.points.unwrap_or(usual))?;
    if let Some(path) = &args.svg {
        write_whole(path, sweep_plot(report, up_to)?.as_bytes())?;
        context.say(format!("the plot stands in {}", path.display()));
    }
    Ok(())
}
