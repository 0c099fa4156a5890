//! From what is asked to a plan: the subject, its kind of joint, the wrench, the joint that comes
//! first.

use super::OrderArgs;
use crate::book::{Hand, JointKind, Page, Phase, Way};
use crate::cli::instrument::InstrumentArgs;
use crate::cli::subject::Subject;
use crate::cli::{Context, Failure};
use crate::conformity::{Instrument, SettingScale};
use crate::quantity::{Spec, Torque, TorqueUnit, parse_spec};
use crate::report::{Joint, OrderReport, Passes, Procedure};
use crate::sequence::{Layout, LossBand, Plan, PlanError, SettingError, Side, plan_on};
use crate::store::Store;

/// A joint with its plan.
pub(super) struct Planned {
    pub(super) layout: Layout,
    pub(super) plan: Plan,
    pub(super) report: OrderReport,
}

/// The wrench as far as it decides the settings.
struct Tool {
    instrument: Instrument,
    scale: SettingScale,
    /// The step to which settings are shown.
    step: Torque,
}

/// The one place where scale, step and accuracy of the wrench come from.
fn tool(args: &InstrumentArgs, spec: Spec, unit: TorqueUnit) -> Result<Tool, Failure> {
    let instrument = args.instrument(spec.largest(), unit)?;
    let step = args.step_or_usual(spec.largest(), unit)?;
    let scale = SettingScale::new(Torque::default(), spec.largest() * 2.0, Some(step)).ok_or_else(|| {
        let hint = "give the smallest change on the wrench's scale, such as 0.1 N·m";
        Failure::new("wrench", "the step of a wrench is not above 0", hint)
    })?;
    Ok(Tool { instrument, scale, step })
}

/// The joint of an entry, and the one that must be set before it.
pub(super) fn planned_entry(
    page: Page,
    store: &Store,
    args: &OrderArgs,
    context: &Context,
) -> Result<(Planned, Option<OrderReport>), Failure> {
    let first = match &page.entry.needs {
        Some(_) if args.from.is_some() => {
            context.say(format!(
                "going on from a step: what `{}` needs first is taken as done",
                page.entry.entry
            ));
            None
        }
        Some(needed) => Some(joint_before(context.page(store, needed)?, store, args, context)?),
        None => None,
    };
    let mut subject = Subject::entry(page);
    if let Some(torque) = &args.torque {
        subject = Subject { page: subject.page, ..Subject::literal(&parse_spec(torque)?, context) };
    }
    let page = subject.page.clone();
    let (layout, kind, hand) = match page {
        Some(page) => (page.entry.layout, page.kind, page.entry.hand),
        None => return Err(Failure::new("entry", "the entry has no page", "name another entry")),
    };
    let kind = asked_kind(kind, store, args)?;
    Ok((planned(&subject, layout, kind, hand, args, context)?, first))
}

/// A joint whose bolts are given, not the book's.
pub(super) fn given_joint(
    layout: Layout,
    store: &Store,
    args: &OrderArgs,
    context: &Context,
) -> Result<Planned, Failure> {
    let torque = args.torque.as_deref().ok_or_else(|| {
        Failure::new("usage", "a torque is missing", "add --torque, such as --torque \"5 N·m\"")
    })?;
    let subject = Subject::literal(&parse_spec(torque)?, context);
    let kind = asked_kind(store.joint_kind(JointKind::usual(&layout))?, store, args)?;
    planned(&subject, layout, kind, Hand::Right, args, context)
}

/// The kind with what the command line says of it: a closed side, a loss.
fn asked_kind(kind: JointKind, store: &Store, args: &OrderArgs) -> Result<JointKind, Failure> {
    let mut kind = match args.closed_side {
        Some(_) if kind.way != Way::ClosedSideFirst => store.joint_kind(JointKind::CLOSED_SIDE)?,
        _ => kind,
    };
    if let Some(loss) = args.loss {
        kind.parameters.losses = LossBand::exactly(loss).map_err(|error| {
            Failure::new("loss", error.to_string(), "give a share below 1, such as 0.2 or 20%")
        })?;
        "As given".clone_into(&mut kind.source);
        "given".clone_into(&mut kind.grade);
    }
    Ok(kind)
}

