//! What the band of an entry is computed from.

use super::Grade;
use crate::quantity::Stated;

/// What a published value says towards the band of its entry.
pub trait Claim {
    /// Who stands behind it.
    fn issuer(&self) -> &str;
    /// The specified torque and the digits it came with.
    fn stated(&self) -> &Stated;
    /// How it was come by.
    fn grade(&self) -> Grade;
    /// Whether it counts towards the band (`specs/rules.md`, "What counts").
    fn counted(&self) -> bool;
}
