//! CSV files cut into fields: RFC 4180, UTF-8, header first, columns by name in any order.

use super::separator::Separator;
use super::{Diagnostics, Place};
use crate::words::is_hidden;

/// What a file must look like.
pub(super) struct FileForm<'a> {
    /// Its name without `.csv`.
    pub(super) name: &'static str,
    pub(super) columns: &'a [&'static str],
    /// Which of them it must have.
    pub(super) needed: &'a dyn Fn(&str) -> bool,
    /// Whether a field may hold neither line breaks nor other control characters.
    pub(super) one_line: bool,
    /// Whether a spreadsheet program may have saved it: the header says what parts its fields, empty fields may stand
    /// behind those of a row, and a row without any text is none.
    pub(super) of_spreadsheet: bool,
    /// Whether a row may lack its last fields, because the program leaves out empty ones. Where all are written, a row
    /// that lacks some was cut off, and says less than it did.
    pub(super) may_be_short: bool,
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
    let separator =
        if form.of_spreadsheet { Separator::of_header(text.as_bytes()) } else { Separator::COMMA };
    let mut records =
        RecordReader { sheet: form.name, separator, rest: text, line: 1, column: 1, damaged: false };
    let Some(header) = header_of(form, &mut records, diagnostics) else { return Vec::new() };
    let Some(order) = match_header(form, &header, diagnostics) else { return Vec::new() };
    let mut rows = Vec::new();
    while let Some(mut fields) = records.next_record(diagnostics) {
        if records.damaged || (fields.len() == 1 && fields[0].text.is_empty()) {
            continue;
        }
        if form.of_spreadsheet {
            if fields.iter().all(Field::is_blank) {
                continue;
            }
            drop_blank_end(&mut fields, header.len());
        }
        let is_short = form.may_be_short && fields.len() < header.len();
        if fields.len() != header.len() && !is_short {
            diagnostics.error(
                &fields[0].at,
                format!("the row has {} fields where the header has {}", fields.len(), header.len()),
                format!("put fields that hold a {} in double quotes", separator.word()),
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

/// The first record, of a spreadsheet program the first with a text.
fn header_of(
    form: &FileForm<'_>,
    records: &mut RecordReader<'_>,
    diagnostics: &mut Diagnostics,
) -> Option<Vec<Field>> {
    let mut header = records.next_record(diagnostics);
    while form.of_spreadsheet && header.as_ref().is_some_and(|fields| fields.iter().all(Field::is_blank)) {
        header = records.next_record(diagnostics);
    }
    let Some(mut header) = header else {
        let at = Place { sheet: form.name, line: 1, column: 1 };
        let fix = format!("start with the header {}", form.columns.join(","));
        diagnostics.error(&at, "the file is empty", fix);
        return None;
    };
    if form.of_spreadsheet {
        drop_blank_end(&mut header, 1);
    }
    Some(header)
}

/// Drops fields without text from the end, down to so many.
fn drop_blank_end(fields: &mut Vec<Field>, least: usize) {
    while fields.len() > least && fields.last().is_some_and(Field::is_blank) {
        fields.pop();
    }
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
    for cell in cells.iter().filter(|cell| cell.text.contains(is_hidden)) {
        diagnostics.error(&cell.at, "the field holds a control character or a line break", "take it out");
    }
}

/// A field that was cut out of a file.
pub(super) struct Field {
    pub(super) text: String,
    pub(super) at: Place,
}

impl Field {
    fn is_blank(&self) -> bool {
        self.text.trim().is_empty()
    }
}

/// Cuts the text of a file into records whose cells know their place.
///
/// The csv crate does not tell where in the line a field starts, and a diagnostic must; the grammar
/// is RFC 4180's, and a test compares this reader with that crate.
struct RecordReader<'a> {
    sheet: &'static str,
    separator: Separator,
    /// What was not read yet.
    rest: &'a str,
    /// Where that begins.
    line: usize,
    column: usize,
    /// The last record has faulty quotes, so that its fields cannot be told apart.
    damaged: bool,
}

impl<'a> RecordReader<'a> {
    fn next_record(&mut self, diagnostics: &mut Diagnostics) -> Option<Vec<Field>> {
        if self.rest.is_empty() {
            return None;
        }
        let mut cells = Vec::new();
        self.damaged = false;
        loop {
            let at = self.place();
            let text = if self.skips('"') {
                self.take_quoted(&at, diagnostics)
            } else {
                self.take_plain().to_owned()
            };
            cells.push(Field { text, at });
            if !self.skips(self.separator.char()) {
                break;
            }
        }
        self.skips('\r');
        self.skips('\n');
        self.line += 1;
        self.column = 1;
        Some(cells)
    }

    fn take_plain(&mut self) -> &'a str {
        let field = self.take(self.rest.find([self.separator.char(), '\n']).unwrap_or(self.rest.len()));
        let ends_line = !self.rest.starts_with(self.separator.char());
        field.strip_suffix('\r').filter(|_| ends_line).unwrap_or(field)
    }

    /// The rest of a quoted field that begins `at`, behind its first quote.
    fn take_quoted(&mut self, at: &Place, diagnostics: &mut Diagnostics) -> String {
        let mut text = String::new();
        loop {
            let Some(end) = self.rest.find('"') else {
                let fix = format!("close it before the next {}", self.separator.word());
                diagnostics.error(at, "a double quote is opened and never closed", fix);
                self.damaged = true;
                return text + self.take(self.rest.len());
            };
            text.push_str(self.take(end));
            self.skips('"');
            if self.skips('"') {
                text.push('"');
                continue;
            }
            let stray = self.rest.find([self.separator.char(), '\n', '\r']).unwrap_or(self.rest.len());
            if stray > 0 {
                let fix = "double the quotes inside the field";
                diagnostics.error(&self.place(), "text follows a closing double quote", fix);
                self.take(stray);
            }
            return text;
        }
    }

    fn place(&self) -> Place {
        Place { sheet: self.sheet, line: self.line, column: self.column }
    }

    /// Takes so many bytes.
    fn take(&mut self, bytes: usize) -> &'a str {
        let (taken, rest) = self.rest.split_at(bytes);
        self.rest = rest;
        self.line += taken.matches('\n').count();
        self.column = match taken.rsplit_once('\n') {
            Some((_, last)) => last.chars().count() + 1,
            None => self.column + taken.chars().count(),
        };
        taken
    }

    /// Takes a character of one byte where it comes next.
    fn skips(&mut self, next: char) -> bool {
        let is_next = self.rest.starts_with(next);
        if is_next {
            self.rest = &self.rest[1..];
            self.column += 1;
        }
        is_next
    }
}

/// The place of a byte in text that is valid before it.
fn place_of_byte(sheet: &'static str, bytes: &[u8], index: usize) -> Place {
    let before = String::from_utf8_lossy(&bytes[..index]);
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().map_or(0, |last| last.chars().count()) + 1;
    Place { sheet, line, column }
}
