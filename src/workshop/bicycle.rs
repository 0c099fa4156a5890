//! A bicycle of the workshop, and the names by which bicycles and joints are called.

use super::LocalInstant;
use crate::sheet::{Column, KeptRecord, kept_as_text, kept_field};

#[derive(Debug, Clone, PartialEq)]
pub struct Bicycle {
    /// What it is called in the workshop: fleet number or nickname.
    pub name: Name,
    /// Key of its template, such as `hardtail`.
    pub kind: String,
    /// Frame number, or empty.
    pub frame: String,
    /// Owner, or empty.
    pub owner: String,
    pub note: String,
    pub added: LocalInstant,
    /// When it was given up; it is then left out of every list unless asked for.
    pub retired: Option<LocalInstant>,
}

impl KeptRecord for Bicycle {
    const COLUMNS: &'static [Column<Bicycle>] = &[
        kept_field!(name, "name", "bike"),
        kept_field!(kind, "kind"),
        kept_field!(frame, "frame"),
        kept_field!(owner, "owner"),
        kept_field!(note, "note"),
        kept_field!(added, "added_at"),
        kept_field!(retired, "retired_at", may_be_missing),
    ];

    fn blank() -> Bicycle {
        Bicycle {
            name: Name::blank(),
            kind: String::new(),
            frame: String::new(),
            owner: String::new(),
            note: String::new(),
            added: LocalInstant::BLANK,
            retired: None,
        }
    }
}

/// The name of a bicycle or joint: letters, digits, hyphens, dots and underscores, such as `loan-7`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Name(String);

/// A text that cannot be a name.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{0}` is not a name; use letters, digits, hyphens, dots and underscores, at most 40, such as loan-7"
)]
pub struct NameError(String);

impl Name {
    /// Longest name, so that it fits beside a table.
    const LONGEST: usize = 40;

    /// Checks a name. `/` and `#` part bicycle, joint and bolt, so a name has neither.
    ///
    /// # Errors
    /// [`NameError`] when it is empty, too long or has other characters.
    pub fn new(text: &str) -> Result<Name, NameError> {
        let text = text.trim();
        let fits = !text.is_empty()
            && text.chars().count() <= Name::LONGEST
            && text.chars().all(|c| c.is_alphanumeric() || "-._".contains(c));
        if fits { Ok(Name(text.to_owned())) } else { Err(NameError(text.to_owned())) }
    }

    /// The name of what has none yet.
    pub(super) fn blank() -> Name {
        Name(String::new())
    }

    pub(crate) fn text(&self) -> &str {
        &self.0
    }
}

kept_as_text!(Name, "a name", ToString::to_string, |text| Name::new(text).ok());

impl std::fmt::Display for Name {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_never_looks_like_a_path_to_a_bolt() {
        for good in ["loan-7", "B.12", "Fähre_2", "7", &"ä".repeat(40)] {
            assert_eq!(Name::new(&format!(" {good} ")).unwrap().text(), good);
        }
        for bad in ["", " ", "a b", "a/b", "a#1", &"x".repeat(41)] {
            assert!(Name::new(bad).is_err(), "{bad}");
        }
    }
}
