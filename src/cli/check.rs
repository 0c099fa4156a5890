//! `check`: the verdict on a reading.

use clap::Args;

use super::known_bolt::{BoltRemarks, KnownBoltArgs};
use super::record::admit::no_reading;
use super::subject::Subject;
use super::tool::{Tool, ToolArgs, no_setting};
use super::{Answer, Context, Decision, Failure, FailureKind, words};
use crate::conformity::slip::{self, Slip};
use crate::conformity::{Kind, Limits, Outcome, is_no_reading};
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
  evenclamp check \"4-6 N·m\" \"5.2 N·m\" --thread M5 --grade 8.8
  evenclamp check crank-pinch-bolts \"13 N·m\" --condition dry

Exit status: 0 inside or held, 1 low, high, moved or too much for the bolt, 2 wrong request,
3 too close or not settled.")]
pub(super) struct CheckArgs {
    /// What is specified: an entry, a joint as BIKE/JOINT, or a literal such as "12-14 N·m", "max 5 N·m", "5 N·m"
    #[arg(value_name = "SPEC")]
    spec: String,
    /// The value as read, with its unit
    #[arg(value_name = "READING")]
    reading: Option<String>,
    /// How the value came about: tightened to it; set to it and held, or moved; the torque at which it
    /// came loose; loosened and brought back to a mark. Only a tightening is judged as one
    #[arg(long, value_name = "KIND", value_parser = words::one_of_fitting(Kind::WORDS, |kind| kind.has_torque()), default_value = "tightened", requires = "reading")]
    kind: Kind,
    /// The thread is left-hand
    #[arg(long)]
    left_hand: bool,
    #[command(flatten)]
    tool: ToolArgs,
    #[command(flatten)]
    bolt: KnownBoltArgs,
    /// Show the uncertainty term by term
    #[arg(long)]
    explain: bool,
}

pub(super) fn answer(args: &CheckArgs, context: &Context) -> Result<Answer, Failure> {
    refuse_kind_without_torque(args.kind)?;
    let mut subject = Subject::read(&args.spec, context)?;
    let reading = args.reading.as_deref().map(|text| reading(text, &subject, args, context)).transpose()?;
    let unit = reading.map_or(subject.unit, |reading| reading.unit);
    let limits = subject.limits();
    let upper = upper(limits.as_ref(), reading);
    let (tool, unregistered) = args.tool.reading_tool((context, reading.is_some()), upper, unit)?;
    refuse_nothing(reading, &tool)?;
    let left_hand = args.left_hand || subject.is_left_hand();
    let result = reading.map(|reading| tool.assess(args.kind, limits.as_ref(), reading.torque, left_hand));
    // What comes loose at a torque says nothing of the load that it was tightened to.
    let applied = reading.filter(|_| args.kind != Kind::Loosening).map(|reading| applied(reading, &tool));
    let (mut bolt, condition) = args.bolt.remarks(&subject, applied, context)?;
    bolt.too_much = bolt.too_much.filter(|_| args.kind != Kind::Loosening && args.kind.has_torque());
    let decision = decision(result.as_ref(), limits.as_ref(), &bolt);
    subject.bears = bolt.bears;
    let shown = shown_unit(reading, &tool, context);
    let (on_scale, at_bolt) = (tool.unit().unwrap_or(shown), reading.map(|read| tool.at_bolt(read.torque)));
    let notes = [
        unregistered,
        at_bolt.and_then(|torque| subject.core_note(torque, shown)),
        subject.side_note().filter(|_| !args.left_hand).map(str::to_owned),
    ];
    let may_aim = bolt.too_much.is_none() && !condition.differs();
    let no_aim = tool.aim(&subject).and_then(Result::err).filter(|_| may_aim);
    let report = CheckReport {
        no_aim: no_aim.map(|why| no_setting(why, &subject, &tool, on_scale, context)),
        notes: notes.into_iter().flatten().chain(subject.notes.iter().cloned()).collect(),
        specified: subject.text(shown),
        form: subject.spec.map(Spec::form),
        orientation: subject.orientation.clone(),
        held_back: subject.held_back(),
        is_tightening: args.kind == Kind::Tightened,
        aim: tool.setting(&subject, left_hand, on_scale).filter(|_| may_aim),
        bolt: bolt.doubts,
        too_much: bolt.too_much,
        condition,
        at_bolt,
        wrench: tool.registered.as_ref().map(|registered| registered.wrench.name().to_owned()),
        instrument: tool.instrument,
        scale_step: tool.scale_step,
        ground: subject.basis,
        hints: hints(limits.as_ref(), reading, result.as_ref()),
        limits,
        reading,
        result,
        shown,
        explain: args.explain,
    };
    Answer::of(&report, context, decision)
}

