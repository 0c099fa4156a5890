//! One generic kind of fastener.

use serde::Serialize;

use super::Commonness;
use super::sheet::field::YES_NO;
use super::sheet::{Fields, kept_as_text, sheet};
use crate::sequence::{Layout, MAX_BOLTS};
use crate::words::words;

sheet! {
    /// `specs/entries.csv`.
    pub static ENTRIES: EntryCells = "entries" {
        entry, name, family, hardware, thread, tool, bolts, layout, hand, critical, procedure, kind, needs, ridden,
    }
}

words! {
    /// Which way the fastener is turned to tighten it.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
    #[serde(rename_all = "lowercase")]
    pub enum Hand: word {
        /// Right-hand thread: clockwise tightens.
        Right = "right",
        /// Left-hand thread: anticlockwise tightens.
        Left = "left",
        /// One side is left-handed: read the side or the marking first.
        Either = "either",
        /// No source says which way it turns.
        Unknown = "unknown",
    }
}

// What is fitted turns one way or the other.
kept_as_text!(Hand, "a turning direction", |hand| hand.word().to_owned(), |word| {
    [Hand::Right, Hand::Left].into_iter().find(|hand| hand.word() == word)
});

/// A generic kind of fastener, narrow enough that its sources speak of the same hardware.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Key, such as `stem-faceplate`.
    pub entry: String,
    /// Name for people.
    pub name: String,
    /// Part of the bicycle.
    pub family: String,
    /// Exactly which hardware the evidence speaks of.
    pub hardware: String,
    /// Thread designation, or empty where the evidence does not settle it.
    pub thread: String,
    /// Tool that fits, or empty.
    pub tool: String,
    /// The bolts of one clamp and how they stand.
    pub layout: Layout,
    /// Turning direction.
    pub hand: Hand,
    /// Whether the joint decides safety.
    pub critical: bool,
    /// Key of the joint procedure.
    pub procedure: String,
    /// Key of the kind of joint.
    pub kind: String,
    /// Key of the entry that must be set first, where there is one.
    pub needs: Option<String>,
    /// How much it is ridden.
    pub ridden: Commonness,
}

const FAMILIES: [&str; 8] =
    ["accessory", "brake", "cockpit", "drivetrain", "frame", "seat", "suspension", "wheel"];

impl Entry {
    pub(crate) fn from_cells(cells: &EntryCells<'_>, fields: &mut Fields<'_>) -> Option<Entry> {
        fields.choice(cells.family, &FAMILIES.map(|family| (family, ())));
        let hand = fields.choice(cells.hand, Hand::WORDS);
        let critical = fields.choice(cells.critical, YES_NO);
        let ridden = fields.choice(cells.ridden, Commonness::WORDS);
        let layout = layout(cells, fields);
        Some(Entry {
            entry: fields.key(cells.entry),
            name: fields.filled(cells.name),
            family: cells.family.owned(),
            hardware: fields.filled(cells.hardware),
            thread: cells.thread.owned(),
            tool: cells.tool.owned(),
            procedure: cells.procedure.owned(),
            kind: cells.kind.owned(),
            needs: Some(cells.needs.owned()).filter(|key| !key.is_empty()),
            ridden: ridden?,
            layout: layout?,
            hand: hand?,
            critical: critical?,
        })
    }
}

fn layout(cells: &EntryCells<'_>, fields: &mut Fields<'_>) -> Option<Layout> {
    let Ok(bolts) = cells.bolts.text.parse() else {
        let message = format!("`{}` is not a number of bolts", cells.bolts.text);
        fields.report(cells.bolts, message, format!("use a whole number from 1 to {MAX_BOLTS}"));
        return None;
    };
    let layout = Layout::named(cells.layout.text, bolts);
    layout.map_err(|error| fields.report(cells.layout, error.to_string(), error.hint())).ok()
}
