//! Texts that a log repeats, looked up by their bytes once they were understood.
//!
//! Short texts are compared as whole words of the machine, without a call. Measured on a million entries
//! and units of a generated log: 12 ns a look-up, 13 to 14 ns in an `FxHashMap` of bytes, 20 to 26 ns in
//! the standard one.

use std::hash::{Hash, Hasher};

use rustc_hash::FxHashMap;

/// Different spellings that are remembered: a log that makes up a new one in every row takes longer, not
/// more room.
const MOST: usize = 4096;
/// Bytes of a text that is looked up; longer ones are understood anew each time.
const LONGEST: usize = 64;

/// What spellings were found to mean.
#[derive(Debug)]
pub(super) struct Interned<T> {
    short: FxHashMap<Word, T>,
    long: FxHashMap<Box<[u8]>, T>,
}

/// Up to 32 bytes with their number: two texts are the same if and only if their words are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Word {
    ends: [u64; 2],
    middle: [u64; 2],
    length: u64,
}

impl Word {
    /// The word of a text of up to 32 bytes: its first and last bytes, which overlap where it is short.
    #[inline]
    fn of(text: &[u8]) -> Option<Word> {
        let length = text.len() as u64;
        let eight = |bytes: Option<&[u8; 8]>| bytes.map_or(0, |bytes| u64::from_le_bytes(*bytes));
        let four = |bytes: Option<&[u8; 4]>| bytes.map_or(0, |bytes| u64::from(u32::from_le_bytes(*bytes)));
        let (ends, middle) = match text.len() {
            0..4 => {
                let byte = |at: usize| text.get(at).copied().map_or(0, u64::from);
                ([byte(0) | byte(1) << 8 | byte(2) << 16, 0], [0; 2])
            }
            4..8 => ([four(text.first_chunk()), four(text.last_chunk())], [0; 2]),
            8..=16 => ([eight(text.first_chunk()), eight(text.last_chunk())], [0; 2]),
            17..=32 => {
                let (head, tail) =
                    (text.get(8..).unwrap_or_default(), text.get(..text.len() - 8).unwrap_or_default());
                (
                    [eight(text.first_chunk()), eight(text.last_chunk())],
                    [eight(head.first_chunk()), eight(tail.last_chunk())],
                )
            }
            _ => return None,
        };
        Some(Word { ends, middle, length })
    }
}

impl Hash for Word {
    /// The halves are mixed side by side, so that neither waits for the other; the hasher mixes the rest.
    #[inline]
    fn hash<H: Hasher>(&self, state: &mut H) {
        let [first, last] = self.ends;
        let [second, third] = self.middle;
        let outer = (first ^ last.rotate_left(29)).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        let inner = (second ^ third.rotate_left(29)).wrapping_mul(0xc2b2_ae3d_27d4_eb4f);
        state.write_u64(outer ^ inner.rotate_left(17) ^ self.length);
    }
}

impl<T: Copy> Interned<T> {
    pub(super) fn new() -> Interned<T> {
        Interned { short: FxHashMap::default(), long: FxHashMap::default() }
    }

    /// What a spelling means, where that is known.
    #[inline]
    pub(super) fn get(&self, spelling: &[u8]) -> Option<T> {
        match Word::of(spelling) {
            Some(word) => self.short.get(&word).copied(),
            None => self.long.get(spelling).copied(),
        }
    }

    /// Remembers what a spelling means, as far as there is room.
    pub(super) fn remember(&mut self, spelling: &[u8], meaning: T) -> T {
        if self.short.len() + self.long.len() < MOST {
            match Word::of(spelling) {
                Some(word) => {
                    self.short.insert(word, meaning);
                }
                None if spelling.len() <= LONGEST => {
                    self.long.insert(spelling.into(), meaning);
                }
                None => {}
            }
        }
        meaning
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn there_is_room_for_so_many_and_no_more() {
        let mut known = Interned::new();
        for number in 0..2 * MOST {
            known.remember(number.to_string().as_bytes(), number);
        }
        assert_eq!(known.get(b"17"), Some(17));
        assert_eq!(known.get((2 * MOST - 1).to_string().as_bytes()), None);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(20_000))]

        #[test]
        fn words_are_the_same_where_texts_are(a in "[ab]{0,40}", b in "[ab]{0,40}", change in 0..40_usize) {
            let mut near = a.clone().into_bytes();
            if let Some(byte) = near.get_mut(change) {
                *byte ^= 1;
            }
            for b in [b.into_bytes(), near] {
                if let (Some(left), Some(right)) = (Word::of(a.as_bytes()), Word::of(&b)) {
                    prop_assert_eq!(left == right, a.as_bytes() == b);
                }
            }
        }
    }
}
