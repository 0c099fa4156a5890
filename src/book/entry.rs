//! One generic kind of fastener.

use serde::Serialize;

use super::Diagnostics;
use super::field;
use super::sheet::{Row, Sheet};
use crate::sequence::{Layout, MAX_BOLTS};

/// `specs/entries.csv`.
pub static ENTRIES: Sheet = Sheet {
    name: "entries",
    columns: &[
        "entry",
        "name",
        "family",
        "hardware",
        "thread",
        "tool",
        "bolts",
        "layout",
        "hand",
        "critical",
        "procedure",
        "kind",
        "needs",
    ],
    sort_key: Row::all_texts,
};

/// Which way the fastener is turned to tighten it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Hand {
    /// Right-hand thread: clockwise tightens.
    Right,
    /// Left-hand thread: anticlockwise tightens.
    Left,
    /// One side is left-handed: read the side or the marking first.
    Either,
}

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
}

const FAMILIES: &[(&str, ())] = &[
    ("accessory", ()),
    ("brake", ()),
    ("cockpit", ()),
    ("drivetrain", ()),
    ("frame", ()),
    ("seat", ()),
    ("suspension", ()),
    ("wheel", ()),
];
pub(super) const HANDS: &[(&str, Hand)] =
    &[("right", Hand::Right), ("left", Hand::Left), ("either", Hand::Either)];

impl Entry {
    /// An entry from its row; faults go to `diagnostics`.
    pub fn from_row(row: &Row, diagnostics: &mut Diagnostics) -> Option<Entry> {
        let words = [
            field::key(row.cell("entry"), diagnostics),
            field::not_empty(row.cell("name"), "name", diagnostics),
            field::not_empty(row.cell("hardware"), "hardware", diagnostics),
            field::one_of(row.cell("family"), "family", FAMILIES, diagnostics),
        ];
        let hand = field::one_of(row.cell("hand"), "hand", HANDS, diagnostics);
        let critical = field::one_of(row.cell("critical"), "critical", field::YES_NO, diagnostics);
        let layout = layout(row, diagnostics);
        if words.contains(&None) {
            return None;
        }
        let text = |column| row.text(column).to_owned();
        Some(Entry {
            entry: text("entry"),
            name: text("name"),
            family: text("family"),
            hardware: text("hardware"),
            thread: text("thread"),
            tool: text("tool"),
            layout: layout?,
            hand: hand?,
            critical: critical?,
            procedure: text("procedure"),
            kind: text("kind"),
            needs: Some(text("needs")).filter(|key| !key.is_empty()),
        })
    }
}

fn layout(row: &Row, diagnostics: &mut Diagnostics) -> Option<Layout> {
    let cell = row.cell("bolts");
    let Ok(bolts) = cell.text.parse() else {
        diagnostics.error(
            &cell.at,
            format!("`{}` is not a number of bolts", cell.text),
            format!("use a whole number from 1 to {MAX_BOLTS}"),
        );
        return None;
    };
    match Layout::named(row.text("layout"), bolts) {
        Ok(layout) => Some(layout),
        Err(error) => {
            diagnostics.error(&row.cell("layout").at, error.to_string(), error.hint());
            None
        }
    }
}
