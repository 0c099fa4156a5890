//! Torque wrenches: what one can do, when it is to be believed, and which serves a value best.
//!
//! Figures of ISO 6789-1 and rules of the trade are named where they are used. Nothing here reads a clock.

pub mod adapter;
mod calibration;
mod cycles;
mod error;
mod judging;
mod need;
mod pick;
mod record;
mod tool;

pub use adapter::{Adapter, AdapterError};
pub(crate) use calibration::{Calibration, CalibrationResult, DoubtPeriod, History, Interval};
pub(crate) use cycles::{CalibrationPeriod, Line, Operation};
pub(crate) use error::WrenchError;
pub(crate) use judging::{ScaleAim, Use};
pub(crate) use need::{Need, needs};
pub(crate) use pick::{Candidate, rank};
pub(crate) use record::{RegisteredWrench, WrenchRecord, in_millimetres};
pub(crate) use tool::{StatedAccuracy, Wrench, WrenchKind, WrenchParts};
