//! The bolt that is asked about: as typed, else as noted for a joint or stated by an entry.

use super::super::subject::{Subject, names_joint, torque_joint};
use super::super::target::{Target, page};
use super::super::{Context, Failure, FailureKind};
use super::BoltArgs;
use crate::joint::Condition;
use crate::quantity::{Resolution, Torque, TorqueUnit, parse_reading};

/// A torque on a bolt.
pub(super) struct AskedTorque {
    pub(super) torque: Torque,
    /// The number in the unit it was stated in.
    pub(super) number: f64,
    pub(super) unit: TorqueUnit,
    pub(super) resolution: Resolution,
}

/// What is asked.
pub(super) struct AskedBolt {
    pub(super) thread: String,
    pub(super) grade: String,
    /// The condition of the thread in hand, where it is typed or noted.
    pub(super) condition: Option<String>,
    /// None where only is asked what the bolt can bear.
    pub(super) torque: Option<AskedTorque>,
    /// On whose word the torque is asked about, where it was not typed.
    pub(super) ground: Option<String>,
}

/// What the command line, and the joint or entry that it names, say of the bolt.
pub(super) fn asked(args: &BoltArgs, context: &Context) -> Result<AskedBolt, Failure> {
    let typed = args.torque.as_deref().map(parse_reading).transpose()?;
    if typed.is_some_and(|reading| !reading.unit_given) {
        context.say("the torque has no unit: read as N·m");
    }
    let (subject, joint) = subject(args, context)?;
    let known = subject.as_ref().map(|subject| subject.bolt.clone()).unwrap_or_default();
    let given = |typed: &Option<String>, known: String| typed.clone().unwrap_or(known);
    let thread = given(&args.thread, known.thread);
    if thread.is_empty() {
        return Err(not_noted("the thread of the bolt is not known", "--thread M5", joint.as_ref()));
    }
    let grade = given(&args.grade, known.grade);
    if grade.is_empty() {
        return Err(not_noted("the class of the bolts is not noted", "--grade 8.8", joint.as_ref()));
    }
    let noted = Condition::stated_in(&known.condition).map(|condition| condition.name().to_owned());
    let figure = subject.as_ref().filter(|_| typed.is_none()).and_then(figure);
    let ground = figure.as_ref().and(subject.map(|subject| subject.basis));
    let typed = typed.map(|reading| AskedTorque {
        torque: reading.torque,
        number: reading.number.value,
        unit: reading.unit,
        resolution: reading.resolution(),
    });
    Ok(AskedBolt {
        thread,
        grade,
        condition: args.condition.clone().or(noted),
        torque: typed.or(figure),
        ground,
    })
}

/// The joint or entry that is named; the joint also by itself.
fn subject(args: &BoltArgs, context: &Context) -> Result<(Option<Subject>, Option<Target>), Failure> {
    let Some(text) = &args.subject else { return Ok((None, None)) };
    let store = context.book()?;
    if !names_joint(text) {
        return Ok((Some(Subject::to_tighten(page(store, text)?)?), None));
    }
    let found = torque_joint(store, text, context)?;
    Ok((Some(Subject::joint(&found.joint.joint, store)?), Some(found)))
}

/// The most that is specified: what the bolt has to bear.
fn figure(subject: &Subject) -> Option<AskedTorque> {
    let most = subject.limits()?.spec().largest();
    let (unit, resolution) = (subject.unit, subject.resolution);
    Some(AskedTorque { torque: most, number: unit.value_of(most), unit, resolution })
}

/// The failure of what is neither typed nor noted, and how it is noted for a joint.
fn not_noted(what: &str, option: &str, joint: Option<&Target>) -> Failure {
    let hint = match joint {
        Some(found) => format!(
            "read it off the bolt and note it: `evenclamp bike joint edit {} {} {option}`, or add {option} here",
            found.bicycle.bicycle.name, found.joint.joint.name
        ),
        None => format!("read it off the bolt and add it, such as {option}"),
    };
    Failure::new(FailureKind::Usage, what, hint)
}
