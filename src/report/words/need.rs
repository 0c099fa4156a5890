//! What a wrench must be able to do, in words.

use crate::quantity::{Resolution, Torque, TorqueUnit};
use crate::report::torque_text;
use crate::wrench::Need;

pub fn need_text(need: &Need, anticlockwise: bool, unit: TorqueUnit) -> String {
    let shown = |torque: Torque| torque_text(torque, Resolution(unit.of(0.1)), unit);
    let both = if anticlockwise { " that measures both ways," } else { "" };
    format!(
        "a wrench{both} that reaches {} and has a capacity of at most {}, steps of at most {}, good to {} % or better",
        shown(need.highest),
        shown(need.capacity_at_most),
        torque_text(need.step_at_most, Resolution(need.step_at_most / 10.0), unit),
        need.deviation_at_most.in_percent()
    )
}
