//! From what is asked to a plan: the subject, its kind of joint, the wrench, the joint that comes
//! first.

use uom::si::ratio::ratio;

use super::{OrderArgs, layout_like};
use crate::book::{Check, Hand, JointKind, Page, Way};
use crate::cli::subject::Subject;
use crate::cli::target::page;
use crate::cli::tool::{Tool, who_serves};
use crate::cli::{Context, Failure, FailureKind, OrFail as _};
use crate::conformity::{Aim, Gauge, NoAim};
use crate::quantity::tolerance::at_least;
use crate::quantity::{Spec, TorqueUnit, parse_spec};
use crate::report::{Bolts, OrderReport, OrderedJoint, Passes, TOO_MUCH, doubt_text, narrow_text};
use crate::sequence::{ClosedSide, Layout, LossBand, plan_on};
use crate::store::Store;
use crate::words::counted;
use crate::workshop::{Joint, StoredJoint};

fn bolts_of(page: &Page) -> Bolts {
    let (layout, kind) = (page.entry.layout.clone(), page.kind.clone());
    Bolts { layout, kind, closed: ClosedSide::Top, hand: page.entry.hand }
}

/// Those of a joint of a bicycle, which may be another count than the book has; what to know of that.
fn bolts_on(page: &Page, joint: &Joint) -> (Bolts, Option<String>) {
    let (bolts, of_page) = (bolts_of(page), &page.entry.layout);
    let hand = joint.hand.unwrap_or(bolts.hand);
    let apart = || {
        let (each, all) = (of_page.bolts(), joint.bolts);
        format!("its {all} bolts are several clamps of {each}: the order is that of each of them")
    };
    match joint.layout(of_page) {
        Some(layout) => (Bolts { layout, hand, ..bolts }, None),
        None if usize::from(joint.bolts) == of_page.bolts() => (Bolts { hand, ..bolts }, None),
        None if joint.bolts == 1 => (Bolts { layout: Layout::single(), hand, ..bolts }, None),
        None => (Bolts { hand, ..bolts }, Some(apart())),
    }
}

/// Bolts that are as many, and stand as the command line says, and not as the book or the bicycle has them; what to know of
/// that.
fn standing_otherwise(
    known: Bolts,
    store: &Store,
    args: &OrderArgs,
) -> Result<(Bolts, Option<String>), Failure> {
    let layout = layout_like(&known.layout, args)?;
    let told = |layout: &Layout| format!("{} ({})", counted(layout.bolts(), "bolt"), layout.shape());
    let note = (layout != known.layout)
        .then(|| format!("ordered for {}, as asked, and not for {}", told(&layout), told(&known.layout)));
    let kind = match known.kind.misfit(&layout) {
        None => known.kind,
        Some((why, _)) if known.kind.way == Way::ClosedSideFirst => {
            let hint = "which bolts close first is not known for so many: follow the maker of the part";
            return Err(Failure::new(FailureKind::Layout, why, hint));
        }
        Some(_) => store.joint_kind(JointKind::usual(&layout))?,
    };
    Ok((Bolts { layout, kind, ..known }, note))
}

/// Bolts with what the command line says of them: a closed side, a loss.
fn asked(mut bolts: Bolts, store: &Store, args: &OrderArgs) -> Result<Bolts, Failure> {
    if let Some(side) = args.closed_side {
        bolts.closed = side;
        if bolts.kind.way != Way::ClosedSideFirst {
            bolts.kind = store.joint_kind(JointKind::CLOSED_SIDE)?;
        }
    }
    if let Some(loss) = args.loss {
        bolts.kind.parameters.losses =
            LossBand::exactly(loss).or_fail(FailureKind::Loss, "give a share below 1, such as 0.2 or 20%")?;
        "As given".clone_into(&mut bolts.kind.source);
        "given".clone_into(&mut bolts.kind.grade);
    }
    Ok(bolts)
}

/// What is ordered: an entry of the book, or a joint of a bicycle with the other joints of that.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ordered<'a> {
    pub joint: Option<&'a Joint>,
    pub beside: &'a [StoredJoint],
}

