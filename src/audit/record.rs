//! Records and fields of a log (RFC 4180), as bytes.
//!
//! A record without a quote is cut where its signs are; one with a quote is read by `csv-core`.

use super::field::Row;
use super::quoted::{End, Quoted};
use super::signs::Signs;

/// Columns that a log may have.
pub(super) const MOST_COLUMNS: usize = 128;

/// The fields of one record.
#[derive(Debug)]
pub(super) struct Fields {
    signs: Signs,
    /// The sign before the record, where no field is quoted.
    first: usize,
    count: usize,
    end: u32,
    /// Whether the fields are those in `quoted`.
    has_quote: bool,
    unclosed: bool,
    quoted: Quoted,
}

impl Fields {
    pub(super) fn new() -> Fields {
        Fields {
            signs: Signs::default(),
            first: 0,
            count: 0,
            end: 0,
            has_quote: false,
            unclosed: false,
            quoted: Quoted::new(),
        }
    }

    /// Whether a quote of the record is not closed.
    #[inline]
    pub(super) fn is_unclosed(&self) -> bool {
        self.unclosed
    }

    /// How many there are.
    #[inline]
    pub(super) fn count(&self) -> usize {
        self.count
    }

    /// The fields of the record that was read from `data`. Those beyond the most that a log may have are
    /// counted and not shown.
    #[inline]
    pub(super) fn row<'a>(&'a self, data: &'a [u8]) -> Row<'a> {
        if self.has_quote {
            return self.quoted.row();
        }
        let shown = self.count.min(MOST_COLUMNS);
        let places = self.signs.all.all().get(self.first..=self.first + shown).unwrap_or_default();
        Row { text: data, places, gap: 1, end: self.end }
    }

    /// A field of the record that was read from `data`; empty where the record has none.
    pub(super) fn get<'a>(&'a self, data: &'a [u8], column: usize) -> &'a [u8] {
        self.row(data).field(column).bytes()
    }
}

/// One record of a chunk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Record {
    /// Where it begins.
    pub(super) start: usize,
    /// Where its last field ends, before the line end.
    pub(super) end: usize,
    /// Where the next one begins.
    pub(super) next: usize,
}

/// The records of a chunk, one after the other.
#[derive(Debug)]
pub(super) struct Records<'a> {
    data: &'a [u8],
    /// How many bytes had their signs written down.
    seen: usize,
    /// Where the next record begins, its first sign, and the stop that ends it.
    start: usize,
    sign: usize,
    stop: usize,
    /// How many fields the last record without a quote had: most likely the next one has as many.
    count: usize,
}

impl<'a> Records<'a> {
    /// The records of `data`, which begins and ends with a record.
    pub(super) fn new(data: &'a [u8]) -> Records<'a> {
        Records { data, seen: 0, start: 0, sign: 1, stop: usize::MAX, count: 1 }
    }

    /// The next record, its fields put into `fields`; none at the end. Blank lines are passed over.
    #[expect(clippy::inline_always, reason = "as a call it took 40 instructions more, as was counted")]
    #[inline(always)]
    pub(super) fn next(&mut self, fields: &mut Fields) -> Option<Record> {
        loop {
            let Some(stop) = fields.signs.stops.get(self.stop) else {
                if !self.see_more(&mut fields.signs) {
                    return None;
                }
                continue;
            };
            let record = match self.data.get(stop as usize) {
                Some(b'"') => self.quoted(fields),
                _ => self.plain(fields, stop),
            };
            if record.end > record.start {
                return Some(record);
            }
        }
    }

    /// Writes down the signs of the next part; false where there is none.
    fn see_more(&mut self, signs: &mut Signs) -> bool {
        if self.seen >= self.data.len() {
            return false;
        }
        // The sign before the record is where its first field begins.
        self.seen = signs.write_down(self.data, self.seen, self.sign - 1, self.stop);
        (self.sign, self.stop) = (1, 0);
        true
    }

    /// The record without quotes that `stop` ends.
    #[inline]
    fn plain(&mut self, fields: &mut Fields, stop: u32) -> Record {
        let signs = fields.signs.all.all();
        if signs.get(self.sign + self.count - 1) != Some(&stop) {
            let rest = signs.get(self.sign..).unwrap_or_default();
            self.count = 1 + rest.iter().take_while(|sign| **sign < stop).count();
        }
        let start = self.start;
        let line_end = stop as usize;
        let next = (line_end + 1).min(self.data.len());
        let end = without_return(self.data, start, line_end);
        (fields.first, fields.count, fields.has_quote, fields.unclosed) =
            (self.sign - 1, self.count, false, false);
        fields.end = stop - u32::from(end < line_end);
        self.sign += self.count;
        self.stop += 1;
        self.start = next;
        Record { start, end, next }
    }

    /// Reads a record with a quote, and goes on behind it.
    #[inline(never)]
    fn quoted(&mut self, fields: &mut Fields) -> Record {
        let start = self.start;
        fields.has_quote = true;
        let (next, unclosed) = match fields.quoted.read(self.data, start, true) {
            End::At(next) => (next, false),
            End::Unclosed(next) => (next, true),
            End::Open => (self.data.len(), true),
        };
        fields.quoted.note_places();
        fields.count = fields.quoted.count();
        fields.unclosed = unclosed;
        let line_end = next - usize::from(self.data.get(next - 1) == Some(&b'\n'));
        self.start = next;
        self.pass(&mut fields.signs);
        Record { start, end: without_return(self.data, start, line_end), next }
    }

    /// Passes over the signs before the next record.
    fn pass(&mut self, signs: &mut Signs) {
        loop {
            let is_before = |place: Option<u32>| place.is_some_and(|place| (place as usize) < self.start);
            while is_before(signs.all.get(self.sign)) {
                self.sign += 1;
            }
            while is_before(signs.stops.get(self.stop)) {
                self.stop += 1;
            }
            if signs.stops.get(self.stop).is_some() || !self.see_more(signs) {
                return;
            }
        }
    }
}

/// The end of a line that may end in a carriage return.
#[inline]
fn without_return(data: &[u8], start: usize, end: usize) -> usize {
    if end > start && data.get(end - 1) == Some(&b'\r') { end - 1 } else { end }
}

#[cfg(test)]
#[path = "record_tests.rs"]
mod tests;
