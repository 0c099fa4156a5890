//! Sheets: CSV files with fixed columns, read strictly, whose cells know their place.
//!
//! Every table of the project comes in through here, so that every diagnostic about one names file,
//! line and column.

mod cells;
mod diagnostic;
pub(crate) mod field;
mod row;

pub(crate) use cells::{Cells, Taking, column, sheet, sort_key};
pub use diagnostic::{Diagnostic, Diagnostics, Place, Severity};
pub(crate) use field::Fields;
pub use row::{Cell, Row, Sheet, by_size, read_sheet, write_sheet};
