//! Tightening several bolts: where they are, in which order they are turned, at which settings of the wrench.
//!
//! Bolts are numbered by position as seen from outside; loads and levels are fractions of the
//! target of one bolt, torques are unit types. Nothing here prints, reads files or knows a clock.

mod diagram;
mod drawing;
mod friction;
mod interaction;
mod ladder;
mod layout;
mod layout_error;
mod order;
mod passes;
mod pattern;
mod picture;
mod plan;
mod setting;
pub(crate) mod svg;

pub use diagram::diagram;
pub(crate) use friction::Unknowns;
pub use interaction::{Interaction, InteractionError, Loads, LossBand, Parameters};
pub use ladder::{Ladder, LadderError};
pub use layout::{BoltNumber, Layout, MAX_BOLTS, Point, Shape};
pub use layout_error::LayoutError;
pub use order::order;
pub use passes::{MAX_FULL_PASSES, plan_on};
pub use pattern::{ClosedSide, Pattern};
pub use picture::{PictureText, picture};
pub use plan::{AtLosses, FullPasses, Note, Pass, PassKind, Plan, PlanError, StepAction};
pub use setting::{SettingError, settings};
