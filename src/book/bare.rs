//! Entries without what only people read: whoever wants no more than bands reads no more than that.

use std::sync::Arc;

use super::Claim;
use super::entry::Hand;
use super::evidence::{Grade, PrintedFigure, counts};
use super::sheet::{Fields, sheet};
use crate::quantity::Stated;

sheet! {
    /// `specs/evidence.csv`, as far as bands come of it.
    pub static CLAIMS: ClaimCells = "evidence" {
        entry, form, low_nm, high_nm, printed_value, printed_unit, source, grade, not_counted,
    }
}

sheet! {
    /// `specs/sources.csv`, as far as bands come of it.
    pub static ISSUERS: IssuerCells = "sources" { source, issuer }
}

sheet! {
    /// `specs/entries.csv`, as far as readings are judged by it.
    pub static HANDED_ENTRIES: HandedCells = "entries" { entry, hand }
}

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
    /// An entry without claims from its row.
    pub(crate) fn from_cells(cells: &HandedCells<'_>, fields: &mut Fields<'_>) -> Option<BareEntry> {
        let hand = fields.choice(cells.hand, Hand::WORDS)?;
        Some(BareEntry { entry: cells.entry.owned(), hand, claims: Vec::new() })
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
    /// A claim from its row.
    pub(crate) fn from_cells(
        cells: &ClaimCells<'_>,
        issuer: Arc<str>,
        fields: &mut Fields<'_>,
    ) -> Option<BareClaim> {
        let ClaimCells { form, low_nm, high_nm, printed_value, printed_unit, grade, .. } = *cells;
        let figure = PrintedFigure { form, low_nm, high_nm, printed_value, printed_unit, grade };
        let (grade, stated) = figure.graded(fields)?;
        Some(BareClaim { issuer, stated, grade, counted: counts(grade, cells.not_counted.text) })
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
