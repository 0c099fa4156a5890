//! Columns by name, checked by the compiler: for every sheet a struct with a cell for each column.

use super::{Row, Sheet};

/// The cells of a row of one sheet, one for each column.
pub(crate) trait Cells {
    const SHEET: &'static Sheet;
    /// The same struct, for the lifetime of a row.
    type Of<'a>;

    fn of(row: &Row) -> Self::Of<'_>;
}

/// A sheet with the struct of its cells: `sheet! { pub static SHEET: SheetCells = "name" { column, … } }`. The
/// columns are in canonical order; a name that is none in Rust follows as `field = "column"`. Rows are sorted
/// by their columns from left to right, or by what is given behind `sorted by`.
macro_rules! sheet {
    (
        $(#[$doc:meta])*
        $visibility:vis static $SHEET:ident: $Cells:ident = $name:literal {
            $($(#[$of_field:meta])* $field:ident $(= $column:literal)?),+ $(,)?
        } $(later $later:tt)? $(sorted by $sort:expr)?
    ) => {
        $(#[$doc])*
        $visibility static $SHEET: $crate::sheet::Sheet = $crate::sheet::Sheet {
            name: $name,
            columns: &[$($crate::sheet::column!($field $($column)?)),+],
            later: &$crate::sheet::later!($($later)?),
            sort_key: $crate::sheet::sort_key!($Cells $($sort)?),
        };

        #[derive(Clone, Copy)]
        pub(crate) struct $Cells<'a> {
            $($(#[$of_field])* pub(crate) $field: $crate::sheet::Cell<'a>,)+
        }

        impl $crate::sheet::Cells for $Cells<'_> {
            const SHEET: &'static $crate::sheet::Sheet = &$SHEET;
            type Of<'a> = $Cells<'a>;

            fn of(row: &$crate::sheet::Row) -> $Cells<'_> {
                let mut columns = 0..;
                let mut next = || row.cell_at(columns.next().unwrap_or_default());
                $Cells { $($field: next(),)+ }
            }
        }
    };
}

macro_rules! column {
    ($field:ident) => {
        stringify!($field)
    };
    ($field:ident $column:literal) => {
        $column
    };
}

/// The columns that came later.
macro_rules! later {
    () => {
        []
    };
    ($later:tt) => {
        $later
    };
}

/// What the rows of a sheet are sorted by.
macro_rules! sort_key {
    ($Cells:ident) => {
        $crate::sheet::Row::all_texts
    };
    ($Cells:ident $sort:expr) => {
        |row| {
            let sort: fn(&$Cells<'_>) -> Vec<String> = $sort;
            sort(&<$Cells<'_> as $crate::sheet::Cells>::of(row))
        }
    };
}

pub(crate) use {column, later, sheet, sort_key};
