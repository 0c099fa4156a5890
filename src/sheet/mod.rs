//! Sheets: CSV files with fixed columns, read strictly, whose cells know their place.
//!
//! Every table of the project comes in through here, so that every complaint about one names file,
//! line and column.

mod complaint;
pub(crate) mod field;
mod row;

pub use complaint::{Complaint, Complaints, Place, Severity};
pub use row::{Cell, Row, Sheet, by_size, read_sheet, write_sheet};
