//! The figures of an entry, each with its source.

use std::collections::BTreeMap;

use serde::Serialize;

use super::super::band::Band;
use super::super::figure::spec_text;
use crate::book::{Claim, Evidence, Page, Source};
use crate::quantity::TorqueUnit;

#[derive(Debug, Serialize)]
pub(super) struct EvidenceLine {
    #[serde(flatten)]
    pub(super) band: Band,
    pub(super) form: &'static str,
    pub(super) printed_value: String,
    pub(super) printed_unit: String,
    pub(super) variant: String,
    pub(super) condition: String,
    pub(super) material: String,
    pub(super) source: String,
    pub(super) issuer: String,
    pub(super) locator: String,
    pub(super) grade: &'static str,
    pub(super) counted: bool,
    pub(super) reason: String,
    #[serde(skip)]
    pub(super) text: String,
}

pub(super) fn evidence_line(value: &Evidence, unit: TorqueUnit) -> EvidenceLine {
    EvidenceLine {
        band: Band::from(value.stated.spec),
        form: value.stated.spec.form(),
        printed_value: value.printed_value.clone(),
        printed_unit: value.printed_unit.clone(),
        variant: value.variant.clone(),
        condition: value.condition.clone(),
        material: value.material.clone(),
        source: value.source.source.clone(),
        issuer: value.source.issuer.clone(),
        locator: value.locator.clone(),
        grade: value.grade.word(),
        counted: value.counted(),
        reason: value.reason(),
        text: spec_text(value.stated.spec, value.stated.resolution, unit),
    }
}

/// The documents cited, once each.
pub(super) fn sources(page: &Page) -> Vec<Source> {
    let cited: BTreeMap<&str, &Source> =
        page.evidence.iter().map(|value| (value.source.source.as_str(), value.source.as_ref())).collect();
    cited.into_values().cloned().collect()
}