impl Ordered<'_> {
    /// The joint of the same bicycle that has an entry, where it is the only one.
    fn with_entry(&self, entry: &str) -> Option<&Joint> {
        let mut found = self.beside.iter().map(|stored| &stored.joint);
        let is_of = |joint: &&Joint| joint.entry == entry && joint.check == Check::Torque;
        found.find(is_of).filter(|_| !found.any(|joint| is_of(&joint)))
    }
}

/// What is specified for a joint, and its bolts, with what to know of them: those of the bicycle, else of the book.
fn of_joint(page: Page, joint: Option<&Joint>) -> (Subject, Bolts, Option<String>) {
    match joint {
        Some(joint) => {
            let (bolts, apart) = bolts_on(&page, joint);
            (Subject::joint_of(joint, Some(page)), bolts, apart)
        }
        None => (Subject::entry(page.clone()), bolts_of(&page), None),
    }
}

/// The order of the joint of an entry or a bicycle, behind that of the one that must be set before it.
pub(super) fn planned_entry(
    page: Page,
    ordered: Ordered<'_>,
    store: &Store,
    args: &OrderArgs,
    context: &Context,
) -> Result<OrderReport, Failure> {
    let needed = page.entry.needs.clone();
    let key = page.entry.entry.clone();
    Subject::to_tighten(page.clone())?;
    let (mut subject, bolts, apart) = of_joint(page, ordered.joint);
    let (bolts, apart) = if args.bolts.is_some() || args.layout.is_some() {
        standing_otherwise(bolts, store, args)?
    } else {
        (bolts, apart)
    };
    let bolts = asked(bolts, store, args)?;
    let notes: Vec<String> = apart.into_iter().chain(subject.notes.iter().cloned()).collect();
    if let Some(torque) = &args.torque {
        subject = subject.with_figure(&parse_spec(torque)?, context);
    }
    let (mut report, unit) = planned_on_bolt(subject, bolts, args, context)?;
    report.first = match needed {
        Some(_) if args.from.is_some() => {
            context.say(format!("going on from a step: what `{key}` needs first is taken as done"));
            None
        }
        Some(needed) => Some(Box::new(joint_before(&needed, unit, ordered, store, args, context)?)),
        None => None,
    };
    report.remarks.extend(notes);
    Ok(report)
}

/// A joint whose bolts are given, not the book's.
pub(super) fn given_joint(
    layout: Layout,
    store: &Store,
    args: &OrderArgs,
    context: &Context,
) -> Result<OrderReport, Failure> {
    let torque = args.torque.as_deref().ok_or_else(|| {
        Failure::new(FailureKind::Usage, "a torque is missing", "add --torque, such as --torque \"5 N·m\"")
    })?;
    let subject = Subject::literal(&parse_spec(torque)?, context);
    let kind = store.joint_kind(JointKind::usual(&layout))?;
    let bolts = Bolts { layout, kind, closed: ClosedSide::Top, hand: Hand::Right };
    let bolts = asked(bolts, store, args)?;
    Ok(planned_on_bolt(subject, bolts, args, context)?.0)
}

/// As [`planned`], held against the bolt: what is too much for it has no steps.
fn planned_on_bolt(
    mut subject: Subject,
    bolts: Bolts,
    args: &OrderArgs,
    context: &Context,
) -> Result<(OrderReport, TorqueUnit), Failure> {
    let bolt = args.bolt.remarks(&subject, context)?;
    subject.bears = bolt.bears;
    let (mut report, unit) = if bolt.too_much.is_some() {
        let unit = context.unit.unwrap_or(subject.unit);
        (OrderReport::without_passes(joint(&subject, bolts, unit), TOO_MUCH.to_owned()), unit)
    } else {
        planned(&subject, bolts, args, context)?
    };
    report.remarks.extend(subject.far_from_band(unit).into_iter().chain(bolt.doubts));
    report.too_much = bolt.too_much;
    Ok((report, unit))
}

