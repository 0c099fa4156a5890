//! What the band of an entry is computed from.

use std::sync::Arc;

use super::Grade;
use crate::quantity::Stated;

/// What a published value says towards the band of its entry.
#[derive(Debug, Clone, PartialEq)]
pub struct Claim {
    /// Who stands behind it.
    pub issuer: Arc<str>,
    /// The specified torque and the digits it came with.
    pub stated: Stated,
    /// How it was come by.
    pub grade: Grade,
    /// Whether it counts towards the band (`specs/rules.md`, "What counts").
    pub counted: bool,
    /// Whether the workshop has brought it in itself.
    pub own: bool,
}

impl AsRef<Claim> for Claim {
    fn as_ref(&self) -> &Claim {
        self
    }
}
