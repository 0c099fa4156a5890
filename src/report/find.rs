//! Entries found for a question.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use super::band::Band;
use super::figure::band_text;
use super::table::columns_over;
use super::words::{backing_json, dissent_json, orientation_json, orientation_text, turning_text};
use super::{Report, Style, records};
use crate::book::{Backing, Consensus, Dissent, Entry, Evidence, Found, Hand, Hit, MeasuredItem, consensus};
use crate::quantity::{Spec, TorqueUnit};

/// Entries, best first.
pub struct FoundEntries {
    entries: Vec<(Entry, Consensus)>,
    /// How each was found; empty where nothing was asked.
    found: Found,
    /// Whether those that fit only in part are listed in text too.
    is_all: bool,
    /// Keys of those that no torque is for.
    no_torque: BTreeSet<String>,
    /// What was asked for and is measured.
    measured: Vec<MeasuredItem>,
    unit: TorqueUnit,
}

impl FoundEntries {
    /// Entries with their evidence, their bands shown in `unit`.
    pub fn new(
        entries: Vec<(Entry, Vec<Evidence>)>,
        no_torque: BTreeSet<String>,
        unit: TorqueUnit,
    ) -> FoundEntries {
        let entries = entries.into_iter().map(|(entry, evidence)| (entry, consensus(&evidence)));
        let (found, measured) = (Found::default(), Vec::new());
        FoundEntries { entries: entries.collect(), found, is_all: false, no_torque, measured, unit }
    }

    /// Says how they were found.
    #[must_use]
    pub fn for_question(self, found: Found, is_all: bool) -> FoundEntries {
        FoundEntries { found, is_all, ..self }
    }

    /// Adds what was asked for and is measured.
    #[must_use]
    pub fn with_measured(self, measured: Vec<MeasuredItem>) -> FoundEntries {
        FoundEntries { measured, ..self }
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

    /// The first `most` of those that all words ask for, or of those that fit only in part.
    fn table(&self, is_whole: bool, most: usize, style: &Style) -> String {
        let wanted = || self.hits().filter(|(_, _, hit)| is_whole_hit(*hit) == is_whole).take(most);
        let rows = wanted().map(|(entry, consensus, _)| {
            let own = if consensus.own > 0 { ", own" } else { "" };
            let (band, state) = (band_text(consensus, self.unit), consensus.state.word());
            let (band, state) = match self.set_by(entry) {
                Some(_) => (NO_TORQUE.to_owned(), "–".to_owned()),
                None => (band, format!("{state}{own}")),
            };
            vec![entry.entry.clone(), band, state, entry.name.clone()]
        });
        let rows = records(&["entry", "torque", "state", "name"], rows);
        let said = wanted().map(|(entry, consensus, _)| self.beneath(entry, consensus));
        columns_over(&rows, &[None].into_iter().chain(said).collect::<Vec<_>>(), style)
    }

    /// Those that all words ask for, as many as fit on a screen, and how many that leaves out.
    fn first_screen(&self, style: &Style) -> (String, usize) {
        let count = self.hits().filter(|(_, _, hit)| is_whole_hit(*hit)).count();
        let is_list = self.found.hits.is_empty();
        let mut shown = self.table(true, if is_list || self.is_all { count } else { 1 }, style);
        if is_list || self.is_all {
            return (shown, 0);
        }
        for most in 2..=count {
            let more = self.table(true, most, style);
            if more.lines().count() > SCREEN {
                return (shown, count + 1 - most);
            }
            shown = more;
        }
        (shown, 0)
    }

    /// What an entry is set by that no torque is for.
    fn set_by<'a>(&self, entry: &'a Entry) -> Option<&'a str> {
        self.no_torque.contains(&entry.entry).then_some(entry.hardware.as_str())
    }

    /// What stands beneath an entry: that it, or one side of it, has a left-hand thread; on whose word a thin band
    /// stands, who prints something else than an agreed one, or what is given where nothing counts.
    fn beneath(&self, entry: &Entry, consensus: &Consensus) -> Option<String> {
        if let Some(set_by) = self.set_by(entry) {
            return Some(set_by.to_owned());
        }
        let turning = is_left_hand(entry.hand).then(|| turning_text(entry.hand).to_owned());
        let given = consensus.orientation.as_ref().map(|given| orientation_text(given, self.unit));
        let dissent = consensus.dissent.as_ref().map(Dissent::text);
        let figure = consensus.backing.as_ref().map(Backing::text).or(dissent).or(given);
        let said: Vec<String> = turning.into_iter().chain(figure).collect();
        (!said.is_empty()).then(|| said.join("; "))
    }
}

