//! Why a reading got its label, as values that the caller puts into words.

use jiff::civil::Date;

use super::Deviation;
use crate::quantity::Torque;

/// Why no calibration stands behind the readings of a wrench on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Uncalibrated {
    /// The interval since the last calibration has passed.
    Lapsed {
        /// The last day on which readings of the wrench stood.
        stood_until: Date,
    },
    /// More operations than the interval allows since the last calibration.
    CyclesSpent {
        /// The day of the first one too many.
        since: Date,
        /// Operations that the interval allows.
        allowed: u32,
    },
    /// No calibration, and no maker's declaration, was on record by that day.
    Never,
    /// The last calibration by that day was failed, on the day given.
    FailedOn(Date),
}

/// What makes a wrench's figure a number, not a measurement.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Doubt {
    /// The reading lies below the usable part of the scale. A wrench with a smaller span settles it.
    BelowUsableScale {
        /// Where the usable part begins.
        lowest: Torque,
    },
    /// The reading lies above the scale. A wrench with a larger span settles it.
    AboveUsableScale {
        /// Where the scale ends.
        highest: Torque,
    },
    /// No good calibration stands on the day of the reading. Calibrating settles it.
    Uncalibrated(Uncalibrated),
    /// A calibration after the reading was failed, so the wrench may have been off already.
    FailedLater {
        /// The day of the last calibration passed before the reading; none if there was none.
        last_good: Option<Date>,
        /// The day of the failed calibration.
        failed: Date,
    },
    /// The wrench does not measure in the direction in which the bolt was turned.
    WrongDirection,
}

/// Why a reading got its label, or what to know about it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Reason {
    /// The wrench cannot be believed.
    Doubt(Doubt),
    /// The limits lie closer together than twice U: no reading of this wrench can be called inside.
    NarrowRange {
        /// The distance between the limits.
        width: Torque,
        /// 2U at the middle of the range; a wrench for which this is at most `width` settles it.
        needed: Torque,
    },
    /// Nothing is agreed to judge by: read the marking, ask the maker.
    NoLimits,
    /// No wrench was named, or no calibration of it is known: its accuracy is taken on trust.
    WrenchNotKnown,
    /// A conforming wrench has spent the deviation that the set value allows: judged by simple acceptance.
    SetValue {
        /// The printed number.
        value: Torque,
        /// What the set value allows.
        allowed: Deviation,
    },
    /// The wrench may deviate more than the one that the set value counts on.
    CoarserThanAllowed {
        /// What the wrench may deviate.
        wrench: Deviation,
        /// What the set value allows.
        allowed: Deviation,
    },
}
