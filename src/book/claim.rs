//! What the band of an entry is computed from.

use std::sync::Arc;

use super::Grade;
use crate::quantity::Stated;

/// Who says something, where and when.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Speaker {
    /// Who stands behind it.
    pub issuer: String,
    /// Key of the document it was read in.
    pub source: String,
    /// Year of the document, or empty.
    pub year: String,
}

/// What a published value says towards the band of its entry.
#[derive(Debug, Clone, PartialEq)]
pub struct Claim {
    /// Who says it.
    pub speaker: Arc<Speaker>,
    /// The hardware it speaks of, as its source names it.
    pub variant: String,
    /// The specified torque and the digits it came with.
    pub stated: Stated,
    /// How it was come by.
    pub grade: Grade,
    /// Whether it counts towards the band (`specs/rules.md`, "What counts").
    pub counted: bool,
    /// Whether the workshop has brought it in itself.
    pub own: bool,
    /// Whether it speaks of tightening this hardware, or hardware not told apart from it, without counting.
    pub orients: bool,
}

impl AsRef<Claim> for Claim {
    fn as_ref(&self) -> &Claim {
        self
    }
}