/// What stands in the place of a torque where none is for the part.
const NO_TORQUE: &str = "no torque";

/// What is measured, each with its limits beneath.
fn measured_table(measured: &[MeasuredItem], style: &Style) -> String {
    let row = |item: &MeasuredItem| {
        vec![item.item.clone(), NO_TORQUE.to_owned(), MEASURED.to_owned(), item.name.clone()]
    };
    let rows = records(&["item", "torque", "state", "name"], measured.iter().map(row));
    let beneath = measured.iter().map(|item| Some(item.limits_text()));
    let table = columns_over(&rows, &[None].into_iter().chain(beneath).collect::<Vec<_>>(), style);
    table + "\n" + &style.wrapped("", RECORD_IT)
}

/// The state of what is measured.
const MEASURED: &str = "measured";

/// Where a measure is judged.
const RECORD_IT: &str = "`evenclamp record BIKE/JOINT VALUE` judges a measure of a bicycle";

/// The same keys as an entry, so that a program may read both alike.
fn measured_json(item: &MeasuredItem, read_as: Option<&String>) -> Value {
    json!({
        "entry": item.item,
        "name": item.name,
        "state": MEASURED,
        "hand": null,
        "turning": null,
        "ridden": null,
        "band": null,
        "form": null,
        "issuers": 0,
        "own": 0,
        "backing": null,
        "dissent": null,
        "orientation": null,
        "match": "all",
        "not_matched": [],
        "read_as": read_as,
        "takes_torque": false,
        "set_by": item.limits_text(),
    })
}

/// Whether a thread that turns the other way is known of.
fn is_left_hand(hand: Hand) -> bool {
    matches!(hand, Hand::Left | Hand::Either)
}

/// So many lines of a table leave room on a screen of 24 for what stands around it.
const SCREEN: usize = 18;

/// How many are not listed, and how they are.
fn not_listed(whole: usize, part: usize) -> Option<String> {
    let (them, in_part) = match part {
        1 => ("it", "1 that matches only in part".to_owned()),
        more => ("them", format!("{more} that match only in part")),
    };
    match (whole, part) {
        (0, 0) => None,
        (0, _) => Some(format!("and {in_part}: --all lists {them}")),
        (1, 0) => Some("and 1 more that all words fit: --all lists it".to_owned()),
        (more, 0) => Some(format!("and {more} more that all words fit: --all lists them")),
        (more, _) => Some(format!("and {more} more that all words fit, and {in_part}: --all lists them")),
    }
}

fn is_whole_hit(hit: Option<&Hit>) -> bool {
    hit.is_none_or(|hit| hit.is_whole)
}

impl Report for FoundEntries {
    const SHEET: (&'static str, &'static str) = (
        "",
        "entry,name,state,hand,turning,ridden,band.low_nm,band.high_nm,band.value_nm,form,issuers,own,backing=backing.text,dissent=dissent.text,\
             orientation_low_nm=orientation.low_nm,orientation_high_nm=orientation.high_nm,orientation_value_nm=orientation.value_nm,orientation=orientation.text,match,not_matched,read_as,takes_torque,set_by",
    );

    fn json(&self) -> Value {
        let read_as = self.read_as();
        let found = |(entry, consensus, hit): (&Entry, &Consensus, Option<&Hit>)| {
            json!({
                "entry": entry.entry,
                "name": entry.name,
                "state": consensus.state.word(),
                "hand": entry.hand,
                "turning": turning_text(entry.hand),
                "ridden": entry.ridden.word(),
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
                "takes_torque": self.set_by(entry).is_none(),
                "set_by": self.set_by(entry),
            })
        };
        let measured = self.measured.iter().map(|item| measured_json(item, read_as.as_ref()));
        self.hits().map(found).chain(measured).collect()
    }

    fn text(&self, style: &Style) -> String {
        let read_as = self.read_as().map_or_else(String::new, |read| format!("{read}\n\n"));
        if self.entries.is_empty() {
            let is_measured = !self.measured.is_empty();
            return if is_measured {
                read_as + &measured_table(&self.measured, style)
            } else {
                String::new()
            };
        }
        let (whole, left_out) = self.first_screen(style);
        let mut text = read_as;
        text += &whole;
        let part = self.found.hits.iter().filter(|hit| !hit.is_whole).count();
        if self.is_all && part > 0 {
            text += &format!("\nOnly in part:\n\n{}", self.table(false, part, style));
        } else if let Some(more) = not_listed(left_out, part) {
            text += &format!("\n{more}\n");
        }
        text
    }
}
