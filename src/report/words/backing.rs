//! On whose word a thin band stands.

use serde_json::{Value, json};

use crate::book::Backing;

/// Who, when and of which hardware, for programs.
pub fn backing_json(backing: &Backing) -> Value {
    json!({
        "issuers": backing.issuers,
        "years": backing.years,
        "hardware": backing.hardware,
        "secondhand": backing.secondhand,
        "text": backing.text(),
    })
}
