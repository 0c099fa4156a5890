//! Cells of a row as checked values. A row with a diagnostic is not built, and all of its diagnostics are
//! listed at once.

use std::collections::HashSet;
use std::str::FromStr;

use super::{Cell, Cells, Diagnostics, Row};

/// The words for a fact that is so or not.
pub(crate) const YES_NO: &[(&str, bool)] = &[("yes", true), ("no", false)];

/// Turns the cells of one row into values; what is wrong with them goes to the diagnostics.
pub(crate) struct Fields<'d> {
    diagnostics: &'d mut Diagnostics,
    sound: bool,
}

impl Fields<'_> {
    /// Notes what is wrong with a cell, and what would be right.
    pub(crate) fn report(&mut self, cell: Cell<'_>, message: impl Into<String>, fix: impl Into<String>) {
        self.sound = false;
        self.diagnostics.error(&cell.at, message, fix);
    }

    /// The text of a key: lower-case letters, digits and single hyphens.
    pub(crate) fn key(&mut self, cell: Cell<'_>) -> String {
        let part = |part: &str| {
            !part.is_empty() && part.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
        };
        if !cell.text.split('-').all(part) {
            let fix = "use lower-case letters, digits and single hyphens, such as stem-faceplate";
            self.report(cell, format!("`{}` is not a key", cell.text), fix);
        }
        cell.owned()
    }

    /// The text of a cell that must say something.
    pub(crate) fn filled(&mut self, cell: Cell<'_>) -> String {
        if cell.is_blank() {
            self.report(cell, format!("`{}` is empty", cell.column), "fill it in");
        }
        cell.owned()
    }

    /// One of a fixed set of words.
    pub(crate) fn choice<T: Copy>(&mut self, cell: Cell<'_>, words: &[(&str, T)]) -> Option<T> {
        let found = words.iter().find(|(word, _)| *word == cell.text).map(|(_, value)| *value);
        if found.is_none() {
            let fix = format!("use one of {}", crate::words::listed(words));
            self.report(cell, format!("unknown {} `{}`", cell.column, cell.text), fix);
        }
        found
    }

    /// A whole number from 1 to `most`.
    pub(crate) fn count(&mut self, cell: Cell<'_>, most: u16) -> Option<u16> {
        let fits = |number: &u16| (1..=most).contains(number);
        self.parsed(cell, cell.text, fits, ("a count", &format!("use a whole number from 1 to {most}")))
    }

    /// What a text of a cell is read as, if it fits; else what it is not, and what would be right.
    pub(crate) fn parsed<T: FromStr>(
        &mut self,
        cell: Cell<'_>,
        text: &str,
        fits: impl Fn(&T) -> bool,
        (what, fix): (&str, &str),
    ) -> Option<T> {
        let value = text.parse().ok().filter(fits);
        if value.is_none() {
            self.report(cell, format!("{} `{text}` is not {what}", cell.column), fix);
        }
        value
    }

    /// A number above 0; none where the cell is empty or faulty.
    pub(crate) fn amount(&mut self, cell: Cell<'_>) -> Option<f64> {
        if cell.text.is_empty() {
            return None;
        }
        let fits = |number: &f64| *number > 0.0 && number.is_finite();
        self.parsed(cell, cell.text, fits, ("an amount", "use a number above 0 or leave it empty"))
    }

    /// A finite number; none where the cell is empty or faulty.
    pub(crate) fn number_if_any(&mut self, cell: Cell<'_>) -> Option<f64> {
        let text = cell.text.trim();
        if text.is_empty() {
            return None;
        }
        let fix = "write digits with a decimal point, without a unit";
        self.parsed(cell, text, |number: &f64| number.is_finite(), ("a number", fix))
    }

    /// A number above 0; none where the cell is empty or faulty.
    pub(crate) fn positive_if_any(&mut self, cell: Cell<'_>) -> Option<f64> {
        let number = self.number_if_any(cell)?;
        if number > 0.0 {
            return Some(number);
        }
        self.report(cell, format!("{} is {number}", cell.column), "it must be above 0");
        None
    }

    /// A number above 0 that must be there.
    pub(crate) fn positive(&mut self, cell: Cell<'_>) -> Option<f64> {
        self.filled(cell);
        self.positive_if_any(cell)
    }

    /// The one of two cells that is filled in; exactly one must be.
    pub(crate) fn one_filled<'a>(&mut self, first: Cell<'a>, second: Cell<'a>) -> Option<Cell<'a>> {
        match (first.is_blank(), second.is_blank()) {
            (false, true) => Some(first),
            (true, false) => Some(second),
            _ => {
                let message = format!("one of {} and {} is needed", first.column, second.column);
                self.report(first, message, "fill in one, and leave the other empty");
                None
            }
        }
    }

    /// The numbers of two cells, in order.
    pub(crate) fn ends(&mut self, low: Cell<'_>, high: Cell<'_>) -> Option<(f64, f64)> {
        self.filled(low);
        self.filled(high);
        let (from, to) = (self.number_if_any(low)?, self.number_if_any(high)?);
        if from > to {
            let message = format!("{} {from} is above {} {to}", low.column, high.column);
            self.report(low, message, "swap them");
            return None;
        }
        Some((from, to))
    }

    /// Complains when `key` was `seen` before; two rows of one key would hide each other.
    pub(crate) fn once(&mut self, seen: &mut HashSet<String>, cell: Cell<'_>, key: &str) {
        if !key.is_empty() && !seen.insert(key.to_lowercase()) {
            self.report(cell, format!("`{key}` stands in another row already"), "keep one of them");
        }
    }
}

