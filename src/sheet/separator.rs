//! What parts the fields of a file that a spreadsheet or another program has saved, told by its header line.

use std::borrow::Cow;

/// What parts fields: a comma, a semicolon or a tab.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Separator(u8);

const KNOWN: &[u8] = b",;\t";
const BYTE_ORDER_MARK: &[u8] = b"\xef\xbb\xbf";

impl Separator {
    pub(crate) const COMMA: Separator = Separator(b',');

    /// What parts the names of the columns, which hold none of them; `front` is what the file begins with, from its byte
    /// order mark on. Rows without a text before the header are none.
    pub(crate) fn of_header(front: &[u8]) -> Separator {
        let mut lines = front.split(|byte| b"\r\n".contains(byte));
        let header = lines.find(|line| !Separator::parts_nothing(line)).unwrap_or_default();
        Separator(header.iter().copied().find(|byte| KNOWN.contains(byte)).unwrap_or(b','))
    }

    /// Whether nothing stands in a line but what parts fields, and the byte order mark of a file.
    pub(crate) fn parts_nothing(line: &[u8]) -> bool {
        let line = line.strip_prefix(BYTE_ORDER_MARK).unwrap_or(line);
        line.iter().all(|byte| KNOWN.contains(byte) || byte.is_ascii_whitespace())
    }

    pub(crate) fn byte(self) -> u8 {
        self.0
    }

    pub(crate) fn char(self) -> char {
        self.0.into()
    }

    /// Its name, behind "a".
    pub(crate) fn word(self) -> &'static str {
        match self.0 {
            b';' => "semicolon",
            b'\t' => "tab",
            _ => "comma",
        }
    }

    /// The decimal sign of numbers that are written beside those of the file.
    pub(crate) fn decimal_sign(self) -> char {
        if self.0 == b';' { ',' } else { '.' }
    }

    /// A number of the file with a decimal point: where semicolons part the fields, commas stand in the numbers, and no
    /// comma parts thousands.
    pub(crate) fn with_decimal_point(self, number: &str) -> Cow<'_, str> {
        let is_decimal = self.0 == b';' && number.matches(',').count() == 1 && !number.contains('.');
        if is_decimal { Cow::Owned(number.replace(',', ".")) } else { Cow::Borrowed(number) }
    }

    /// The same of a list of numbers that semicolons part.
    pub(crate) fn with_decimal_points(self, list: &str) -> String {
        list.split(';').map(|number| self.with_decimal_point(number)).collect::<Vec<_>>().join(";")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_header_line_tells_what_parts_the_fields() {
        for (front, byte) in [
            ("entry,value,unit\n1;2;3", b','),
            ("entry;value;unit", b';'),
            ("\u{feff}\r\nentry\tvalue\tunit\r\n1,5", b'\t'),
            (",,\n ;\nentry;value;unit\n1,5", b';'),
            ("\u{feff}entry;value;unit", b';'),
            ("entry", b','),
            ("", b','),
            (";;\n", b','),
        ] {
            let found = Separator::of_header(front.as_bytes());
            assert_eq!(found.byte(), byte, "{front:?}");
        }
    }

    /// The comma of `8,851` may part thousands in a file of commas or tabs; where semicolons part, it is a decimal one.
    #[test]
    fn commas_are_decimal_where_semicolons_part() {
        let read = |separator, number| Separator(separator).with_decimal_point(number);
        assert_eq!(read(b';', "8,851"), "8.851");
        assert_eq!(read(b';', "5,1 N·m"), "5.1 N·m");
        for (separator, number) in [(b',', "8,851"), (b'\t', "8,851"), (b';', "1.250,5"), (b';', "1,250,000")]
        {
            assert_eq!(read(separator, number), number);
        }
    }
}
