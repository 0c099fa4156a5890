//! Records as rows of a file, and back. The record of a part names the whole in a column before its own.

use super::record::{KeptRecord, KeptValue, NotA, Refused};
use super::table::{FileForm, read_table};
use super::{Diagnostics, Place, Separator};
use crate::words::of_cell;

/// The columns that a record has in a file, each with where it stands.
pub(crate) type Places = Vec<(&'static str, Place)>;

/// The columns of a file of records; those of parts begin with the whole that they belong to.
pub(crate) fn record_header<R: KeptRecord>(whole: Option<&'static str>) -> Vec<&'static str> {
    whole.into_iter().chain(R::COLUMNS.iter().map(|column| column.file)).collect()
}

/// The fields of a record, in the order of [`record_header`].
pub(crate) fn record_fields<R: KeptRecord>(whole: Option<&str>, record: &R) -> Vec<String> {
    let values = R::COLUMNS.iter().map(|column| (column.get)(record).field());
    whole.into_iter().map(str::to_owned).chain(values).collect()
}

/// The columns of a record with their fields.
pub(crate) fn named_fields<R: KeptRecord>(record: &R) -> impl Iterator<Item = (&'static str, String)> {
    R::COLUMNS.iter().map(|column| (column.file, (column.get)(record).field()))
}

/// The record of fields by their columns. A column that is not among them was empty when they were written, or is
/// younger than they are and says nothing of the record.
pub(crate) fn record_of_fields<R: KeptRecord>(fields: &[(String, String)]) -> Result<R, NotA> {
    let mut record = R::blank();
    for column in R::COLUMNS {
        match fields.iter().find(|(name, _)| name == column.file) {
            Some((_, text)) => (column.set)(&mut record, KeptValue::Text(text.clone()))?,
            None => (column.set)(&mut record, KeptValue::Text(String::new())).unwrap_or_default(),
        }
    }
    Ok(record)
}

/// The records of a file, each with the whole that it is a part of; what is wrong goes to `diagnostics`.
pub(crate) fn read_records<R: KeptRecord>(
    name: &'static str,
    whole: Option<&'static str>,
    bytes: &[u8],
    diagnostics: &mut Diagnostics,
) -> Vec<(String, R)> {
    let placed = read_placed_records(name, whole, bytes, diagnostics);
    placed.into_iter().map(|(whole, record, _)| (whole, record)).collect()
}

/// The same, each with the places of its columns in the file.
pub(crate) fn read_placed_records<R: KeptRecord>(
    name: &'static str,
    whole: Option<&'static str>,
    bytes: &[u8],
    diagnostics: &mut Diagnostics,
) -> Vec<(String, R, Places)> {
    let columns = record_header::<R>(whole);
    let needed = |name: &str| R::COLUMNS.iter().all(|column| column.needed || column.file != name);
    let form = FileForm {
        name,
        columns: &columns,
        needed: &needed,
        one_line: false,
        of_spreadsheet: true,
        may_be_short: false,
    };
    let separator = Separator::of_header(bytes);
    let mut records = Vec::new();
    for fields in read_table(&form, bytes, diagnostics) {
        let mut fields = fields.into_iter();
        let whole =
            whole.and_then(|_| fields.next().flatten()).map(|field| of_cell(&field.text).into_owned());
        let whole = whole.unwrap_or_default();
        let mut record = R::blank();
        let mut places = Vec::new();
        for (column, field) in R::COLUMNS.iter().zip(fields) {
            let Some(field) = field else { continue };
            places.push((column.file, field.at));
            let text = of_cell(&field.text);
            let set = |record: &mut R, text: &str| (column.set)(record, KeptValue::Text(text.to_owned()));
            // What is no number as it stands may be one with the decimal sign of the file.
            let found = set(&mut record, &text);
            if let Err(error) = found
                .or_else(|error| set(&mut record, &separator.with_decimal_points(&text)).map_err(|_| error))
            {
                diagnostics.error(&field.at, error.to_string(), "write it as `evenclamp export` does");
            }
        }
        if let Some(Refused { column, why, fix }) = record.refused()
            && let Some((_, at)) = places.iter().find(|(name, _)| *name == column)
        {
            diagnostics.error(at, why, fix);
        }
        records.push((whole, record, places));
    }
    records
}
