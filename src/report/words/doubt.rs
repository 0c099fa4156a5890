//! Why a wrench cannot be believed, in words, with what would settle it.

use crate::conformity::{Doubt, Uncalibrated};
use crate::quantity::{Resolution, Torque, TorqueUnit};
use crate::report::figure::torque_text;

/// A doubt in words, torques in `unit`.
pub fn doubt_text(doubt: Doubt, unit: TorqueUnit) -> String {
    let (why, fix) = doubt_parts(doubt, unit);
    format!("{why}: {fix}")
}

/// A doubt in words, torques in `unit`, and what would settle it.
pub(super) fn doubt_parts(doubt: Doubt, unit: TorqueUnit) -> (String, &'static str) {
    let shown = |torque: Torque| torque_text(torque, Resolution(unit.of(0.1)), unit);
    match doubt {
        Doubt::BelowUsableScale { lowest } => (
            format!("this wrench's scale is usable from {} on", shown(lowest)),
            "one with a smaller span settles it",
        ),
        Doubt::AboveUsableScale { highest } => {
            (format!("this wrench's scale ends at {}", shown(highest)), "one with a larger span settles it")
        }
        Doubt::Uncalibrated(Uncalibrated::Lapsed { stood_until }) => {
            (format!("the calibration lapsed after {stood_until}"), "calibrating the wrench settles it")
        }
        Doubt::Uncalibrated(Uncalibrated::CyclesSpent { since, allowed }) => (
            format!(
                "since {since} the wrench has made more than the {allowed} operations that a calibration stands for"
            ),
            "calibrating it settles it",
        ),
        Doubt::Uncalibrated(Uncalibrated::Never) => {
            ("no calibration is on record by that day".to_owned(), "calibrating the wrench settles it")
        }
        Doubt::Uncalibrated(Uncalibrated::FailedOn(on)) => {
            (format!("the wrench failed its calibration on {on}"), "a sound wrench settles it")
        }
        Doubt::FailedLater { last_good, failed } => {
            let earlier = match last_good {
                Some(good) => format!("readings since {good}"),
                None => "earlier readings".to_owned(),
            };
            (
                format!("the wrench failed its calibration on {failed}, {earlier} are in doubt"),
                "do the joint again",
            )
        }
        Doubt::WrongDirection => {
            ("this wrench measures clockwise only".to_owned(), "one that measures both ways settles it")
        }
    }
}
