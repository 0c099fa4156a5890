//! A file that changes records: a row for each, found by its key, and the columns that are to be different.
//!
//! It is written to be filled in by hand in a spreadsheet program, and read as such a program saves it.

use super::field::YES_NO;
use super::record::{Column, KeptRecord, KeptValue, NotA};
use super::table::{Field, FileForm, read_table};
use super::{Diagnostics, Place, record_header};
use crate::words::{meant, of_cell};

/// The fields of a record as a person fills them in: whether something is so is `yes` or `no`, for what spreadsheet
/// programs make of `true` differs from country to country.
pub(crate) fn fillable_fields<R: KeptRecord>(whole: &str, record: &R) -> Vec<String> {
    let text = |column: &Column<R>| match (column.get)(record) {
        KeptValue::Truth(truth) => yes_no(truth).to_owned(),
        other => other.field(),
    };
    [whole.to_owned()].into_iter().chain(R::COLUMNS.iter().map(text)).collect()
}

fn yes_no(truth: bool) -> &'static str {
    YES_NO.iter().find(|(_, so)| *so == truth).map_or("", |(word, _)| word)
}

/// A row of such a file.
pub(crate) struct ChangedRow<R: 'static> {
    /// Where it begins.
    pub(crate) at: Place,
    /// The whole that its record is a part of; empty where the file does not say.
    pub(crate) whole: (String, Place),
    /// The fields of the columns that the file has.
    fields: Vec<(&'static Column<R>, Field)>,
}

/// The rows of a file that changes records. It must have the column `key`, which names the record; what is wrong goes to
/// `diagnostics`.
pub(crate) fn read_changes<R: KeptRecord>(
    (name, whole, key): (&'static str, &'static str, &str),
    bytes: &[u8],
    diagnostics: &mut Diagnostics,
) -> Vec<ChangedRow<R>> {
    let columns = record_header::<R>(Some(whole));
    let needed = |column: &str| column == key;
    let form = FileForm {
        name,
        columns: &columns,
        needed: &needed,
        one_line: false,
        of_spreadsheet: true,
        may_be_short: true,
    };
    let row = |mut fields: Vec<Option<Field>>| {
        for field in fields.iter_mut().flatten() {
            field.text = of_cell(&field.text).into_owned();
        }
        let at = fields.iter().flatten().map(|field| field.at).min()?;
        let mut fields = fields.into_iter();
        let whole = fields.next().flatten().map_or((String::new(), at), |field| (field.text, field.at));
        let fields = R::COLUMNS.iter().zip(fields).filter_map(|(column, field)| Some((column, field?)));
        Some(ChangedRow { at, whole: (whole.0.trim().to_owned(), whole.1), fields: fields.collect() })
    };
    read_table(&form, bytes, diagnostics).into_iter().filter_map(row).collect()
}

impl<R: KeptRecord> ChangedRow<R> {
    /// What stands in a column of the file, and where; the beginning of the row where the file has no such column.
    pub(crate) fn field(&self, column: &str) -> (&str, Place) {
        let found = self.fields.iter().find(|(known, _)| known.file == column);
        found.map_or(("", self.at), |(_, field)| (field.text.trim(), field.at))
    }

    /// The record with what the row says, but for the column `key`. A field that is none of its column goes to
    /// `diagnostics`, with what would be `right`, and stays as it was.
    pub(crate) fn applied_to(
        &self,
        record: &R,
        key: &str,
        right: impl Fn(&str) -> &'static str,
        diagnostics: &mut Diagnostics,
    ) -> Result<R, NotA> {
        let mut changed = R::blank();
        for column in R::COLUMNS {
            let before = (column.get)(record);
            let field = self.fields.iter().find(|(known, _)| known.file == column.file && column.file != key);
            if let Some((_, field)) = field {
                match (column.set)(&mut changed, value_of(&before, &field.text)) {
                    Ok(()) => continue,
                    Err(error) => {
                        diagnostics.error(&field.at, format!("{}: {error}", column.file), right(column.file));
                    }
                }
            }
            (column.set)(&mut changed, before)?;
        }
        Ok(changed)
    }
}

fn text_of(value: &KeptValue) -> String {
    if let KeptValue::Truth(truth) = value { yes_no(*truth).to_owned() } else { value.field() }
}

/// What was filled in, in the place of a value; blanks around it are nobody's intention.
fn value_of(before: &KeptValue, text: &str) -> KeptValue {
    if text_of(before) == text {
        return before.clone();
    }
    match (before, meant(YES_NO, text)) {
        (KeptValue::Truth(_), Some(truth)) => KeptValue::Truth(truth),
        (KeptValue::Truth(_), None) => KeptValue::Text(text.trim().to_lowercase()),
        _ => KeptValue::Text(text.trim().to_owned()),
    }
}

#[cfg(test)]
#[path = "changes_tests.rs"]
mod tests;
