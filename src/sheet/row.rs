//! A sheet: one CSV file with fixed columns, read strictly.
//!
//! RFC 4180, UTF-8, header first, columns by name in any order. Every cell keeps its place, so that
//! a diagnostic can name file, line and column.

use super::diagnostic::file_of;
use super::table::{FileForm, read_table};
use super::{Diagnostics, Place};

/// What one CSV file of the book holds.
#[derive(Debug)]
pub struct Sheet {
    /// Name without `.csv`; also the name of its database table.
    pub name: &'static str,
    /// Columns in canonical order.
    pub columns: &'static [&'static str],
    /// Columns that came later than some books: a file may lack them, and says nothing in them then.
    pub later: &'static [&'static str],
    /// What the rows are sorted by in canonical order.
    pub sort_key: fn(&Row) -> Vec<String>,
}

impl Sheet {
    /// The file name, such as `evidence.csv`.
    pub(crate) fn file(&self) -> String {
        file_of(self.name)
    }
}

/// One cell: its text and where it starts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cell<'a> {
    /// The text without quotes.
    pub text: &'a str,
    /// The name of its column.
    pub column: &'static str,
    /// Where it starts in the file.
    pub at: Place,
}

impl Cell<'_> {
    /// The text, to be kept.
    pub(crate) fn owned(&self) -> String {
        self.text.to_owned()
    }

    /// The words of a list that is parted by semicolons.
    pub(crate) fn list(&self) -> Vec<String> {
        self.text.split(';').map(str::trim).filter(|word| !word.is_empty()).map(str::to_owned).collect()
    }

    /// Whether there is nothing but blanks in it.
    pub(crate) fn is_blank(&self) -> bool {
        self.text.trim().is_empty()
    }
}

/// One row, its cells in the canonical order of the sheet's columns.
#[derive(Debug, Clone)]
pub struct Row {
    sheet: &'static Sheet,
    /// The texts of the cells, one behind the other.
    texts: String,
    /// Where in them each cell ends.
    ends: Vec<usize>,
    /// Where each cell starts in its file; empty for a row that comes from elsewhere.
    places: Vec<Place>,
}

/// Bytes that the texts of most rows fit in.
const USUAL_LENGTH: usize = 256;

impl Row {
    /// A row from texts in canonical column order, as a database keeps them.
    ///
    /// # Errors
    /// The first fault among the texts.
    pub fn from_texts<'a, E>(
        sheet: &'static Sheet,
        texts: impl IntoIterator<Item = Result<&'a str, E>>,
    ) -> Result<Row, E> {
        let mut row = Row::of(sheet);
        for text in texts {
            row.push(text?);
        }
        Ok(row)
    }

    /// A row without cells yet.
    fn of(sheet: &'static Sheet) -> Row {
        let ends = Vec::with_capacity(sheet.columns.len());
        Row { sheet, texts: String::with_capacity(USUAL_LENGTH), ends, places: Vec::new() }
    }

    fn push(&mut self, text: &str) {
        self.texts.push_str(text);
        self.ends.push(self.texts.len());
    }

    /// The cell of a column by its number, from 0; an empty one behind the last.
    pub(crate) fn cell_at(&self, index: usize) -> Cell<'_> {
        let column = self.sheet.columns.get(index).copied().unwrap_or_default();
        Cell { text: self.text_at(index), column, at: self.place_at(index) }
    }

    fn text_at(&self, index: usize) -> &str {
        let start = index.checked_sub(1).and_then(|before| self.ends.get(before)).map_or(0, |end| *end);
        let end = self.ends.get(index).map_or(start, |end| *end);
        self.texts.get(start..end).unwrap_or_default()
    }

    fn place_at(&self, index: usize) -> Place {
        let nowhere = Place { sheet: self.sheet.name, line: 0, column: 0 };
        self.places.get(index).map_or(nowhere, |place| *place)
    }

    /// The sort key of a sheet that is sorted by its columns from left to right.
    pub(crate) fn all_texts(&self) -> Vec<String> {
        self.texts().map(str::to_owned).collect()
    }

    /// The texts in canonical column order.
    pub fn texts(&self) -> impl Iterator<Item = &str> {
        (0..self.sheet.columns.len()).map(|index| self.text_at(index))
    }
}

/// A number as a sort key, so that 10 comes after 9; text that is no number sorts as it is.
pub fn by_size(text: &str) -> String {
    text.parse().map_or_else(|_| text.to_owned(), |number: f64| format!("{number:>16.4}"))
}

