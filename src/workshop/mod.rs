//! The workshop book: bicycles, their joints, what was read off them, and what follows from it.
//!
//! Nothing here knows a clock, a database or a screen: the present moment and the registered wrenches
//! enter as arguments. A missing check is never a pass.

mod bicycle;
mod bolt;
mod crash;
mod doubtful_ride;
mod due;
mod event;
mod expanded;
mod figure;
mod figures;
mod hardware;
mod joint;
mod journal;
mod lacking;
mod local_instant;
mod log;
mod losing;
mod mann_kendall;
mod marked;
mod readiness;
mod reading;
mod recall;
mod round;
mod snapshot;
mod state;
mod takes;
mod trend_line;
mod wear;

pub use bicycle::{Bicycle, Name, NameError};
pub(crate) use crash::Unexamined;
pub(crate) use doubtful_ride::DoubtfulRide;
pub use due::{Due, DueWhy, every_interval};
pub use event::{Event, Usage};
pub use figure::{Figure, Marking};
pub use figures::{FigureBasis, Figures, Governing, governing};
pub use hardware::Hardware;
pub use joint::{Joint, JointVerdict, judge_joint};
pub use journal::{
    ChainCheck, Content, Deed, JOURNAL_COLUMNS, JournalChange, JournalLine, JournalSubject, Renumbered,
    Signature, StruckCalibration,
};
pub(crate) use lacking::{BY_HAND, may_be_without};
pub use local_instant::LocalInstant;
pub use log::{LOG_COLUMNS, LogColumns, LogLine, REASON};
pub(crate) use losing::TREND_LOOKS_AT;
pub use mann_kendall::falling_chance;
pub use marked::{Marked, MarkedFigure};
pub use readiness::{BicycleVerdict, Fitness, judge_bicycle};
pub use reading::{Action, Finding, Reading, Value};
pub use recall::{LookBack, NotShown, Recalled};
pub(crate) use recall::{doubts, use_for};
pub(crate) use round::{Proposal, Turn, in_turn, is_open, open_bolts, proposals, rounds_of, with_wrench};
pub(crate) use snapshot::{Before, OldestEvidence, Renamed};
pub use snapshot::{
    JudgedBicycle, JudgingContext, Less, Logged, StoredBicycle, StoredJoint, TakenOff, WorkshopSnapshot,
};
pub use state::{Judgement, State, Why};
pub use trend_line::TrendLine;
pub(crate) use wear::Wear;
