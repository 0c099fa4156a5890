//! Entries found for a question.

use serde_json::{Value, json};

use super::band::Band;
use super::figure::band_text;
use super::{Report, Style, columns, records};
use crate::book::{Consensus, Entry, Evidence, consensus};
use crate::quantity::{Spec, TorqueUnit};

/// Entries, best first.
pub struct FoundEntries {
    entries: Vec<(Entry, Consensus)>,
    unit: TorqueUnit,
}

impl FoundEntries {
    /// Entries with their evidence, their bands shown in `unit`.
    pub fn new(entries: Vec<(Entry, Vec<Evidence>)>, unit: TorqueUnit) -> FoundEntries {
        let entries = entries.into_iter().map(|(entry, evidence)| (entry, consensus(&evidence)));
        FoundEntries { entries: entries.collect(), unit }
    }
}

impl Report for FoundEntries {
    const SHEET: (&'static str, &'static str) =
        ("", "entry,name,state,band.low_nm,band.high_nm,band.value_nm,form,issuers,own");

    fn json(&self) -> Value {
        let found = |(entry, consensus): &(Entry, Consensus)| {
            json!({
                "entry": entry.entry,
                "name": entry.name,
                "state": consensus.state.word(),
                "band": consensus.spec.map(Band::of),
                "form": consensus.spec.map(Spec::form),
                "issuers": consensus.issuers,
                "own": consensus.own,
            })
        };
        self.entries.iter().map(found).collect()
    }

    fn text(&self, style: &Style) -> String {
        let rows = self.entries.iter().map(|(entry, consensus)| {
            let own = if consensus.own > 0 { ", own" } else { "" };
            let (band, state) = (band_text(consensus, self.unit), consensus.state.word());
            vec![entry.entry.clone(), band, format!("{state}{own}"), entry.name.clone()]
        });
        columns(&records(&["entry", "torque", "state", "name"], rows), style)
    }
}
