//! Tightening order of a joint with several bolts: where the bolts are, in which order they are
//! turned, and at which settings of the wrench.
//!
//! Bolts are numbered by position as seen from outside; loads and levels are fractions of the
//! target of one bolt, torques are unit types. Nothing here prints, reads files or knows a clock.

mod diagram;
mod layout;
mod layout_error;
mod order;
mod pattern;
mod setting;

pub use diagram::diagram;
pub use layout::{Bolt, Layout, MAX_BOLTS, Point, Shape};
pub use layout_error::LayoutError;
pub use order::order;
pub use pattern::{Pattern, Side};
pub use setting::{Scale, SettingError, settings};
