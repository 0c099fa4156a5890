//! Quantities: torque, the forms in which a torque is specified, other measured values, and their text.
//!
//! Everything inside is SI through `uom`; text is parsed once, at the edge, and printed at the edge.

mod error;
mod measure;
mod number;
mod parse;
mod printed;
mod round;
mod spec;
mod spelling;
pub(crate) mod tolerance;
mod torque;

pub use error::{QuantityError, UnitError};
pub(crate) use measure::Against;
pub use measure::{Measure, MeasureError, MeasureLimit, MeasureUnit};
pub use number::Number;
pub(crate) use parse::parse_reading_in;
pub use parse::{Reading, Stated, parse_reading, parse_spec};
pub use round::{Resolution, Rounding, round_half_even};
pub use spec::{Spec, permitted_deviation};
pub use torque::{Torque, TorqueUnit, in_newton_metres, newton_metres};
