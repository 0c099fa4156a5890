//! Records in tables: the statements follow from the columns of the record.

use rusqlite::types::{ToSql, ToSqlOutput, Value as SqlValue, ValueRef};
use rusqlite::{Connection, Row, params_from_iter};

use super::StoreError;
use crate::sheet::{KeptRecord, KeptValue};

impl ToSql for KeptValue {
    fn to_sql(&self) -> Result<ToSqlOutput<'_>, rusqlite::Error> {
        Ok(match self {
            KeptValue::Null => ToSqlOutput::Owned(SqlValue::Null),
            KeptValue::Truth(truth) => ToSqlOutput::from(*truth),
            KeptValue::Whole(number) => ToSqlOutput::from(*number),
            KeptValue::Number(number) => ToSqlOutput::from(*number),
            KeptValue::Text(text) => ToSqlOutput::Borrowed(ValueRef::Text(text.as_bytes())),
        })
    }
}

pub(super) fn columns<R: KeptRecord>() -> String {
    R::stored().map(|(name, _)| name).collect::<Vec<_>>().join(", ")
}

/// Inserts a record, with what else its table has, and gives it its number.
pub(super) fn insert<R: KeptRecord>(
    connection: &Connection,
    table: &str,
    others: &[(&str, KeptValue)],
    record: &R,
) -> Result<i64, rusqlite::Error> {
    let own = R::stored().map(|(name, column)| (name, (column.get)(record)));
    let (names, values): (Vec<&str>, Vec<KeptValue>) = others.iter().cloned().chain(own).unzip();
    let marks = vec!["?"; names.len()].join(", ");
    let sql = format!("INSERT INTO {table} ({}) VALUES ({marks})", names.join(", "));
    connection.prepare_cached(&sql)?.execute(params_from_iter(values))?;
    Ok(connection.last_insert_rowid())
}

/// Writes a record over the one of that number.
pub(super) fn update<R: KeptRecord>(
    connection: &Connection,
    table: &str,
    id: i64,
    record: &R,
) -> Result<(), rusqlite::Error> {
    let places: Vec<String> = R::stored().map(|(name, _)| format!("{name} = ?")).collect();
    let sql = format!("UPDATE {table} SET {} WHERE id = ?", places.join(", "));
    let values = R::stored().map(|(_, column)| (column.get)(record)).chain([KeptValue::Whole(id)]);
    connection.prepare_cached(&sql)?.execute(params_from_iter(values))?;
    Ok(())
}

/// The record of that number.
pub(super) fn of_row<R: KeptRecord>(connection: &Connection, table: &str, id: i64) -> Result<R, StoreError> {
    let sql = format!("SELECT {} FROM {table} WHERE id = ?1", columns::<R>());
    let mut statement = connection.prepare_cached(&sql)?;
    let mut rows = statement.query_and_then([id], |row| read(row, 0))?;
    rows.next().unwrap_or(Err(StoreError::Sql(rusqlite::Error::QueryReturnedNoRows)))
}

/// The record of a row whose columns from `first` on are those of [`columns`].
pub(super) fn read<R: KeptRecord>(row: &Row<'_>, first: usize) -> Result<R, StoreError> {
    let mut record = R::blank();
    for (index, (name, column)) in (first..).zip(R::stored()) {
        (column.set)(&mut record, kept(row.get_ref(index)?)).map_err(|error| {
            // Most records are known by the column that they begin with.
            let called = row.get(first).unwrap_or_default();
            StoreError::DamagedRecord { what: R::WHAT, name: called, reason: format!("{name}: {error}") }
        })?;
    }
    Ok(record)
}

/// A value as a column of a record takes it.
pub(super) fn kept(value: ValueRef<'_>) -> KeptValue {
    match value {
        ValueRef::Null => KeptValue::Null,
        ValueRef::Integer(number) => KeptValue::Whole(number),
        ValueRef::Real(number) => KeptValue::Number(number),
        ValueRef::Text(text) | ValueRef::Blob(text) => {
            KeptValue::Text(String::from_utf8_lossy(text).into_owned())
        }
    }
}

#[cfg(test)]
#[path = "record_tests.rs"]
mod tests;
