//! Checks of single fields that several sheets share.

use super::{Cell, Diagnostics};

/// A key: lower-case letters, digits and single hyphens.
pub(crate) fn key(cell: Cell<'_>, diagnostics: &mut Diagnostics) -> Option<()> {
    let well_formed = !cell.text.is_empty()
        && cell.text.split('-').all(|part| {
            !part.is_empty() && part.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
        });
    if !well_formed {
        diagnostics.error(
            &cell.at,
            format!("`{}` is not a key", cell.text),
            "use lower-case letters, digits and single hyphens, such as stem-faceplate",
        );
    }
    well_formed.then_some(())
}

/// A field that must say something.
pub(crate) fn not_empty(cell: Cell<'_>, column: &str, diagnostics: &mut Diagnostics) -> Option<()> {
    let filled = !cell.text.trim().is_empty();
    if !filled {
        diagnostics.error(&cell.at, format!("`{column}` is empty"), "fill it in");
    }
    filled.then_some(())
}

/// One of a fixed set of words.
pub(crate) fn one_of<T: Copy>(
    cell: Cell<'_>,
    column: &str,
    words: &[(&str, T)],
    diagnostics: &mut Diagnostics,
) -> Option<T> {
    let found = words.iter().find(|(word, _)| *word == cell.text).map(|(_, value)| *value);
    if found.is_none() {
        let known: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
        diagnostics.error(
            &cell.at,
            format!("unknown {column} `{}`", cell.text),
            format!("use one of {}", known.join(", ")),
        );
    }
    found
}

/// The words for a fact that is so or not.
pub(crate) const YES_NO: &[(&str, bool)] = &[("yes", true), ("no", false)];

/// A number above 0, or nothing: none for a field that is neither.
#[expect(clippy::option_option, reason = "a faulty field and an empty one are two things")]
pub(crate) fn amount(cell: Cell<'_>, column: &str, diagnostics: &mut Diagnostics) -> Option<Option<f64>> {
    if cell.text.is_empty() {
        return Some(None);
    }
    let number = cell.text.parse().ok().filter(|number: &f64| *number > 0.0 && number.is_finite());
    if number.is_none() {
        diagnostics.error(
            &cell.at,
            format!("{column} `{}` is not an amount", cell.text),
            "use a number above 0 or leave it empty",
        );
    }
    number.map(Some)
}

/// The words of a list that is parted by semicolons.
pub(crate) fn list(text: &str) -> Vec<String> {
    text.split(';').map(str::trim).filter(|word| !word.is_empty()).map(str::to_owned).collect()
}
