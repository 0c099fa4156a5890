//! Repeated values of one thing over time: is a joint losing torque, has a wrench drifted.
//!
//! Each method stands in its own file with its source. The Mann–Kendall test and the Sen slope decide
//! whether a joint is `losing` (design §7); the straight line and the control charts describe a longer
//! history, such as the checks of a wrench on one reference.

mod cusum;
mod ewma;
mod individuals;
mod line;
mod losing;
mod mann_kendall;
mod observation;
mod sen;

pub use cusum::{Cusum, CusumPoint, cusum};
pub use ewma::{Ewma, ewma};
pub use individuals::{ControlLimits, IndividualsChart, individuals};
pub use line::{Line, least_squares};
pub use losing::{Losing, losing};
pub use mann_kendall::{MannKendall, mann_kendall};
pub use observation::{Observation, TorqueRate};
pub use sen::sen_slope;
