//! Why a wrench cannot be believed, in words, with what would settle it.

use super::figure::torque_text;
use crate::conformity::Doubt;
use crate::quantity::{Resolution, Torque, TorqueUnit};

/// A doubt in words, torques in `unit`.
#[must_use]
pub fn doubt_text(doubt: Doubt, unit: TorqueUnit) -> String {
    let shown = |torque: Torque| torque_text(torque, Resolution(unit.of(0.1)), unit);
    match doubt {
        Doubt::BelowUsableScale { lowest } => format!(
            "this wrench's scale is usable from {} on: one with a smaller span settles it",
            shown(lowest)
        ),
        Doubt::AboveUsableScale { highest } => {
            format!("this wrench's scale ends at {}: one with a larger span settles it", shown(highest))
        }
        Doubt::CalibrationLapsed { stood_until } => {
            format!("the calibration lapsed after {stood_until}: calibrating the wrench settles it")
        }
        Doubt::CyclesSpent { since, allowed } => format!(
            "since {since} the wrench has made more than the {allowed} operations that a calibration stands for: calibrating it settles it"
        ),
        Doubt::NeverCalibrated => {
            "no calibration is on record by that day: calibrating the wrench settles it".to_owned()
        }
        Doubt::CalibrationFailed { on } => {
            format!("the wrench failed its calibration on {on}: a sound wrench settles it")
        }
        Doubt::FailedLater { last_good, failed } => match last_good {
            Some(good) => format!(
                "the wrench failed its calibration on {failed}: readings since {good} are in doubt, do the joint again"
            ),
            None => format!(
                "the wrench failed its calibration on {failed}: earlier readings are in doubt, do the joint again"
            ),
        },
        Doubt::WrongDirection => {
            "this wrench measures clockwise only: one that measures both ways settles it".to_owned()
        }
    }
}
