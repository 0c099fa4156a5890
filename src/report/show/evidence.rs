//! The figures of an entry, each with its source.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use crate::book::{Evidence, Page, Source};
use crate::quantity::TorqueUnit;
use crate::report::{Band, Style, columns, records, spec_text};

pub(super) fn evidence_json(value: &Evidence) -> Value {
    let spec = value.claim.stated.spec;
    let Band { low_nm, high_nm, value_nm } = Band::of(spec);
    json!({
        // A source that prints one number names no limits.
        "low_nm": value_nm.or(low_nm),
        "high_nm": value_nm.or(high_nm),
        "value_nm": value_nm,
        "form": spec.form(),
        "printed_value": value.printed_value,
        "printed_unit": value.printed_unit,
        "variant": value.claim.variant,
        "condition": value.condition,
        "material": value.material,
        "source": value.source.source,
        "issuer": value.source.issuer,
        "locator": value.locator,
        "grade": value.claim.grade.word(),
        "counted": value.claim.counted,
        "orients": value.claim.orients,
        "reason": value.reason(),
        "own": value.own,
    })
}

pub(super) fn evidence_text(evidence: &[Evidence], unit: TorqueUnit, style: &Style) -> String {
    let rows = evidence.iter().map(|value| {
        let mut said = vec![format!("{}, {}", value.source.source, value.locator)];
        let about = [&value.claim.variant, &value.material, &value.condition];
        said.extend(about.into_iter().filter(|text| !text.is_empty()).cloned());
        if !value.claim.counted {
            said.push(format!("not counted: {}", value.reason()));
        }
        vec![
            spec_text(value.claim.stated.spec, value.claim.stated.resolution, unit),
            format!("{} {}", value.printed_value, value.printed_unit),
            grade_text(value),
            said.join("; "),
        ]
    });
    columns(&records(&["evidence", "as printed", "grade", "where and of what"], rows), style)
}

/// How a figure was come by, and whether the workshop has brought it in itself.
fn grade_text(value: &Evidence) -> String {
    let own = if value.own.is_some() { ", own" } else { "" };
    format!("{}{own}", value.claim.grade.word())
}

/// The documents cited, once each.
pub(super) fn sources(page: &Page) -> Vec<&Source> {
    let cited: BTreeMap<&str, &Source> =
        page.evidence.iter().map(|value| (value.source.source.as_str(), value.source.as_ref())).collect();
    cited.into_values().collect()
}
