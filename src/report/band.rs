//! A stretch of torque as programs read it.

use serde::Serialize;

use crate::book::TorqueInterval;
use crate::conformity::Limits;
use crate::quantity::{Spec, in_newton_metres};

/// A stretch of torque in N·m; an absent end is limited by nobody.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Band {
    pub low_nm: Option<f64>,
    pub high_nm: Option<f64>,
}

impl From<TorqueInterval> for Band {
    fn from(stretch: TorqueInterval) -> Band {
        Band { low_nm: stretch.low.map(in_newton_metres), high_nm: stretch.high.map(in_newton_metres) }
    }
}

impl From<Spec> for Band {
    fn from(spec: Spec) -> Band {
        let (low, high) = match spec {
            Spec::Set(value) => (Some(value), Some(value)),
            spec => spec.limits(),
        };
        Band { low_nm: low.map(in_newton_metres), high_nm: high.map(in_newton_metres) }
    }
}

impl Band {
    /// The limits as a stretch.
    pub fn of_limits(limits: &Limits) -> Band {
        Band { low_nm: limits.low().map(in_newton_metres), high_nm: limits.high().map(in_newton_metres) }
    }
}
