//! Records that have a quote, and where the last record of a chunk ends.

use wide::u8x16;

/// Bytes over which a quoted record may go on. A quote that is not closed by then was never meant to be
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

/// Where in a field a character stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum At {
    Front,
    /// In a part without quotes; a quote there is a character like any other.
    Plain,
    Quoted,
    /// Behind a quote that closes, unless another one follows.
    Closed,
}

#[derive(Debug)]
pub(super) struct QuotedRecord {
    separator: u8,
    text: Vec<u8>,
    /// Where each field begins and, one further, ends.
    places: Vec<u32>,
}

impl QuotedRecord {
    pub(super) fn new(separator: u8) -> QuotedRecord {
        QuotedRecord { separator, text: Vec::new(), places: Vec::new() }
    }

    pub(super) fn read(&mut self, data: &[u8], start: usize, all: bool) -> End {
        let rest = data.get(start..).unwrap_or_default();
        let window = rest.get(..LONGEST_QUOTED).unwrap_or(rest);
        self.text.clear();
        self.places.clear();
        self.places.push(0);
        let mut at = At::Front;
        for (index, &byte) in window.iter().enumerate() {
            at = match (at, byte) {
                (At::Front, b'"') => At::Quoted,
                (At::Quoted, b'"') => At::Closed,
                (At::Front | At::Plain | At::Closed, byte) if byte == self.separator => {
                    self.end_field();
                    At::Front
                }
                (At::Front | At::Plain | At::Closed, b'\n') => {
                    if at == At::Plain && self.text.last() == Some(&b'\r') {
                        self.text.pop();
                    }
                    self.end_field();
                    return End::At(start + index + 1);
                }
                _ => {
                    self.text.push(byte);
                    // A quote doubled stands for itself, and what follows a closed one is plain.
                    if at == At::Quoted || (at == At::Closed && byte == b'"') {
                        At::Quoted
                    } else {
                        At::Plain
                    }
                }
            };
        }
        if window.len() < LONGEST_QUOTED {
            if !all {
                return End::Open;
            }
            if at != At::Quoted {
                self.end_field();
                return End::At(data.len());
            }
        }
        let line = rest.iter().position(|byte| *byte == b'\n');
        End::Unclosed(line.map_or(data.len(), |at| start + at + 1))
    }

    #[expect(clippy::cast_possible_truncation, reason = "a quoted record is far smaller than 4 GiB")]
    fn end_field(&mut self) {
        self.places.push(self.text.len() as u32);
    }

    pub(super) fn text(&self) -> &[u8] {
        &self.text
    }

    /// Where each field begins and, one further, ends.
    pub(super) fn places(&self) -> &[u32] {
        &self.places
    }
}

/// The end of the last whole record of `data`, which begins with one; 0 where there is none.
pub(super) fn last_end(data: &[u8], quoted: &mut QuotedRecord) -> usize {
    let mut at = 0;
    loop {
        let rest = data.get(at..).unwrap_or_default();
        let quote = first_quote(rest);
        // Before the first quote every line end is a record's.
        let before = rest.get(..quote.unwrap_or(rest.len())).unwrap_or_default();
        let start = before.iter().rposition(|byte| *byte == b'\n').map_or(at, |line| at + line + 1);
        if quote.is_none() {
            return start;
        }
        match quoted.read(data, start, false) {
            End::At(next) | End::Unclosed(next) if next > at => at = next,
            _ => return start,
        }
    }
}

fn first_quote(data: &[u8]) -> Option<usize> {
    let (blocks, _) = data.as_chunks::<64>();
    let is_quote = |part: &[u8; 16]| u8x16::from(*part).simd_eq(u8x16::splat(b'"'));
    let holds_one = |block: &[u8; 64]| {
        let none = u8x16::splat(0);
        block.as_chunks().0.iter().fold(none, |found, part| found | is_quote(part)).any()
    };
    let free = 64 * blocks.iter().position(holds_one).unwrap_or(blocks.len());
    let quote = data.get(free..)?.iter().position(|byte| *byte == b'"')?;
    Some(free + quote)
}
