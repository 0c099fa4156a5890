//! The trade's other words for an entry.

use super::sheet::{Fields, sheet};

sheet! {
    /// `specs/aliases.csv`.
    pub static ALIASES: AliasCells = "aliases" { alias, entry }
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Alias {
    /// The word or words, lower case.
    pub alias: String,
    pub(crate) entry: String,
}

impl Alias {
    pub(crate) fn from_cells(cells: &AliasCells<'_>, fields: &mut Fields<'_>) -> Alias {
        let alias = fields.filled(cells.alias);
        let lower = alias.to_lowercase();
        if lower != alias {
            fields.report(cells.alias, format!("alias `{alias}` has capitals"), format!("write {lower}"));
        }
        Alias { alias, entry: cells.entry.owned() }
    }
}
