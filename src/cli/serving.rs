//! What serves where the wrench in hand has no setting.

use super::subject::Subject;
use super::tool::Tool;
use super::{Context, clock};
use crate::conformity::NoAim;
use crate::quantity::TorqueUnit;
use crate::report::need_text;
use crate::wrench::{Use, needs, rank};

/// Why the wrench has no setting for a subject, and which registered wrench serves, or what one would have to be.
pub(super) fn no_setting(
    why: NoAim,
    subject: &Subject,
    tool: &Tool,
    unit: TorqueUnit,
    context: &Context,
) -> String {
    match who_serves(subject, tool, unit, context).filter(|_| why != NoAim::TooMuch) {
        Some(serves) => format!("{why}; {serves}"),
        None => why.to_string(),
    }
}

/// The registered wrench that serves best, else the figures of one that would.
pub(super) fn who_serves(
    subject: &Subject,
    tool: &Tool,
    unit: TorqueUnit,
    context: &Context,
) -> Option<String> {
    let limits = subject.limits_on_bolt()?;
    let left_hand_thread = subject.is_left_hand();
    let usage = Use { left_hand_thread, ..Use::on(clock::today()) };
    // Without a workshop there is no wrench to name.
    let mut registered = context.store().ok().and_then(|store| store.wrenches().ok()).unwrap_or_default();
    let in_hand = tool.registered.as_ref().map(|registered| registered.wrench.name());
    registered.retain(|wrench| wrench.retired_on.is_none() && Some(wrench.wrench.name()) != in_hand);
    let candidates = rank(registered.iter().map(|registered| &registered.wrench), &limits, &usage);
    if let Some(best) = candidates.iter().find(|candidate| candidate.serves()) {
        return Some(format!("the registered wrench {} serves", best.wrench.name()));
    }
    let (to_buy, _) = needs(&[limits]);
    let need = to_buy.first()?;
    Some(format!("none that is registered serves; {} would", need_text(need, left_hand_thread, unit)))
}