/// What is built of a row where nothing is wrong with it.
pub(crate) fn built<T>(
    diagnostics: &mut Diagnostics,
    build: impl FnOnce(&mut Fields<'_>) -> Option<T>,
) -> Option<T> {
    let mut fields = Fields { diagnostics, sound: true };
    build(&mut fields).filter(|_| fields.sound)
}

/// The values of all rows that have no fault.
pub(crate) fn read<C: Cells, T>(
    rows: &[Row],
    diagnostics: &mut Diagnostics,
    mut read_row: impl FnMut(&C::Of<'_>, &mut Fields<'_>) -> Option<T>,
) -> Vec<T> {
    let mut values = Vec::new();
    for row in rows {
        values.extend(built(diagnostics, |fields| read_row(&C::of(row), fields)));
    }
    values
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::{Diagnostic, read_sheet, sheet};

    sheet! { static LENGTHS: LengthCells = "lengths" { name, length_mm } }

    fn lengths(text: &str) -> (Vec<(String, f64)>, Vec<Diagnostic>) {
        let mut diagnostics = Diagnostics::default();
        let rows = read_sheet(&LENGTHS, text.as_bytes(), &mut diagnostics);
        let lengths = read::<LengthCells, _>(&rows, &mut diagnostics, |cells, fields| {
            let name = fields.filled(cells.name);
            let length = fields.positive(cells.length_mm);
            Some((name, length?))
        });
        (lengths, diagnostics.into_sorted())
    }

    #[test]
    fn columns_are_found_by_name_in_any_order() {
        assert_eq!(lengths("length_mm,name\n4.5,a\n"), (vec![("a".to_owned(), 4.5)], vec![]));
    }

    #[test]
    fn every_complaint_of_every_row_is_listed_with_its_place() {
        let (_, diagnostics) = lengths("name,length_mm\n,0\nb,-1\nc,x\nd,1\n");
        let places: Vec<String> = diagnostics.iter().map(ToString::to_string).collect();
        assert_eq!(
            places,
            [
                "lengths.csv:2:1: `name` is empty; fill it in",
                "lengths.csv:2:2: length_mm is 0; it must be above 0",
                "lengths.csv:3:3: length_mm is -1; it must be above 0",
                "lengths.csv:4:3: length_mm `x` is not a number; write digits with a decimal point, without a unit",
            ]
        );
    }

    #[test]
    fn a_faulty_row_is_not_built_and_the_others_are() {
        let (lengths, diagnostics) = lengths("name,length_mm\na,1\n,2\n");
        assert_eq!(lengths, [("a".to_owned(), 1.0)]);
        assert_eq!(diagnostics.len(), 1);
    }
}
