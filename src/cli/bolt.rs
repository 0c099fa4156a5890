//! `bolt`: what a bolt stands at a torque, or can bear at all.

mod asked;

use std::path::PathBuf;

use clap::Args;

use super::file::write_whole;
use super::geometry;
use super::{Answer, Context, Decision, Failure, FailureKind};
use crate::joint::{
    Bolt, Catalogue, Condition, Engagement, Friction, HeadKind, Length, Plausibility, explain, sweep,
    unit_slips,
};
use crate::quantity::tolerance::whole_above;
use crate::quantity::{Resolution, Torque, TorqueUnit};
use crate::report::{BoltReport, ConditionReport, StatedCondition, nice_step, sweep_plot};
use asked::asked;

/// Tell what a bolt stands: clamp force, share of yield, and the torque that is too much
///
/// Friction decides how much of a torque becomes clamp force, so everything is told for its whole
/// band. Without a torque it is told what the bolt can bear; of a joint or an entry the bolt and the figure that counts are
/// taken from there. Nothing here replaces the figure on the part: it tells what the bolt stands, not what the
/// clamped part stands.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp bolt --thread M5 --grade 8.8 --torque \"5 N·m\"
  evenclamp bolt --thread M5 --grade 8.8
  evenclamp bolt loan-7/bar-clamp
  evenclamp bolt rotor-bolt-six --grade 10.9
  evenclamp bolt --thread M6 --grade A2-70 --torque \"6 N·m\" --friction greased --engagement 8mm --into aluminium
  evenclamp bolt --thread M8x1 --grade 10.9 --torque \"30 lbf·ft\" --friction 0.10..0.16 --explain
  evenclamp bolt --thread M5 --grade 8.8 --sweep --svg m5.svg

Exit status: 0 plausible, 1 past 90 % of yield, past tearing or stripping, 2 wrong request.")]
pub(super) struct BoltArgs {
    /// A joint as BIKE/JOINT, or an entry: thread, class, condition and figure are taken from there
    #[arg(value_name = "JOINT", required_unless_present = "thread")]
    subject: Option<String>,
    /// Thread, such as M5, M8x1, 9/16-20 [default: that of JOINT]
    #[arg(long, value_name = "THREAD")]
    thread: Option<String>,
    /// Property class as marked on the head, such as 8.8, A2-70, titanium [default: as noted for JOINT]
    #[arg(long, value_name = "CLASS")]
    grade: Option<String>,
    /// Tightening torque with its unit [default: the most that is specified for JOINT]
    #[arg(long, value_name = "TORQUE", allow_hyphen_values = true)]
    torque: Option<String>,
    /// Friction: greased, oiled, anti-seize, as-delivered, threadlocker, dry, unknown, or numbers such
    /// as 0.10..0.16 [default: that of --condition, else unknown]
    #[arg(long, value_name = "FRICTION", allow_hyphen_values = true)]
    friction: Option<String>,
    /// Form of the head: socket or hex
    #[arg(long, value_name = "HEAD", default_value = "socket")]
    head: String,
    /// Length of engaged thread, such as 8mm
    #[arg(long, value_name = "LENGTH", value_parser = geometry::length, allow_hyphen_values = true, requires = "into")]
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
    #[arg(long)]
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
    let asked = asked(args, context)?;
    if asked.torque.is_none() && (args.explain || args.engagement.is_some()) {
        let hint = "add --torque, such as --torque \"5 N·m\"";
        return Err(Failure::new(FailureKind::Usage, "--explain and --engagement need a torque", hint));
    }
    let catalogue = context.book()?.catalogue()?;
    let bolt = catalogue.bolt(&asked.thread, &asked.grade, HeadKind::named(&args.head)?)?;
    let friction = friction(args, asked.condition.as_deref(), &catalogue, &bolt)?;
    let engagement = engagement(args, &catalogue)?;
    let at_torque = asked.torque.as_ref().map(|asked| {
        let analysis = bolt.analyse(asked.torque, friction.band, engagement.as_ref())?;
        Ok::<_, Failure>((asked.torque, analysis))
    });
    let at_torque = at_torque.transpose()?;
    let slips = match (&asked.torque, &at_torque) {
        (Some(asked), Some((_, analysis))) if analysis.plausibility != Plausibility::Plausible => {
            unit_slips(&bolt, asked.number, asked.unit, friction.band)?
        }
        _ => Vec::new(),
    };
    let steps = match (args.explain, &asked.torque) {
        (true, Some(asked)) => explain(&bolt, asked.torque, friction.band)?,
        _ => Vec::new(),
    };
    let unit = asked.torque.as_ref().map_or(TorqueUnit::NewtonMetre, |asked| asked.unit);
    let least_limit = bolt.torque_limits(friction.band).low;
    let mut report = BoltReport {
        condition: condition(args, asked.condition.as_deref(), &catalogue)?,
        number: asked.torque.as_ref().map_or(0.0, |asked| asked.number),
        resolution: asked.torque.as_ref().map_or(Resolution(Torque::default()), |asked| asked.resolution),
        shown: context.unit.unwrap_or(unit),
        sweep: Vec::new(),
        at_limit: bolt.analyse(least_limit, friction.band, None)?.clamp_load,
        ground: asked.ground,
        bolt,
        friction,
        at_torque,
        engagement,
        slips,
        steps,
    };
    if args.sweep {
        add_sweep(&mut report, args, asked.torque.as_ref().map(|asked| asked.torque), context)?;
    }
    let outcome = if report.is_plausible() { Decision::Good } else { Decision::Bad };
    Answer::of(&report, context, outcome)
}

/// The friction as given, else that of the condition in hand, else of any condition.
fn friction(
    args: &BoltArgs,
    condition: Option<&str>,
    catalogue: &Catalogue,
    bolt: &Bolt,
) -> Result<Friction, Failure> {
    let words = args.friction.as_deref().or(condition);
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
fn condition(
    args: &BoltArgs,
    actual: Option<&str>,
    catalogue: &Catalogue,
) -> Result<Option<ConditionReport>, Failure> {
    let Some(actual) = actual else { return Ok(None) };
    let stated = args.stated_condition.as_deref().map(Condition::named).transpose()?;
    let stated = stated.map(StatedCondition::named).into_iter().collect();
    Ok(Some(ConditionReport::new(catalogue, stated, Condition::named(actual)?)))
}

fn add_sweep(
    report: &mut BoltReport,
    args: &BoltArgs,
    torque: Option<Torque>,
    context: &Context,
) -> Result<(), Failure> {
    let unit = report.shown;
    let least = unit.value_of(report.torque_limit().high) * SWEEP_BEYOND;
    let least = torque.map_or(least, |torque| unit.value_of(torque).max(least));
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
