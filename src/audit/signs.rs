//! Where the signs of a chunk stand: commas, line ends and quotes.
//!
//! Signs are found 64 bytes at a time with the compare-and-mask instructions of the `wide` crate and
//! written down without asking how many there are: rows differ in where their commas lie, and a
//! processor that has to guess the number of commas guesses wrong in every second row. Measured: 11 ns a
//! row of 71 bytes. The same for AVX2, chosen at run time, took half the instructions and as long.

use wide::u8x16;

/// Bytes looked at together.
const BLOCK: usize = 64;
/// Bytes whose signs are written down before records are taken from them: few enough to stay in the
/// nearest cache.
const PART: usize = 8 * 1024;

/// Places in a chunk, in order.
#[derive(Debug, Default)]
pub(super) struct Places {
    places: Vec<u32>,
    count: usize,
}

impl Places {
    /// Those that are written down.
    #[inline]
    pub(super) fn all(&self) -> &[u32] {
        self.places.get(..self.count).unwrap_or_default()
    }

    /// One of them.
    #[inline]
    pub(super) fn get(&self, at: usize) -> Option<u32> {
        self.all().get(at).copied()
    }

    /// Forgets those before the given one.
    fn forget(&mut self, before: usize) {
        let before = before.min(self.count);
        self.places.copy_within(before..self.count, 0);
        self.count -= before;
    }

    fn make_room(&mut self) {
        let wanted = self.count + PART + BLOCK;
        if self.places.len() < wanted {
            self.places.resize(wanted, 0);
        }
    }

    fn push(&mut self, place: u32) {
        if let Some(free) = self.places.get_mut(self.count) {
            *free = place;
            self.count += 1;
        }
    }

    /// Adds the places of the bits of `mask`. `STEP` are written at a time, needed or not.
    #[inline]
    fn add<const STEP: usize>(&mut self, block: u32, mask: u64) {
        let free = self.places.get_mut(self.count..).and_then(|places| places.first_chunk_mut::<BLOCK>());
        let Some(free) = free else { return };
        let mut rest = mask;
        for places in free.as_chunks_mut::<STEP>().0 {
            for place in places {
                *place = block + rest.trailing_zeros();
                rest &= rest.wrapping_sub(1);
            }
            if rest == 0 {
                break;
            }
        }
        self.count += mask.count_ones() as usize;
    }
}

/// The signs of a chunk, a part after the other.
#[derive(Debug, Default)]
pub(super) struct Signs {
    /// All of them, behind one that is taken to stand before the chunk.
    pub(super) all: Places,
    /// Line ends and quotes.
    pub(super) stops: Places,
}

impl Signs {
    /// Writes down the signs of the part of `data` that begins at `from`, behind those that are kept: all
    /// from the given ones on. Where that part ends.
    ///
    /// A last line without its end gets one behind `data`.
    #[expect(clippy::cast_possible_truncation, reason = "a chunk is far smaller than 4 GiB")]
    #[inline(never)]
    pub(super) fn write_down(&mut self, data: &[u8], from: usize, kept: usize, kept_stops: usize) -> usize {
        self.all.forget(kept);
        self.stops.forget(kept_stops);
        self.all.make_room();
        self.stops.make_room();
        if from == 0 {
            (self.all.count, self.stops.count) = (0, 0);
            self.all.push(u32::MAX);
        }
        let to = data.len().min(from + PART);
        let part = data.get(from..to).unwrap_or_default();
        let (blocks, rest) = part.as_chunks::<BLOCK>();
        let mut at = from as u32;
        for block in blocks {
            self.add(at, block);
            at += BLOCK as u32;
        }
        if !rest.is_empty() {
            let mut block = [0; BLOCK];
            for (to, from) in block.iter_mut().zip(rest) {
                *to = *from;
            }
            self.add(at, &block);
        }
        if to == data.len() && data.last() != Some(&b'\n') {
            self.all.push(to as u32);
            self.stops.push(to as u32);
        }
        to
    }

    #[inline]
    fn add(&mut self, at: u32, block: &[u8; BLOCK]) {
        let (commas, stops) = masks(block);
        self.all.add::<8>(at, commas | stops);
        self.stops.add::<4>(at, stops);
    }
}

/// A bit for each comma, and one for each line end and quote.
#[inline]
fn masks(block: &[u8; BLOCK]) -> (u64, u64) {
    let (comma, line, quote) = (u8x16::splat(b','), u8x16::splat(b'\n'), u8x16::splat(b'"'));
    let (mut commas, mut stops) = (0, 0);
    for (index, part) in block.as_chunks::<16>().0.iter().enumerate() {
        let part = u8x16::from(*part);
        let stop = part.simd_eq(line) | part.simd_eq(quote);
        commas |= u64::from(part.simd_eq(comma).to_bitmask()) << (16 * index);
        stops |= u64::from(stop.to_bitmask()) << (16 * index);
    }
    (commas, stops)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(500))]

        /// Every sign is written down once, in order, however many there are.
        #[test]
        fn signs_are_those_that_a_search_finds(
            pieces in proptest::collection::vec(("[,\n\"x]{0,90}", 0..200_usize), 0..200),
        ) {
            let data: Vec<u8> = pieces.into_iter()
                .flat_map(|(text, gap)| [text.into_bytes(), vec![b'x'; gap]].concat())
                .collect();
            let (mut signs, mut at) = (Signs::default(), 0);
            let (mut all, mut stops) = (Vec::new(), Vec::new());
            while at < data.len() {
                let first = usize::from(at == 0);
                at = signs.write_down(&data, at, usize::MAX, usize::MAX);
                all.extend_from_slice(&signs.all.all()[first..]);
                stops.extend_from_slice(signs.stops.all());
            }
            let search = |wanted: &[u8]| -> Vec<u32> {
                let places = data.iter().enumerate().filter(|(_, byte)| wanted.contains(byte));
                let end = data.last().is_some_and(|byte| *byte != b'\n').then_some(data.len());
                places.map(|(at, _)| at).chain(end).map(|at| u32::try_from(at).unwrap()).collect()
            };
            prop_assert_eq!(all, search(b",\n\""));
            prop_assert_eq!(stops, search(b"\n\""));
        }
    }
}