/// Plans the joint of a subject that has a figure.
fn planned(
    subject: &Subject,
    layout: Layout,
    kind: JointKind,
    hand: Hand,
    args: &OrderArgs,
    context: &Context,
) -> Result<Planned, Failure> {
    let spec = subject.needed()?;
    let unit = context.unit.unwrap_or(subject.unit);
    let tool = tool(&args.instrument, spec, unit)?;
    let target = target(subject, spec, &tool)?;
    let closed = args.closed_side.map_or(Side::Top, Side::from);
    let plan = plan_on(&layout, kind.pattern(closed), &kind.parameters, args.within, target, &tool.scale)?;
    let joint = joint(subject, layout.clone(), kind, closed, hand, unit);
    let within = args.within.get::<uom::si::ratio::ratio>();
    let passes = Passes { plan, target, scale: tool.scale, step: tool.step, unit, within };
    let report = OrderReport::new(joint, &passes)?;
    Ok(Planned { layout, plan: passes.plan, report })
}

/// The order of a joint that comes before another, and of what that one needs in turn. Where it has
/// no figure, or none that this wrench can be set to, it says so instead of its steps.
fn joint_before(
    page: Page,
    store: &Store,
    args: &OrderArgs,
    context: &Context,
) -> Result<OrderReport, Failure> {
    let before = match &page.entry.needs {
        Some(needed) => Some(joint_before(context.page(store, needed)?, store, args, context)?),
        None => None,
    };
    let (layout, kind, hand) = (page.entry.layout.clone(), page.kind.clone(), page.entry.hand);
    let subject = Subject::entry(page);
    let report = match planned(&subject, layout.clone(), kind.clone(), hand, args, context) {
        Ok(planned) => planned.report,
        Err(failure) => {
            let missing = match failure.kind {
                "no-band" => "read the figure on the part, or ask its maker".to_owned(),
                _ => format!("{}: {}", failure.message, failure.hint.unwrap_or_default()),
            };
            let unit = context.shown_unit();
            OrderReport::without_passes(joint(&subject, layout, kind, Side::Top, hand, unit), missing)
        }
    };
    Ok(report.after(before))
}

/// The setting of the last pass: the one with the best chance of landing inside, never above a limit.
fn target(subject: &Subject, spec: Spec, tool: &Tool) -> Result<Torque, Failure> {
    let (_, high) = spec.limits();
    let aim = subject.aim(&tool.instrument, &tool.scale).map(|aim| aim.setting);
    aim.filter(|setting| high.is_none_or(|high| *setting <= high)).ok_or_else(|| {
        Failure::new(
            "wrench",
            "no setting of this wrench lies safely within what is specified",
            "take a wrench with finer steps or better accuracy, or give another --torque",
        )
    })
}

fn joint(
    subject: &Subject,
    layout: Layout,
    kind: JointKind,
    closed: Side,
    hand: Hand,
    unit: TorqueUnit,
) -> Joint {
    let page = subject.page.as_ref();
    Joint {
        entry: page.map(|page| page.entry.entry.clone()),
        name: page.map_or_else(|| "Joint as given".to_owned(), |page| page.entry.name.clone()),
        spec: subject.spec,
        specified: subject.text(unit),
        ground: subject.ground.clone(),
        layout,
        kind,
        closed,
        hand,
        procedure: page.map(procedure).unwrap_or_default(),
    }
}

fn procedure(page: &Page) -> Procedure {
    let phase = |phase| page.phase(phase).into_iter().map(str::to_owned);
    Procedure {
        before: phase(Phase::Prepare).chain(phase(Phase::Before)).collect(),
        next: phase(Phase::Next).collect(),
        during: phase(Phase::During).collect(),
        after: phase(Phase::After).collect(),
        cautions: phase(Phase::Caution).collect(),
    }
}

impl From<PlanError> for Failure {
    fn from(error: PlanError) -> Failure {
        match error {
            PlanError::Layout(layout) => layout.into(),
            PlanError::Setting(setting) => setting.into(),
            other => Failure::new("plan", other.to_string(), other.hint()),
        }
    }
}

impl From<SettingError> for Failure {
    fn from(error: SettingError) -> Failure {
        Failure::new("wrench", error.to_string(), error.hint())
    }
}
