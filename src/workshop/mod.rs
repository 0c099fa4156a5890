//! The workshop book: bicycles, their joints, what was read off them, and what follows from it.
//!
//! Nothing here knows a clock, a database or a screen: the present moment and the registered wrenches
//! enter as arguments. A missing check is never a pass.

mod bench;
mod bicycle;
mod bolt;
mod due;
mod event;
mod figures;
mod hardware;
mod joint;
mod log;
mod losing;
mod moment;
mod readiness;
mod reading;
mod state;

pub use bench::Bench;
pub use bicycle::{Bicycle, Name, NameError};
pub use due::{Due, DueWhy, due_by, every_interval};
pub use event::{Event, Usage};
pub use figures::{Figures, Governing, Ground, Marking, governing};
pub use hardware::Hardware;
pub use joint::{Joint, JointVerdict, judge_joint};
pub use log::{Columns, LOG_COLUMNS, LogError, LogLine, log_fields};
pub use losing::{Losing, losing};
pub use moment::{Moment, MomentError};
pub use readiness::{BicycleVerdict, Fitness, judge_bicycle};
pub use reading::{Action, Finding, Reading, Value};
pub use state::{Judgement, State, Why};
