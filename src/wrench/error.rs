//! What can be wrong with a wrench that is to be registered, and what would be right.

use jiff::civil::Date;

use crate::conformity::AccuracyError;

#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub(crate) enum WrenchError {
    #[error("the wrench needs a name, such as `small-click`")]
    NoName,
    /// A name that cannot be shown in a list.
    #[error("a name of 1 to 40 letters, digits, spaces and signs is needed, without line breaks")]
    Name,
    #[error("a preset wrench has one value: give it alone, such as 5 N·m")]
    PresetWithRange,
    /// The scale ends below its beginning, or has no extent.
    #[error(
        "the scale from {low_nm} to {high_nm} N·m is upside down: give the lower end first, such as 2-10 N·m"
    )]
    ScaleUpsideDown {
        /// The lower end as given, in N·m.
        low_nm: f64,
        /// The upper end as given, in N·m.
        high_nm: f64,
    },
    /// A scale of one value, in N·m, on a wrench that is not preset.
    #[error("a scale of {} N·m alone belongs to a preset wrench: give both ends, such as 2-10 N·m", tidy(*.0))]
    ScaleOfOneValue(f64),
    /// The step, in N·m, is 0 or below.
    #[error("a step of {0} N·m is not possible: give what one mark of the scale is worth, such as 0.1 N·m")]
    Step(f64),
    #[error("a step of {step} N·m is wider than the scale of {span} N·m: give what one mark is worth", step = tidy(*step_nm), span = tidy(*span_nm))]
    StepTooWide {
        /// The step as given, in N·m.
        step_nm: f64,
        /// The extent of the scale, in N·m.
        span_nm: f64,
    },
    /// The part of the scale that the maker calls usable is not on the scale.
    #[error("the usable part of the scale must lie on the scale, lower end first")]
    Usable,
    /// The lever, in mm, is 0 or below.
    #[error("a lever of {} mm is not possible: measure from the middle of the handle to the drive", tidy(*.0))]
    Lever(f64),
    /// An adapter length, in mm, below 0 or without end.
    #[error("an adapter of {} mm is not possible: give the distance from the drive to the bolt", tidy(*.0))]
    AdapterLength(f64),
    #[error(transparent)]
    Accuracy(#[from] AccuracyError),
    /// The interval between calibrations is nothing.
    #[error("an interval of 0 is not possible: 12 months or 5000 cycles are usual")]
    Interval,
    /// A calibration that has not happened yet.
    #[error("a calibration on {on} lies in the future (today is {today}): give the day it was done")]
    CalibrationInFuture { on: Date, today: Date },
}

/// A figure of a message to three decimals, without the last bits of a unit conversion.
fn tidy(value: f64) -> f64 {
    (value * 1e3).round() / 1e3
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_converted_figure_is_shown_tidily() {
        let step = WrenchError::StepTooWide { step_nm: 1.3558179483314004, span_nm: 1.0 };
        assert!(
            step.to_string().starts_with("a step of 1.356 N·m is wider than the scale of 1 N·m"),
            "{step}"
        );
    }
}
