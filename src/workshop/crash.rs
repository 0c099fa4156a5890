//! After a crash a bicycle is not fit before the parts that may have cracked or bent were looked over by hand
//! (`specs/rules.md`, "After a crash"), whether it has checks for them or not.

use super::{Joint, JointVerdict, LocalInstant, State};
use crate::book::Check;

/// The hand checks that are asked for after a crash; the cockpit is bar and stem. Common practice: a crash bends and
/// cracks what is hit and what bears the rider, and a torque shows nothing of it.
const PARTS: [&str; 7] = ["frame", "fork", "cockpit", "seat-post", "wheel-front", "wheel-rear", "pedals"];

/// The newest crash, and what nobody has examined since.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Unexamined {
    pub(crate) crash: LocalInstant,
    /// Names of hand checks; the bicycle may lack some of them.
    pub(crate) parts: Vec<&'static str>,
}

/// What was not examined since the newest crash; none without a crash, or where all was.
pub(super) fn unexamined(
    crash: Option<LocalInstant>,
    joints: &[(Joint, JointVerdict)],
) -> Option<Unexamined> {
    let crash = crash?;
    let examined = |part: &str| {
        joints.iter().any(|(joint, verdict)| {
            joint.check == Check::Function
                && joint.name.text().eq_ignore_ascii_case(part)
                && matches!(verdict.state(), State::Sound | State::Due)
                && verdict.worst.at.is_some_and(|at| at > crash)
        })
    };
    let parts: Vec<&'static str> = PARTS.into_iter().filter(|part| !examined(part)).collect();
    (!parts.is_empty()).then_some(Unexamined { crash, parts })
}
