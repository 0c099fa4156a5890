//! Texts that a log repeats, looked up by their bytes once they were understood.
//!
//! Texts are compared as whole words of the machine: the first place looked at is most often the right one,
//! and nothing hangs on the length of the text.

use super::field::FieldBytes;

/// Different spellings that are remembered: a log that makes up a new one in every row takes longer, not
/// more room.
const MOST: usize = 4096;
/// Places of a table to begin with; a power of two.
const FIRST_PLACES: usize = 64;

/// What spellings of fewer than 8·N bytes were found to mean; longer ones are understood anew each time.
pub(super) struct Interned<T, const N: usize> {
    /// At most half of them taken; a text that finds its place taken is in the next one, or the one
    /// after that.
    places: Vec<([u64; N], Option<T>)>,
    taken: usize,
}

/// Odd numbers without a pattern, one for each word.
const MIX: [u64; 4] =
    [0x9e37_79b9_7f4a_7c15, 0xc2b2_ae3d_27d4_eb4f, 0xd6e8_feb8_6659_fd93, 0xa076_1d64_78bd_642f];

impl<T: Copy, const N: usize> Interned<T, N> {
    pub(super) fn new() -> Interned<T, N> {
        Interned { places: Self::free(FIRST_PLACES), taken: 0 }
    }

    fn free(count: usize) -> Vec<([u64; N], Option<T>)> {
        vec![([u64::MAX; N], None); count]
    }

    /// The place of a key, or the free one where it belongs, and what stands there. The words are multiplied side
    /// by side; the upper half of the sum hangs on every byte.
    fn place(&self, key: &[u64; N]) -> (usize, Option<T>) {
        let sum =
            key.iter().zip(MIX).fold(0_u64, |sum, (word, mix)| sum.wrapping_add(word.wrapping_mul(mix)));
        let mut at = (sum >> 40) as usize;
        loop {
            at &= self.places.len() - 1;
            let (known, meaning) = &self.places[at];
            // All words at once: the answer is most often yes, and needs them all.
            let unlike = known.iter().zip(key).fold(0, |unlike, (a, b)| unlike | (a ^ b));
            if unlike == 0 || meaning.is_none() {
                return (at, *meaning);
            }
            at += 1;
        }
    }

    pub(super) fn get(&self, spelling: FieldBytes<'_>) -> Option<T> {
        self.of_key(&spelling.key()?)
    }

    pub(super) fn of_key(&self, key: &[u64; N]) -> Option<T> {
        self.place(key).1
    }

    #[cold]
    pub(super) fn remember(&mut self, spelling: FieldBytes<'_>, meaning: T) -> T {
        if let Some(key) = spelling.key().filter(|_| self.taken < MOST) {
            self.put(key, meaning);
        }
        meaning
    }

    pub(super) fn put(&mut self, key: [u64; N], meaning: T) {
        if 2 * (self.taken + 1) > self.places.len() {
            let more = Self::free(2 * self.places.len());
            self.taken = 0;
            for (key, meaning) in std::mem::replace(&mut self.places, more) {
                if let Some(meaning) = meaning {
                    self.put(key, meaning);
                }
            }
        }
        let (at, known) = self.place(&key);
        self.taken += usize::from(known.is_none());
        self.places[at] = (key, Some(meaning));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn there_is_room_for_so_many_and_no_more() {
        let mut known = Interned::<usize, 2>::new();
        for number in 0..2 * MOST {
            known.remember(number.to_string().as_bytes().into(), number);
        }
        assert_eq!(known.get(b"17".as_slice().into()), Some(17));
        assert_eq!(known.get((2 * MOST - 1).to_string().as_bytes().into()), None);
        assert!(2 * known.taken <= known.places.len());
    }

    proptest! {
        /// It finds what a map finds.
        #[test]
        fn spellings_mean_what_they_were_said_to(texts in proptest::collection::vec("[ab\0]{0,8}|[a-c]{0,70}", 0..300)) {
            let mut known = Interned::<usize, 4>::new();
            let mut map = std::collections::HashMap::new();
            for (number, text) in texts.iter().enumerate() {
                let field = FieldBytes::from(text.as_bytes());
                prop_assert_eq!(known.get(field), map.get(text).copied(), "{}", text);
                if !map.contains_key(text) && text.len() < 32 {
                    map.insert(text, known.remember(field, number));
                }
            }
        }
    }
}
