//! Entries found for a question.

use serde::Serialize;
use serde_json::{Value, json};

use super::band::Band;
use super::figure::band_text;
use super::{Report, Style, columns, records, sheet};
use crate::book::{Entry, Evidence, consensus};
use crate::quantity::{Spec, TorqueUnit};

/// Entries, best first.
#[derive(Debug, Serialize)]
#[serde(transparent)]
pub struct FoundEntries(Vec<FoundEntry>);

#[derive(Debug, Serialize)]
struct FoundEntry {
    entry: String,
    name: String,
    state: &'static str,
    band: Option<Band>,
    form: Option<&'static str>,
    issuers: usize,
    #[serde(skip)]
    band_text: String,
}

impl FoundEntries {
    /// Entries with their evidence, their bands shown in `unit`.
    pub fn new(entries: Vec<(Entry, Vec<Evidence>)>, unit: TorqueUnit) -> FoundEntries {
        let entries = entries.into_iter().map(|(entry, evidence)| {
            let consensus = consensus(&evidence);
            FoundEntry {
                entry: entry.entry,
                name: entry.name,
                state: consensus.state.word(),
                band: consensus.band.map(Band::from),
                form: consensus.spec.map(Spec::form),
                issuers: consensus.issuers,
                band_text: band_text(&consensus, unit),
            }
        });
        FoundEntries(entries.collect())
    }
}

impl Report for FoundEntries {
    fn json(&self) -> Value {
        json!(self)
    }

    fn text(&self, style: &Style) -> String {
        let rows = self.0.iter().map(|found| {
            vec![found.entry.clone(), found.band_text.clone(), found.state.to_owned(), found.name.clone()]
        });
        columns(&records(&["entry", "torque", "state", "name"], rows), style)
    }

    fn rows(&self) -> Vec<Vec<String>> {
        sheet(&self.json(), "", "entry,name,state,band.low_nm,band.high_nm,form,issuers")
    }
}
