//! Records that have a quote, read by `csv-core`, and where the last record of a chunk ends.

use csv_core::{ReadRecordResult, Reader, ReaderBuilder, Terminator};

use super::field::Row;
use super::record::MOST_COLUMNS;

/// Bytes over which a quoted field may go on. A quote that is not closed by then was never meant to be
/// opened: its record ends with its line, and the lines after it are read for themselves.
pub(super) const LONGEST_QUOTED: usize = 16 * 1024;

/// Where a record with a quote ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum End {
    /// Before this byte, line end included.
    At(usize),
    /// As `At`, but a quote is not closed and the record is no more than its first line.
    Unclosed(usize),
    /// The bytes end before it can be told.
    Open,
}

/// Reads records that have a quote.
#[derive(Debug)]
pub(super) struct Quoted {
    /// Made with the first quote: most logs have none, and it takes a quarter of a million instructions.
    reader: Option<Box<Reader>>,
    text: Vec<u8>,
    ends: [usize; MOST_COLUMNS],
    count: usize,
    /// Where each field begins and, one further, ends.
    places: Vec<u32>,
}

impl Quoted {
    pub(super) fn new() -> Quoted {
        Quoted { reader: None, text: Vec::new(), ends: [0; MOST_COLUMNS], count: 0, places: Vec::new() }
    }

    /// Reads the record that begins at `start`; `all` tells that nothing follows `data`.
    pub(super) fn read(&mut self, data: &[u8], start: usize, all: bool) -> End {
        let rest = data.get(start..).unwrap_or_default();
        let window = rest.get(..LONGEST_QUOTED).unwrap_or(rest);
        self.count = 0;
        self.text.resize(LONGEST_QUOTED + 2, 0);
        if let Some(reader) = &mut self.reader {
            reader.reset();
        }
        if let Some(length) = self.feed(window) {
            return End::At(start + length);
        }
        if window.len() < LONGEST_QUOTED {
            if !all {
                return End::Open;
            }
            // A line end that the log lacks tells whether the last quote is closed.
            if self.feed(b"\n").is_some() {
                return End::At(data.len());
            }
        }
        let line = memchr::memchr(b'\n', rest);
        End::Unclosed(line.map_or(data.len(), |at| start + at + 1))
    }

    /// The fields of the record that was read.
    pub(super) fn row(&self) -> Row<'_> {
        Row { text: &self.text, places: &self.places, gap: 0, end: u32::MAX }
    }

    /// How many fields it has.
    pub(super) fn count(&self) -> usize {
        self.count
    }

    /// Notes where the fields of the record stand that was read.
    #[expect(clippy::cast_possible_truncation, reason = "a quoted record is far smaller than 4 GiB")]
    pub(super) fn note_places(&mut self) {
        let known = self.ends.get(..self.count).unwrap_or(&self.ends);
        self.places.clear();
        self.places.push(0);
        self.places.extend(known.iter().map(|&end| end as u32));
    }

    /// Feeds bytes to the reader; how many the record took, once it is whole.
    fn feed(&mut self, mut bytes: &[u8]) -> Option<usize> {
        let new = || Box::new(ReaderBuilder::new().terminator(Terminator::Any(b'\n')).build());
        let reader = self.reader.get_or_insert_with(new);
        let mut taken = 0;
        let mut written = self.ends.get(self.count.wrapping_sub(1)).copied().unwrap_or(0);
        loop {
            let mut spare = [0; 1];
            // Fields beyond the most that a log may have are counted one by one and not kept.
            let ends = self.ends.get_mut(self.count..).filter(|ends| !ends.is_empty()).unwrap_or(&mut spare);
            let output = self.text.get_mut(written..).unwrap_or_default();
            let (result, read, wrote, count) = reader.read_record(bytes, output, ends);
            (taken, written) = (taken + read, written + wrote);
            self.count += count;
            bytes = bytes.get(read..).unwrap_or_default();
            match result {
                ReadRecordResult::Record | ReadRecordResult::End => return Some(taken),
                ReadRecordResult::OutputEndsFull => {}
                ReadRecordResult::InputEmpty | ReadRecordResult::OutputFull => return None,
            }
        }
    }
}

/// The end of the last whole record of `data`, which begins with one; 0 where there is none.
pub(super) fn last_end(data: &[u8], quoted: &mut Quoted) -> usize {
    let mut at = 0;
    loop {
        let rest = data.get(at..).unwrap_or_default();
        let Some(quote) = memchr::memchr(b'"', rest) else {
            return memchr::memrchr(b'\n', rest).map_or(at, |line| at + line + 1);
        };
        // Before the first quote every line end is a record's.
        let before = rest.get(..quote).unwrap_or_default();
        let start = memchr::memrchr(b'\n', before).map_or(at, |line| at + line + 1);
        match quoted.read(data, start, false) {
            End::At(next) | End::Unclosed(next) if next > at => at = next,
            _ => return start,
        }
    }
}