/// Plans the joint of a subject that has a figure, on the wrench in the hand; with the unit in which
/// torques are shown that are no settings.
fn planned(
    subject: &Subject,
    bolts: Bolts,
    args: &OrderArgs,
    context: &Context,
) -> Result<(OrderReport, TorqueUnit), Failure> {
    let spec = subject.needed(context.unit.unwrap_or(subject.unit))?;
    let tool = args.tool.tool(context, spec.largest(), context.unit.unwrap_or(subject.unit))?;
    let shown = context.unit.or(tool.unit()).unwrap_or(subject.unit);
    let unit = tool.unit().unwrap_or(shown);
    let Aim { setting: target, above_value, .. } = target(subject, spec, (&tool, unit), context)?;
    let Bolts { layout, kind, closed, .. } = &bolts;
    let pattern = kind.pattern(*closed);
    let plan = plan_on(layout, pattern, &kind.parameters, args.within, target, &tool.settings)?;
    let within = args.within.get::<ratio>();
    let (scale, step, lever) = (tool.settings, tool.scale_step, tool.lever());
    let passes = Passes { plan, target, above_value, scale, step, lever, unit, within };
    let narrow = subject.limits().and_then(|limits| Gauge::new(&limits, &tool.instrument).narrow);
    let narrow = narrow.map(|found| narrow_text(found, shown));
    let doubts = tool.doubts(target, bolts.hand == Hand::Left);
    let doubts =
        doubts.into_iter().map(|doubt| format!("the wrench is in doubt: {}", doubt_text(doubt, unit)));
    let mut report = OrderReport::new(joint(subject, bolts, shown), passes)?;
    report.remarks.extend(doubts.chain(narrow));
    Ok((report, shown))
}

/// The order of a joint that comes before another, and of what that one needs in turn. Where it has
/// no figure, or none that this wrench can be set to, it says so instead of its steps.
fn joint_before(
    key: &str,
    unit: TorqueUnit,
    ordered: Ordered<'_>,
    store: &Store,
    args: &OrderArgs,
    context: &Context,
) -> Result<OrderReport, Failure> {
    let page = page(store, key)?;
    let before = match &page.entry.needs {
        Some(needed) => Some(Box::new(joint_before(needed, unit, ordered, store, args, context)?)),
        None => None,
    };
    let by_feel = page.is_by_feel();
    let (mut subject, bolts, apart) = of_joint(page, ordered.with_entry(key));
    if by_feel && subject.is_of_band {
        subject = subject.without_figure("no issuer's own figure says how tight");
    }
    let mut report = match planned(&subject, bolts.clone(), args, context) {
        Ok((report, _)) => report,
        Err(failure) => {
            let missing = match failure.kind {
                FailureKind::NoBand if by_feel => "by feel: stop as soon as the play has gone".to_owned(),
                FailureKind::NoBand => {
                    subject.with_orientation("read the figure on the part, or ask its maker", unit)
                }
                FailureKind::Wrench => {
                    "no setting of this wrench lies safely within that: take another wrench for it".to_owned()
                }
                _ => return Err(failure),
            };
            OrderReport::without_passes(joint(&subject, bolts, unit), missing)
        }
    };
    report.remarks.extend(apart);
    report.first = before;
    Ok(report)
}

/// The setting of the last pass: the one with the best chance of landing inside, never above a limit.
fn target(
    subject: &Subject,
    spec: Spec,
    (tool, unit): (&Tool, TorqueUnit),
    context: &Context,
) -> Result<Aim, Failure> {
    let (_, high) = spec.limits();
    let found = tool.aim(subject).unwrap_or(Err(NoAim::NothingSafe));
    let within = |aim: &Aim| high.is_none_or(|high| at_least(high, aim.setting));
    found.and_then(|aim| Some(aim).filter(within).ok_or(NoAim::NothingSafe)).map_err(|why| {
        let serves = who_serves(subject, tool, unit, context);
        let other = "`evenclamp wrench pick SPEC` names a wrench that serves; --torque gives another figure";
        Failure::new(FailureKind::Wrench, why.to_string(), serves.unwrap_or_else(|| other.to_owned()))
    })
}

fn joint(subject: &Subject, bolts: Bolts, unit: TorqueUnit) -> OrderedJoint {
    OrderedJoint {
        page: subject.page.clone(),
        spec: subject.spec,
        specified: subject.text(unit),
        ground: subject.basis.clone(),
        bolts,
    }
}
