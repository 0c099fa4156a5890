//! Records and fields of a log (RFC 4180), as bytes.
//!
//! A line is cut at its commas, which are found 64 bytes at a time with the compare-and-mask instructions of
//! the `wide` crate: 350 instructions for a row of 71 bytes, as counted, of the 1245 that the whole takes. A
//! record with a quote is read character by character.

use wide::u8x16;

use super::field::FieldBytes;
use super::quoted::{End, QuotedRecord};

/// Bytes looked at together.
const BLOCK: usize = 64;
/// Places that are written down together, needed or not: rows differ in where their commas lie, and a
/// processor that has to guess how many there are guesses wrong in most rows.
const STEP: usize = 4;

/// One record of a chunk.
#[derive(Debug, Clone, Copy)]
pub(super) struct Record<'r> {
    pub(super) start: usize,
    /// Where its last field ends, before the line end.
    pub(super) end: usize,
    pub(super) next: usize,
    /// Whether a quote is not closed: then it is no more than its first line.
    pub(super) is_unclosed: bool,
    /// What the places are in.
    text: &'r [u8],
    /// Where the comma before each field stands and, one further, the end of the last field.
    places: &'r [u32],
    /// Bytes of a comma: none in the text of a quoted record, from which they were taken out.
    gap: u32,
}

impl<'r> Record<'r> {
    pub(super) fn count(&self) -> usize {
        self.places.len() - 1
    }

    /// A field; empty where the record has none.
    pub(super) fn field(&self, column: usize) -> FieldBytes<'r> {
        let around = self.places.get(column..).and_then(|places| places.first_chunk::<2>());
        let [before, behind] = around.copied().unwrap_or([0_u32.wrapping_sub(self.gap), 0]);
        FieldBytes::part(self.text, before.wrapping_add(self.gap) as usize, behind as usize)
    }
}

/// What cutting records needs, kept from chunk to chunk.
pub(super) struct Scratch {
    /// What parts fields, called a comma here.
    separator: u8,
    places: Vec<u32>,
    count: usize,
    /// Where the bytes stand that are looked at, and the commas and stops among them that are still ahead.
    at: usize,
    commas: u64,
    stops: u64,
    quoted: QuotedRecord,
}

pub(super) struct Records<'d> {
    data: &'d [u8],
    scratch: &'d mut Scratch,
    start: usize,
}

impl<'d> Records<'d> {
    /// The records of `data`, which begins and ends with a record.
    pub(super) fn new(data: &'d [u8], scratch: &'d mut Scratch) -> Records<'d> {
        scratch.look(data, 0);
        Records { data, scratch, start: 0 }
    }

    /// The next record; none at the end. Blank lines are passed over, and so are those of separators alone, which a
    /// spreadsheet program writes for empty rows.
    #[expect(clippy::inline_always, reason = "a record handed back by a call is copied through memory")]
    #[inline(always)]
    pub(super) fn next(&mut self) -> Option<Record<'_>> {
        while self.start < self.data.len() {
            let (start, stop) = (self.start, self.scratch.cut(self.data, self.start));
            if self.data.get(stop) == Some(&b'"') {
                return Some(self.quoted());
            }
            self.start = stop + 1;
            let end = without_return(self.data, start, stop);
            if !self.scratch.is_blank(self.data.get(start..end).unwrap_or_default()) {
                return Some(self.plain(start, end));
            }
        }
        None
    }

    /// The record whose commas were just noted.
    fn plain(&mut self, start: usize, end: usize) -> Record<'_> {
        let Scratch { places, count, .. } = &mut *self.scratch;
        if let Some(last) = places.get_mut(*count) {
            *last = place(end);
        }
        let places = places.get(..=*count).unwrap_or_default();
        let next = self.start.min(self.data.len());
        Record { start, end, next, is_unclosed: false, text: self.data, places, gap: 1 }
    }

    #[inline(never)]
    fn quoted(&mut self) -> Record<'_> {
        let start = self.start;
        let (next, is_unclosed) = match self.scratch.quoted.read(self.data, start, true) {
            End::At(next) => (next, false),
            End::Unclosed(next) => (next, true),
            End::Open => (self.data.len(), true),
        };
        self.start = next;
        self.scratch.look(self.data, next);
        let quoted = &self.scratch.quoted;
        let line_end = next - usize::from(self.data.get(next - 1) == Some(&b'\n'));
        let end = without_return(self.data, start, line_end);
        Record { start, end, next, is_unclosed, text: quoted.text(), places: quoted.places(), gap: 0 }
    }
}

