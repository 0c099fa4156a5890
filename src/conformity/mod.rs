//! Judging a reading: what a torque wrench can know about a torque, and what follows from it.
//!
//! The rule is JCGM 106:2012 clause 7 for the chance of being inside, and a guard band of the
//! expanded uncertainty `U` on either side of a limit (ILAC-G8:09/2019, ISO 14253-1). Everything is
//! a torque or a small newtype; nothing here knows where a limit or a reading came from.

mod accuracy;
mod aim;
mod chance;
mod gauge;
mod intervals;
mod judge;
mod kind;
mod label;
mod limits;
pub mod normal;
mod plausible;
mod reason;
mod scale;
pub mod slip;
mod tool_class;
mod uncertainty;

pub use accuracy::{Accuracy, AccuracyBasis, AccuracyError, Deviation};
pub(crate) use aim::aim_on_bolt;
pub use aim::{Aim, NoAim, aim};
pub use chance::{Probability, chance_inside, chances_outside};
pub use gauge::Gauge;
pub(crate) use intervals::joined_intervals;
pub use judge::{Verdict, judge};
pub use kind::{Finding, Kind, Outcome, assess, finding};
pub use label::{Decision, Label, Side};
pub use limits::Limits;
pub(crate) use limits::leaves_room;
pub use plausible::suspicion;
pub(crate) use plausible::{is_far_above, is_no_reading};
pub use reason::{Doubt, Reason, Uncalibrated};
pub use scale::SettingScale;
pub use tool_class::{ToolClass, ToolClassError};
pub use uncertainty::{Budget, Distribution, Instrument, InstrumentError, Term, TermKind};
