//! CSV files cut into fields: RFC 4180, UTF-8, header first, columns by name in any order.

use super::{Diagnostics, Place};

/// What a file must look like.
pub(super) struct FileForm<'a> {
    /// Its name without `.csv`.
    pub(super) name: &'static str,
    /// Its columns.
    pub(super) columns: &'a [&'static str],
    /// Which of them it must have.
    pub(super) needed: &'a dyn Fn(&str) -> bool,
    /// Whether a field may hold neither line breaks nor other control characters.
    pub(super) one_line: bool,
}

/// The rows of a file, each field in the order of the columns, none for a column that the file lacks. Faults
/// of form go to `diagnostics` and their rows are left out.
pub(super) fn read_table(
    form: &FileForm<'_>,
    bytes: &[u8],
    diagnostics: &mut Diagnostics,
) -> Vec<Vec<Option<Field>>> {
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text.strip_prefix('\u{feff}').unwrap_or(text),
        Err(error) => {
            let at = place_of_byte(form.name, bytes, error.valid_up_to());
            diagnostics.error(&at, "the file is not UTF-8 from here on", "save it as UTF-8");
            return Vec::new();
        }
    };
    let mut records = RecordReader { sheet: form.name, rest: text, line: 1, damaged: false };
    let Some(header) = records.next_record(diagnostics) else {
        let at = Place { sheet: form.name, line: 1, column: 1 };
        let fix = format!("start with the header {}", form.columns.join(","));
        diagnostics.error(&at, "the file is empty", fix);
        return Vec::new();
    };
    let Some(order) = match_header(form, &header, diagnostics) else { return Vec::new() };
    let mut rows = Vec::new();
    while let Some(fields) = records.next_record(diagnostics) {
        if records.damaged || (fields.len() == 1 && fields[0].text.is_empty()) {
            continue;
        }
        if fields.len() != header.len() {
            diagnostics.error(
                &fields[0].at,
                format!("the row has {} fields where the header has {}", fields.len(), header.len()),
                "put fields that hold a comma in double quotes",
            );
            continue;
        }
        if form.one_line {
            report_control_characters(&fields, diagnostics);
        }
        let mut fields: Vec<Option<Field>> = fields.into_iter().map(Some).collect();
        rows.push(order.iter().map(|index| fields.get_mut((*index)?)?.take()).collect());
    }
    rows
}

/// For each column, its index in the file.
fn match_header(
    form: &FileForm<'_>,
    header: &[Field],
    diagnostics: &mut Diagnostics,
) -> Option<Vec<Option<usize>>> {
    let the_columns = || format!("the columns are {}", form.columns.join(","));
    let mut sound = true;
    for (index, field) in header.iter().enumerate() {
        let text = field.text.as_str();
        if !form.columns.contains(&text) {
            diagnostics.error(&field.at, format!("unknown column `{text}`"), the_columns());
            sound = false;
        } else if header[..index].iter().any(|earlier| earlier.text == text) {
            diagnostics.error(&field.at, format!("column `{text}` stands twice"), "keep one of them");
            sound = false;
        }
    }
    let mut order = Vec::with_capacity(form.columns.len());
    for column in form.columns {
        let found = header.iter().position(|field| field.text == *column);
        if found.is_none() && (form.needed)(column) {
            diagnostics.error(&header[0].at, format!("column `{column}` is missing"), the_columns());
            sound = false;
        }
        order.push(found);
    }
    sound.then_some(order)
}

fn report_control_characters(cells: &[Field], diagnostics: &mut Diagnostics) {
    for cell in cells.iter().filter(|cell| cell.text.contains(char::is_control)) {
        diagnostics.error(&cell.at, "the field holds a control character or a line break", "take it out");
    }
}

/// A field that was cut out of a file.
pub(super) struct Field {
    pub(super) text: String,
    pub(super) at: Place,
}

/// Cuts the text of a file into records whose cells know their place.
///
/// The csv crate does not tell where in the line a field starts, and a diagnostic must; the grammar
/// is RFC 4180's, and a test compares this reader with that crate.
struct RecordReader<'a> {
    sheet: &'static str,
    rest: &'a str,
    line: usize,
    /// The last record has faulty quotes, so that its fields cannot be told apart.
    damaged: bool,
}

impl RecordReader<'_> {
    fn next_record(&mut self, diagnostics: &mut Diagnostics) -> Option<Vec<Field>> {
        if self.rest.is_empty() {
            return None;
        }
        let mut column = 1;
        let mut cells = Vec::new();
        self.damaged = false;
        loop {
            let at = Place { sheet: self.sheet, line: self.line, column };
            let text = if self.rest.starts_with('"') {
                self.take_quoted(&at, &mut column, diagnostics)
            } else {
                self.take_plain(&mut column)
            };
            cells.push(Field { text, at });
            if self.rest.starts_with(',') {
                self.rest = &self.rest[1..];
                column += 1;
                continue;
            }
            self.rest = self.rest.strip_prefix('\r').unwrap_or(self.rest);
            self.rest = self.rest.strip_prefix('\n').unwrap_or(self.rest);
            self.line += 1;
            return Some(cells);
        }
    }

    fn take_plain(&mut self, column: &mut usize) -> String {
        let end = self.rest.find([',', '\n']).unwrap_or(self.rest.len());
        let (field, rest) = self.rest.split_at(end);
        let field_text = if rest.starts_with('\n') || rest.is_empty() {
            field.strip_suffix('\r').unwrap_or(field)
        } else {
            field
        };
        self.rest = rest;
        *column += field.chars().count();
        field_text.to_owned()
    }

    fn take_quoted(&mut self, at: &Place, column: &mut usize, diagnostics: &mut Diagnostics) -> String {
        let mut text = String::new();
        self.rest = &self.rest[1..];
        *column += 1;
        loop {
            let Some(end) = self.rest.find('"') else {
                diagnostics.error(
                    at,
                    "a double quote is opened and never closed",
                    "close it before the next comma",
                );
                text.push_str(self.rest);
                self.rest = "";
                self.damaged = true;
                return text;
            };
            let (part, rest) = self.rest.split_at(end);
            self.advance(part, column);
            text.push_str(part);
            self.rest = &rest[1..];
            *column += 1;
            if self.rest.starts_with('"') {
                text.push('"');
                self.rest = &self.rest[1..];
                *column += 1;
                continue;
            }
            let stray = self.rest.find([',', '\n', '\r']).unwrap_or(self.rest.len());
            if stray > 0 {
                let at = Place { column: *column, line: self.line, sheet: self.sheet };
                diagnostics.error(
                    &at,
                    "text follows a closing double quote",
                    "double the quotes inside the field",
                );
                self.advance(&self.rest[..stray], column);
                self.rest = &self.rest[stray..];
            }
            return text;
        }
    }

    /// Moves line and column over quoted text.
    fn advance(&mut self, text: &str, column: &mut usize) {
        self.line += text.matches('\n').count();
        *column = match text.rsplit_once('\n') {
            Some((_, last)) => last.chars().count() + 1,
            None => *column + text.chars().count(),
        };
    }
}

/// The place of a byte in text that is valid before it.
fn place_of_byte(sheet: &'static str, bytes: &[u8], index: usize) -> Place {
    let before = String::from_utf8_lossy(&bytes[..index]);
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().map_or(0, |last| last.chars().count()) + 1;
    Place { sheet, line, column }
}
