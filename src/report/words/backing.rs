//! On whose word a thin band stands, and who prints something else than an agreed one.

use serde_json::{Value, json};

use crate::book::{Backing, Dissent, IssuerRange};
use crate::quantity::in_newton_metres;

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

/// Who prints something else than an agreed band, as JSON.
pub fn dissent_json(dissent: &Dissent) -> Value {
    let told = |range: &IssuerRange| {
        json!({
            "issuer": range.issuer,
            // What it prints, not what a lone number allows.
            "low_nm": range.set_value.or(range.low).map(in_newton_metres),
            "high_nm": range.set_value.or(range.high).map(in_newton_metres),
        })
    };
    let each = |ranges: &[IssuerRange]| ranges.iter().map(told).collect::<Vec<_>>();
    json!({ "less": each(&dissent.less), "more": each(&dissent.more), "text": dissent.text() })
}
