//! Entries found for a question.

use serde_json::{Value, json};

use super::band::Band;
use super::figure::band_text;
use super::table::columns_over;
use super::words::{backing_json, dissent_json, orientation_json, orientation_text};
use super::{Report, Style, records};
use crate::book::{Backing, Consensus, Dissent, Entry, Evidence, Found, Hit, consensus};
use crate::quantity::{Spec, TorqueUnit};

/// Entries, best first.
pub struct FoundEntries {
    entries: Vec<(Entry, Consensus)>,
    /// How each was found; empty where nothing was asked.
    found: Found,
    /// Whether those that fit only in part are listed in text too.
    is_all: bool,
    unit: TorqueUnit,
}

impl FoundEntries {
    /// Entries with their evidence, their bands shown in `unit`.
    pub fn new(entries: Vec<(Entry, Vec<Evidence>)>, unit: TorqueUnit) -> FoundEntries {
        let entries = entries.into_iter().map(|(entry, evidence)| (entry, consensus(&evidence)));
        FoundEntries { entries: entries.collect(), found: Found::default(), is_all: false, unit }
    }

    /// Says how they were found.
    #[must_use]
    pub fn for_question(self, found: Found, is_all: bool) -> FoundEntries {
        FoundEntries { found, is_all, ..self }
    }

    /// Each entry with what was found of it.
    fn hits(&self) -> impl Iterator<Item = (&Entry, &Consensus, Option<&Hit>)> {
        let hit = |entry: &Entry| self.found.hits.iter().find(|hit| hit.entry == entry.entry);
        self.entries.iter().map(move |(entry, consensus)| (entry, consensus, hit(entry)))
    }

    fn read_as(&self) -> Option<String> {
        let read = self.found.corrected.iter().map(|(typed, read)| format!("`{typed}` read as `{read}`"));
        (!self.found.corrected.is_empty()).then(|| read.collect::<Vec<_>>().join(", "))
    }

    fn table(&self, is_whole: bool, style: &Style) -> String {
        let wanted = || self.hits().filter(|(_, _, hit)| is_whole_hit(*hit) == is_whole);
        let rows = wanted().map(|(entry, consensus, _)| {
            let own = if consensus.own > 0 { ", own" } else { "" };
            let (band, state) = (band_text(consensus, self.unit), consensus.state.word());
            vec![entry.entry.clone(), band, format!("{state}{own}"), entry.name.clone()]
        });
        let rows = records(&["entry", "torque", "state", "name"], rows);
        let said = wanted().map(|(_, consensus, _)| self.beneath(consensus));
        columns_over(&rows, &[None].into_iter().chain(said).collect::<Vec<_>>(), style)
    }

    /// What stands beneath an entry: on whose word a thin band stands, who prints something else than an agreed one, or
    /// what is given where nothing counts.
    fn beneath(&self, consensus: &Consensus) -> Option<String> {
        let given = consensus.orientation.as_ref().map(|given| orientation_text(given, self.unit));
        let dissent = consensus.dissent.as_ref().map(Dissent::text);
        consensus.backing.as_ref().map(Backing::text).or(dissent).or(given)
    }
}

fn is_whole_hit(hit: Option<&Hit>) -> bool {
    hit.is_none_or(|hit| hit.is_whole)
}

impl Report for FoundEntries {
    const SHEET: (&'static str, &'static str) = (
        "",
        "entry,name,state,band.low_nm,band.high_nm,band.value_nm,form,issuers,own,backing=backing.text,dissent=dissent.text,\
             orientation.low_nm,orientation.high_nm,orientation.value_nm,orientation=orientation.text,match,not_matched,read_as",
    );

    fn json(&self) -> Value {
        let read_as = self.read_as();
        let found = |(entry, consensus, hit): (&Entry, &Consensus, Option<&Hit>)| {
            json!({
                "entry": entry.entry,
                "name": entry.name,
                "state": consensus.state.word(),
                "band": consensus.spec.map(Band::of),
                "form": consensus.spec.map(Spec::form),
                "issuers": consensus.issuers,
                "own": consensus.own,
                "backing": consensus.backing.as_ref().map(backing_json),
                "dissent": consensus.dissent.as_ref().map(dissent_json),
                "orientation": consensus.orientation.as_ref().map(|given| orientation_json(given, self.unit)),
                "match": if is_whole_hit(hit) { "all" } else { "part" },
                "not_matched": hit.map_or(&[][..], |hit| &hit.missing),
                "read_as": read_as,
            })
        };
        self.hits().map(found).collect()
    }

    fn text(&self, style: &Style) -> String {
        if self.entries.is_empty() {
            return String::new();
        }
        let mut text = self.read_as().map_or_else(String::new, |read| format!("{read}\n\n"));
        text += &self.table(true, style);
        let more = self.found.hits.iter().filter(|hit| !hit.is_whole).count();
        match more {
            0 => {}
            _ if self.is_all => text += &format!("\nOnly in part:\n\n{}", self.table(false, style)),
            1 => text += "\nand 1 that matches only in part: --all lists it\n",
            more => text += &format!("\nand {more} that match only in part: --all lists them\n"),
        }
        text
    }
}
