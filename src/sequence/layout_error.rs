//! What can be wrong with a layout of bolts, and what to give instead.

use super::{BoltNumber, MAX_BOLTS};

/// A layout that no joint can have.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum LayoutError {
    /// A joint of no bolts.
    #[error("a layout of 0 bolts has nothing to tighten")]
    NoBolts,
    /// More bolts than a layout can have.
    #[error("{0} bolts are more than a layout can have")]
    TooMany(usize),
    /// One bolt where the layout needs several.
    #[error("a {0} needs at least 2 bolts")]
    OneBolt(&'static str),
    /// The layout has another number of bolts than was given.
    #[error("{layout} has {has} bolts, not {given}")]
    OtherCount {
        /// The layout as typed.
        layout: String,
        /// The bolts that such a layout has.
        has: usize,
        /// The bolts that were asked for.
        given: usize,
    },
    /// A grid with fewer than two rows or columns.
    #[error("a grid of {rows} by {columns} is not a grid")]
    SmallGrid {
        /// Rows asked for.
        rows: usize,
        /// Columns asked for.
        columns: usize,
    },
    /// `grid` alone with a number of bolts that does not fill two rows.
    #[error("{0} bolts do not fill a grid of two rows")]
    UnevenGrid(usize),
    /// Two bolts with (nearly) the same position.
    #[error("bolts {0} and {1} are at the same place")]
    SamePlace(BoltNumber, BoltNumber),
    /// A coordinate that is not finite.
    #[error("the place of bolt {0} is not a number")]
    NoPlace(BoltNumber),
    /// Text that names no layout.
    #[error("`{0}` is not a layout")]
    UnknownName(String),
    /// A closed side was named for a layout that has no upper and lower pair.
    #[error("only a joint of two bolts above two bolts has a side that closes first")]
    NoPairs,
}

impl LayoutError {
    /// What to give instead.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            LayoutError::NoBolts => "give the number of bolts, such as 4".to_owned(),
            LayoutError::TooMany(_) => format!("give at most {MAX_BOLTS} bolts"),
            LayoutError::OneBolt(_) => "one bolt alone is the layout `single`".to_owned(),
            LayoutError::OtherCount { has, .. } => format!("give {has} bolts, or another layout"),
            LayoutError::SmallGrid { .. } => {
                "a grid has at least 2 rows and 2 columns; bolts in one line are the layout `row`".to_owned()
            }
            LayoutError::UnevenGrid(_) => "name the rows and columns, such as `grid 3x3`".to_owned(),
            LayoutError::SamePlace(..) => {
                "give every bolt once, at its own place; all places in the same unit".to_owned()
            }
            LayoutError::NoPlace(_) => "give two finite numbers, right and up, such as 20,-15".to_owned(),
            LayoutError::UnknownName(_) => "layouts are ring, grid 2x3, pair, row and single".to_owned(),
            LayoutError::NoPairs => "use a ring of 4 bolts or a grid 2x2".to_owned(),
        }
    }
}
