//! Entries without what only people read: whoever wants no more than bands reads no more than that.

use std::sync::Arc;

use super::entry::{HANDS, Hand};
use super::evidence::{Grade, counts, graded};
use super::sheet::{Row, Sheet};
use super::{Claim, Diagnostics, field};
use crate::quantity::Stated;

/// `specs/evidence.csv`, as far as bands come of it.
pub static CLAIMS: Sheet = Sheet {
    name: "evidence",
    columns: &[
        "entry",
        "form",
        "low_nm",
        "high_nm",
        "printed_value",
        "printed_unit",
        "source",
        "grade",
        "not_counted",
    ],
    sort_key: Row::all_texts,
};

/// `specs/sources.csv`, as far as bands come of it.
pub static ISSUERS: Sheet =
    Sheet { name: "sources", columns: &["source", "issuer"], sort_key: Row::all_texts };

/// `specs/entries.csv`, as far as readings are judged by it.
pub static HANDED_ENTRIES: Sheet =
    Sheet { name: "entries", columns: &["entry", "hand"], sort_key: Row::all_texts };

/// An entry by no more than its key, its turning direction and what its band comes of.
#[derive(Debug, Clone, PartialEq)]
pub struct BareEntry {
    /// The key.
    pub entry: String,
    /// Turning direction.
    pub hand: Hand,
    /// What its evidence says, in the order of the sheet.
    pub claims: Vec<BareClaim>,
}

impl BareEntry {
    /// An entry without claims from its row; faults go to `diagnostics`.
    pub fn from_row(row: &Row, diagnostics: &mut Diagnostics) -> Option<BareEntry> {
        let hand = field::one_of(row.cell("hand"), "hand", HANDS, diagnostics)?;
        Some(BareEntry { entry: row.text("entry").to_owned(), hand, claims: Vec::new() })
    }
}

/// A published value without what only people read.
#[derive(Debug, Clone, PartialEq)]
pub struct BareClaim {
    issuer: Arc<str>,
    stated: Stated,
    grade: Grade,
    counted: bool,
}

impl BareClaim {
    /// A claim from its row; faults go to `diagnostics`.
    pub fn from_row(row: &Row, issuer: Arc<str>, diagnostics: &mut Diagnostics) -> Option<BareClaim> {
        let (grade, stated) = graded(row, diagnostics)?;
        Some(BareClaim { issuer, stated, grade, counted: counts(grade, row.text("not_counted")) })
    }
}

impl Claim for BareClaim {
    fn issuer(&self) -> &str {
        &self.issuer
    }

    fn stated(&self) -> &Stated {
        &self.stated
    }

    fn grade(&self) -> Grade {
        self.grade
    }

    fn counted(&self) -> bool {
        self.counted
    }
}
