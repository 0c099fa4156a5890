//! The rows of an exported log that others correct or strike: known before the first is judged.

use std::collections::HashSet;

use super::columns::AuditColumns;
use super::judge::row_number;
use super::record::{Records, Scratch};

/// Adds the numbers of the rows that those of a chunk correct or strike.
pub(in crate::audit) fn corrected_in(data: &[u8], columns: &AuditColumns, corrected: &mut HashSet<u64>) {
    let mut scratch = Scratch::new(columns.separator.byte());
    let mut records = Records::new(data, &mut scratch);
    while let Some(record) = records.next() {
        corrected.extend(row_number(record.field(columns.corrects)));
    }
}
