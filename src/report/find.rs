//! Entries found for a question.

use serde_json::{Value, json};

use super::band::Band;
use super::figure::band_text;
use super::table::columns_over;
use super::words::{backing_json, orientation_json, orientation_text};
use super::{Report, Style, records};
use crate::book::{Backing, Consensus, Entry, Evidence, consensus};
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

    /// What stands beneath an entry: on whose word a thin band stands, or what is given where nothing counts.
    fn beneath(&self, consensus: &Consensus) -> Option<String> {
        let given = consensus.orientation.as_ref().map(|given| orientation_text(given, self.unit));
        consensus.backing.as_ref().map(Backing::text).or(given)
    }
}

impl Report for FoundEntries {
    const SHEET: (&'static str, &'static str) = (
        "",
        "entry,name,state,band.low_nm,band.high_nm,band.value_nm,form,issuers,own,backing=backing.text,\
             orientation.low_nm,orientation.high_nm,orientation.value_nm,orientation=orientation.text",
    );

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
                "backing": consensus.backing.as_ref().map(backing_json),
                "orientation": consensus.orientation.as_ref().map(|given| orientation_json(given, self.unit)),
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
        let rows = records(&["entry", "torque", "state", "name"], rows);
        let said = self.entries.iter().map(|(_, consensus)| self.beneath(consensus));
        columns_over(&rows, &[None].into_iter().chain(said).collect::<Vec<_>>(), style)
    }
}
