//! The trade's other words for an entry.

use super::Diagnostics;
use super::field;
use super::sheet::{Row, Sheet};

/// `specs/aliases.csv`.
pub static ALIASES: Sheet = Sheet { name: "aliases", columns: &["alias", "entry"], sort_key: Row::all_texts };

/// Another word for an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Alias {
    /// The word or words, lower case.
    pub alias: String,
    /// The entry it may mean.
    pub entry: String,
}

impl Alias {
    /// An alias from its row; faults go to `diagnostics`.
    pub fn from_row(row: &Row, diagnostics: &mut Diagnostics) -> Option<Alias> {
        let cell = row.cell("alias");
        field::not_empty(cell, "alias", diagnostics)?;
        if cell.text.to_lowercase() != cell.text {
            diagnostics.error(
                &cell.at,
                format!("alias `{}` has capitals", cell.text),
                format!("write {}", cell.text.to_lowercase()),
            );
            return None;
        }
        Some(Alias { alias: cell.text.to_owned(), entry: row.text("entry").to_owned() })
    }
}
