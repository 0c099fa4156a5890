//! `show`: one entry on one screen.

use clap::Args;

use super::known_bolt::ConditionArgs;
use super::subject::{Subject, named_joint, names_joint};
use super::target::{Target, page};
use super::tool::ToolArgs;
use super::{Answer, Context, Decision, Failure, FailureKind};
use crate::book::Check;
use crate::quantity::{Spec, Torque};
use crate::report::{EntryReport, ShownJoint, StatedCondition};

/// Show what to do with one kind of fastener, and who says so
///
/// The band comes first with its state: agreed (two or more issuers meet, one of them first-hand), thin (on the word of
/// one, or at second hand alone; who, when and of which hardware stands beside it), disputed (they do not meet),
/// unconfirmed (nothing counts; what is often given is told, to be looked for on the part and not to be set) or none
/// (nothing at all). Only agreed and thin entries show a torque; for the others the part and its maker must be asked.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp show crank-pinch-bolts
  evenclamp show cassette-lockring --unit lbf·ft --brief
  evenclamp show crank-pinch-bolts --wrench big-click
  evenclamp show crank-pinch-bolts --condition dry
  evenclamp show loan-7/bar-clamp
  evenclamp show rotor-bolt-six --format json")]
pub(super) struct ShowArgs {
    /// Key of the entry, as `find` lists it, or a joint as BIKE/JOINT: what counts there comes first
    #[arg(value_name = "ENTRY")]
    entry: String,
    /// Leave out preparation, evidence and sources
    #[arg(long)]
    brief: bool,
    #[command(flatten)]
    tool: ToolArgs,
    #[command(flatten)]
    condition: ConditionArgs,
}

pub(super) fn answer(args: &ShowArgs, context: &Context) -> Result<Answer, Failure> {
    let store = context.book()?;
    let on = names_joint(&args.entry).then(|| named_joint(store, &args.entry, context)).transpose()?;
    let page = match &on {
        Some(on) if on.joint.joint.entry.is_empty() => return Err(no_entry(on)),
        Some(on) => page(store, &on.joint.joint.entry)?,
        None => page(store, &args.entry)?,
    };
    let on = on.filter(|on| on.joint.joint.check == Check::Torque);
    let of_page = || match &on {
        Some(on) => Subject::joint_of(&on.joint.joint, Some(page.clone())),
        None => Subject::entry(page.clone()),
    };
    let mut report = EntryReport::new(&page, context.shown_unit(), args.brief)
        .with_marked(store.marked(&page.entry.entry)?, context.unit)
        .with_joint(on.as_ref().map(|on| shown(on, &of_page(), context)));
    if args.condition.is_given() {
        let stated = StatedCondition::of_page(&page);
        report = report.with_condition(args.condition.report(stated, context)?);
    }
    if let Some(name) = &args.tool.wrench {
        let subject = of_page();
        let upper = subject.spec.map_or_else(Torque::default, Spec::largest);
        let tool = args.tool.tool(context, upper, context.shown_unit())?;
        let unit = tool.unit().unwrap_or_else(|| context.shown_unit());
        let setting = tool.setting(&subject, subject.is_left_hand(), unit);
        report = report.with_wrench(name, setting);
    }
    Answer::of(&report, context, Decision::Good)
}

/// What counts for a joint.
fn shown(on: &Target, subject: &Subject, context: &Context) -> ShownJoint {
    ShownJoint {
        path: on.path(),
        specified: subject.text(context.unit.unwrap_or(subject.unit)),
        ground: subject.basis.clone(),
        notes: subject.notes.clone(),
    }
}

fn no_entry(on: &Target) -> Failure {
    let message = format!("{} is checked by hand and has no entry in the book", on.path());
    let hint = format!("`evenclamp history {}` shows what was found", on.path());
    Failure::new(FailureKind::Joint, message, hint)
}
