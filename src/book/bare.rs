//! Entries without what only people read: whoever wants no more than bands reads no more than that.

use super::Claim;
use super::entry::Hand;
use super::sheet::{Fields, sheet};

sheet! {
    /// `specs/evidence.csv`, as far as bands come of it.
    pub static CLAIMS: ClaimCells = "evidence" {
        entry, variant, form, low_nm, high_nm, printed_value, printed_unit, source, grade, not_counted,
    }
}

sheet! {
    /// `specs/sources.csv`, as far as bands come of it.
    pub static ISSUERS: IssuerCells = "sources" { source, issuer, year }
}

sheet! {
    /// `specs/entries.csv`, as far as readings are judged by it.
    pub static HANDED_ENTRIES: HandedCells = "entries" { entry, thread, hand }
}

/// An entry by no more than its key, its thread, its turning direction and what its band comes of.
#[derive(Debug, Clone, PartialEq)]
pub struct BareEntry {
    pub(crate) entry: String,
    /// Empty where it is not known.
    pub(crate) thread: String,
    pub(crate) hand: Hand,
    /// What its evidence says, in the order of the sheet.
    pub claims: Vec<Claim>,
}

impl BareEntry {
    pub(crate) fn from_cells(cells: &HandedCells<'_>, fields: &mut Fields<'_>) -> Option<BareEntry> {
        let hand = fields.choice(cells.hand, Hand::WORDS)?;
        let (entry, thread) = (cells.entry.owned(), cells.thread.owned());
        Some(BareEntry { entry, thread, hand, claims: Vec::new() })
    }
}
