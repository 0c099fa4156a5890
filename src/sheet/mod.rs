//! Sheets: CSV files with fixed columns, read strictly, whose cells know their place.
//!
//! Every table of the project comes in through here, so that every diagnostic about one names file,
//! line and column.

mod diagnostic;
pub(crate) mod field;
mod row;

pub use diagnostic::{Diagnostic, Diagnostics, Place, Severity};
pub use row::{Cell, Row, Sheet, by_size, read_sheet, write_sheet};