impl Scratch {
    pub(super) fn new(separator: u8) -> Scratch {
        let (places, quoted) = (vec![0; 4 * BLOCK], QuotedRecord::new(separator));
        Scratch { separator, places, count: 0, at: 0, commas: 0, stops: 0, quoted }
    }

    /// Looks at the bytes from a place on.
    fn look(&mut self, data: &[u8], at: usize) {
        let rest = data.get(at..).unwrap_or_default();
        self.at = at;
        let separator = self.separator;
        (self.commas, self.stops) = match rest.first_chunk() {
            Some(block) => signs(block, separator),
            None => signs(&padded(rest), separator),
        };
    }

    /// Notes the commas of the line that begins at `start`, up to its end or its first quote; where that is.
    fn cut(&mut self, data: &[u8], start: usize) -> usize {
        if let Some(first) = self.places.first_mut() {
            *first = place(start).wrapping_sub(1);
        }
        self.count = 1;
        while self.stops == 0 {
            self.note(self.commas);
            self.look(data, self.at + BLOCK);
        }
        let before = self.stops.wrapping_sub(1) & !self.stops;
        self.note(self.commas & before);
        let stop = self.at + self.stops.trailing_zeros() as usize;
        self.commas &= !before;
        self.stops &= self.stops.wrapping_sub(1);
        stop
    }

    /// Whether a line has nothing but separators and blanks; most are told by their first byte.
    fn is_blank(&self, line: &[u8]) -> bool {
        line.iter().all(|byte| *byte == self.separator || *byte == b' ')
    }

    fn note(&mut self, mask: u64) {
        let wanted = self.count + BLOCK + 1;
        if self.places.len() < wanted {
            self.places.resize(2 * wanted, 0);
        }
        let block = place(self.at);
        let free = self.places.get_mut(self.count..).and_then(|places| places.first_chunk_mut::<BLOCK>());
        let Some(free) = free else { return };
        let mut rest = mask;
        for places in free.as_chunks_mut::<STEP>().0 {
            for place in places {
                // What is written down beyond the last one does not count.
                *place = block + (rest | 1 << 63).trailing_zeros();
                rest &= rest.wrapping_sub(1);
            }
            if rest == 0 {
                break;
            }
        }
        self.count += mask.count_ones() as usize;
    }
}

/// A bit for each comma, and one for each line end and quote.
fn signs(block: &[u8; BLOCK], separator: u8) -> (u64, u64) {
    let (comma, line, quote) = (u8x16::splat(separator), u8x16::splat(b'\n'), u8x16::splat(b'"'));
    let (mut commas, mut stops) = (0, 0);
    for (index, part) in block.as_chunks::<16>().0.iter().enumerate() {
        let part = u8x16::from(*part);
        let stop = part.simd_eq(line) | part.simd_eq(quote);
        commas |= u64::from(part.simd_eq(comma).to_bitmask()) << (16 * index);
        stops |= u64::from(stop.to_bitmask()) << (16 * index);
    }
    (commas, stops)
}

/// The last bytes of a chunk, with line ends behind them: the last line may lack its own.
#[cold]
fn padded(rest: &[u8]) -> [u8; BLOCK] {
    let mut block = [b'\n'; BLOCK];
    for (to, from) in block.iter_mut().zip(rest) {
        *to = *from;
    }
    block
}

#[expect(clippy::cast_possible_truncation, reason = "a chunk is far smaller than 4 GiB")]
fn place(at: usize) -> u32 {
    at as u32
}

/// The end of a line that may end in a carriage return.
fn without_return(data: &[u8], start: usize, end: usize) -> usize {
    if end > start && data.get(end - 1) == Some(&b'\r') { end - 1 } else { end }
}

#[cfg(test)]
#[path = "record_tests.rs"]
mod tests;
