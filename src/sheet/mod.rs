//! Sheets: CSV files with fixed columns, read strictly, whose cells know their place.
//!
//! Every table of the project comes in through here, so that every diagnostic about one names file,
//! line and column.

mod cells;
mod changes;
mod diagnostic;
pub(crate) mod field;
mod record;
mod record_file;
mod row;
mod separator;
mod table;

pub(crate) use cells::{Cells, column, later, sheet, sort_key};
pub(crate) use changes::{ChangedRow, fillable_fields, read_changes};
pub use diagnostic::{Diagnostic, Diagnostics, Place, Severity};
pub(crate) use field::Fields;
pub use record::NotA;
pub(crate) use record::{Column, Kept, KeptRecord, KeptValue, Refused, kept_as_text, kept_field};
pub(crate) use record_file::{
    Places, named_fields, read_placed_records, read_records, record_fields, record_header, record_of_fields,
};
pub use row::{Cell, Row, Sheet, by_size, read_sheet, write_sheet};
pub(crate) use separator::Separator;
