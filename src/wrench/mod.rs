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
pub use calibration::{Calibration, CalibrationResult, DoubtPeriod, History, Interval};
pub use cycles::{CalibrationPeriod, Line, Operation};
pub use error::WrenchError;
pub use judging::{ScaleAim, Use};
pub use need::{Need, needs};
pub use pick::{Candidate, rank};
pub use record::RegisteredWrench;
pub(crate) use record::WrenchRecord;
pub use tool::{StatedAccuracy, Wrench, WrenchKind, WrenchParts};