/// The unit of the answer: the one asked for, the one typed, else that of the scale.
fn shown_unit(reading: Option<Reading>, tool: &Tool, context: &Context) -> TorqueUnit {
    context.unit.unwrap_or(match reading {
        Some(reading) if reading.unit_given => reading.unit,
        _ => tool.unit().unwrap_or(TorqueUnit::NewtonMetre),
    })
}

/// What it comes to; the bolt decides before the limits.
fn decision(result: Option<&Outcome>, limits: Option<&Limits>, bolt: &BoltRemarks) -> Decision {
    match result {
        _ if bolt.too_much.is_some() => Decision::Bad,
        Some(result) => result.decision(),
        None if limits.is_none() => Decision::Undecided,
        None => Decision::Good,
    }
}

/// What was done without a wrench has no value to judge.
fn refuse_kind_without_torque(kind: Kind) -> Result<(), Failure> {
    if kind.has_torque() {
        return Ok(());
    }
    let word = kind.text();
    Err(Failure::new(
        FailureKind::Value,
        format!("a bolt that is `{word}` has no value to judge"),
        format!(
            "leave --kind out for a bolt tightened to the value, or say held, moved, loosening or back-to-mark; \
             `evenclamp record BIKE/JOINT --kind {word}` notes it without a value"
        ),
    ))
}

/// A wrench that shows nothing has measured nothing.
fn refuse_nothing(reading: Option<Reading>, tool: &Tool) -> Result<(), Failure> {
    let division = tool.division();
    match reading.filter(|reading| is_no_reading(reading.torque, division)) {
        Some(reading) => Err(no_reading(reading, division)),
        None => Ok(()),
    }
}

/// The unit of the scale of the wrench that is named, where it is registered.
fn unit_of_scale(args: &CheckArgs, context: &Context) -> Result<Option<TorqueUnit>, Failure> {
    let Some(name) = &args.tool.wrench else { return Ok(None) };
    Ok(context.store()?.wrench(name)?.map(|registered| registered.wrench.unit()))
}

/// The reading; a bare number is in the unit of the wrench that is named, else in N·m unless what is specified is in
/// another unit.
fn reading(text: &str, subject: &Subject, args: &CheckArgs, context: &Context) -> Result<Reading, Failure> {
    let reading = parse_reading(text)?;
    if reading.unit_given {
        return Ok(reading);
    }
    if let Some(unit) = unit_of_scale(args, context)? {
        context.say(format!("the reading has no unit: read as {unit}, that of the wrench"));
        let torque = unit.of(reading.number.value);
        return Ok(Reading { torque, unit, ..reading });
    }
    let (number, unit) = (reading.number.value, subject.unit);
    if unit != TorqueUnit::NewtonMetre {
        return Err(Failure::new(
            FailureKind::Value,
            format!("the reading {number} has no unit, and what is specified is in {unit}"),
            format!("write \"{number} {unit}\" or \"{number} N·m\""),
        ));
    }
    context.say("the reading has no unit: read as N·m");
    Ok(reading)
}

/// Slips of unit that would explain a tightening.
fn hints(limits: Option<&Limits>, reading: Option<Reading>, result: Option<&Outcome>) -> Vec<Slip> {
    let (Some(limits), Some(reading), Some(Outcome::Judged(verdict))) = (limits, reading, result) else {
        return Vec::new();
    };
    slip::suspect(limits, reading, verdict.label)
}

/// The number and unit that the bolt got: those of the reading, unless an adapter lies between.
fn applied(reading: Reading, tool: &Tool) -> (f64, TorqueUnit) {
    let at_bolt = tool.at_bolt(reading.torque);
    if at_bolt == reading.torque {
        return (reading.number.value, reading.unit);
    }
    ((reading.unit.value_of(at_bolt) * 1e3).round() / 1e3, reading.unit)
}

/// The upper limit by which an unknown wrench is taken: that of what is specified, else the reading.
fn upper(limits: Option<&Limits>, reading: Option<Reading>) -> Torque {
    match (limits, reading) {
        (Some(limits), _) => limits.largest(),
        (None, Some(reading)) if reading.torque > Torque::default() => reading.torque,
        _ => TorqueUnit::NewtonMetre.of(1.0),
    }
}