/// Reads a sheet; faults of form go to `diagnostics` and their rows are left out.
pub fn read_sheet(sheet: &'static Sheet, bytes: &[u8], diagnostics: &mut Diagnostics) -> Vec<Row> {
    let form = FileForm {
        name: sheet.name,
        columns: sheet.columns,
        needed: &|column| !sheet.later.contains(&column),
        one_line: true,
        of_spreadsheet: false,
        may_be_short: false,
    };
    let rows = read_table(&form, bytes, diagnostics).into_iter().filter_map(|fields| {
        let mut row = Row::of(sheet);
        let first = fields.iter().flatten().map(|field| field.at).min()?;
        for field in fields {
            let (text, at) = field.map_or((String::new(), first), |field| (field.text, field.at));
            row.push(&text);
            row.places.push(at);
        }
        Some(row)
    });
    rows.collect()
}

/// Rows as CSV bytes in canonical form: header, LF line ends, quotes only where needed.
///
/// # Errors
/// Never in practice: the writer works in memory.
pub fn write_sheet(sheet: &'static Sheet, rows: &[Row]) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(sheet.columns)?;
    for row in rows {
        writer.write_record(row.texts())?;
    }
    writer.into_inner().map_err(|error| csv::Error::from(std::io::Error::from(error.error().kind())))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::Cells as _;
    use proptest::prelude::*;

    crate::sheet::sheet! { static SHEET: TestCells = "test" { a, other = "b" } }

    fn read(bytes: &[u8]) -> (Vec<Vec<String>>, Vec<String>) {
        let mut diagnostics = Diagnostics::default();
        let rows = read_sheet(&SHEET, bytes, &mut diagnostics);
        let rows = rows.iter().map(|row| row.texts().map(str::to_owned).collect()).collect();
        (rows, diagnostics.into_sorted().iter().map(ToString::to_string).collect())
    }

    #[test]
    fn columns_are_found_by_name() {
        let (rows, diagnostics) = read(b"b,a\r\n2,1\r\n\r\n\"x,\"\"y\",z\n");
        assert_eq!(rows, [["1", "2"], ["z", "x,\"y"]]);
        assert!(diagnostics.is_empty(), "{diagnostics:?}");
    }

    #[test]
    fn a_byte_order_mark_is_no_part_of_the_first_name() {
        assert_eq!(read(b"\xef\xbb\xbfa,b\n1,2\n"), (vec![vec!["1".to_owned(), "2".to_owned()]], vec![]));
    }

    /// Every cell stands under its own name, also one that is called otherwise in the program.
    #[test]
    fn cells_have_the_names_and_places_of_their_columns() {
        let rows = read_sheet(&SHEET, b"b,a\n2,1\n", &mut Diagnostics::default());
        let TestCells { a, other } = TestCells::of(&rows[0]);
        let cell =
            |text, column, place| Cell { text, column, at: Place { sheet: "test", line: 2, column: place } };
        assert_eq!((a, other), (cell("1", "a", 3), cell("2", "b", 1)));
    }

    #[test]
    fn faults_of_form_name_their_place() {
        for (bytes, start) in [
            (&b""[..], "test.csv:1:1: the file is empty"),
            (b"a,c\n", "test.csv:1:1: column `b` is missing"),
            (b"a,b,a\n", "test.csv:1:5: column `a` stands twice"),
            (b"a,b\n1\n", "test.csv:2:1: the row has 1 fields"),
            (b"a,b\n1,\"2\n", "test.csv:2:3: a double quote is opened"),
            (b"a,b\n\"1\"x,2\n", "test.csv:2:4: text follows"),
            (b"a,b\n1,\xff\n", "test.csv:2:3: the file is not UTF-8"),
            (b"a,b\n1,\x07\n", "test.csv:2:3: the field holds a control"),
        ] {
            let (_, diagnostics) = read(bytes);
            assert!(diagnostics.iter().any(|c| c.starts_with(start)), "{start}: {diagnostics:?}");
        }
    }

    proptest! {
        #[test]
        fn no_bytes_panic(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
            let _ = read(&bytes);
        }

        #[test]
        fn csv_like_text_reads_as_the_csv_crate_reads_it(
            fields in proptest::collection::vec(("[a-z\",é]{0,6}", "[a-z\",é]{1,6}"), 0..8)
        ) {
            let mut writer = csv::Writer::from_writer(Vec::new());
            writer.write_record(["a", "b"]).unwrap();
            for (a, b) in &fields {
                writer.write_record([a, b]).unwrap();
            }
            let bytes = writer.into_inner().unwrap();
            let (rows, diagnostics) = read(&bytes);
            prop_assert!(diagnostics.is_empty());
            let expected: Vec<Vec<String>> = fields.into_iter().map(|(a, b)| vec![a, b]).collect();
            prop_assert_eq!(rows, expected);
        }
    }
}
