//! A wrench in the register of the workshop.

use jiff::civil::Date;

use super::Wrench;
use crate::quantity::TorqueUnit;

/// A wrench as registered.
#[derive(Debug, Clone, PartialEq)]
pub struct RegisteredWrench {
    /// The checked wrench.
    pub wrench: Wrench,
    /// The unit of its scale.
    pub unit: TorqueUnit,
    /// The day it was registered.
    pub added_on: Date,
    /// The day it was taken out of use.
    pub retired_on: Option<Date>,
}
