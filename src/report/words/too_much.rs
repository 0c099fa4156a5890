//! What is said where a torque is too much for the bolt, and what to do about it.

use serde::Serialize;

use crate::joint::Doubt;
use crate::quantity::{TorqueUnit, in_newton_metres};
use crate::workshop::{Governing, JointVerdict, Why};

/// The verdict on a torque that takes a bolt of a known class past 90 % of yield.
pub const TOO_MUCH: &str = "too much for the bolt";

/// What to do about a bolt that was tightened to too much.
pub(super) const AFTER_TORQUE: &str = "slacken it now; renew the bolt if it was tightened to that; read the figure and its unit \
                            again, or ask the maker";
/// What to do about a figure that is too much.
pub(super) const BEFORE_TORQUE: &str = "do not tighten to it, renew a bolt that was; read the figure, its unit and the class on \
                             the head again, or ask the maker";

/// A torque that is too much for the bolt.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TooMuch {
    /// Why, with the torque at which 90 % of yield is reached.
    pub text: String,
    pub next: &'static str,
    /// That torque.
    bolt_limit_nm: f64,
}

impl TooMuch {
    /// That a bolt got too much.
    pub fn applied(doubt: &Doubt, unit: TorqueUnit) -> TooMuch {
        TooMuch::of(doubt, unit, AFTER_TORQUE)
    }

    /// That what is specified is too much.
    pub fn specified(doubt: &Doubt, unit: TorqueUnit) -> TooMuch {
        TooMuch::of(doubt, unit, BEFORE_TORQUE)
    }

    /// That the figure which counts for a joint is too much for its bolt; in a unit or in that of the figure.
    pub fn of_figure(governing: &Governing, unit: Option<TorqueUnit>) -> Option<TooMuch> {
        let doubt = governing.on_bolt.too_much.as_ref()?;
        Some(TooMuch::specified(doubt, unit.unwrap_or(governing.unit)))
    }

    /// That a bolt of a joint got too much, or that the figure which counts for it is.
    pub fn of_joint(verdict: &JointVerdict, unit: Option<TorqueUnit>) -> Option<TooMuch> {
        match &verdict.worst.why {
            Why::TooMuch { doubt, read: true } => {
                Some(TooMuch::applied(doubt, unit.unwrap_or(verdict.governing.unit)))
            }
            _ => TooMuch::of_figure(&verdict.governing, unit),
        }
    }

    /// The verdict, why, and what to do.
    pub fn whole(&self) -> String {
        format!("{TOO_MUCH}: {}; {}", self.text, self.next)
    }

    fn of(doubt: &Doubt, unit: TorqueUnit, next: &'static str) -> TooMuch {
        TooMuch { text: doubt.text(unit), next, bolt_limit_nm: in_newton_metres(doubt.limit()) }
    }
}
