//! Texts that a log repeats, looked up by their bytes once they were understood.
//!
//! Short texts are compared as whole words of the machine, in a table of their own: the first place
//! looked at is most often the right one, and nothing hangs on the length of the text.

use rustc_hash::FxHashMap;

use super::field::Field;

/// Different spellings that are remembered: a log that makes up a new one in every row takes longer, not
/// more room.
const MOST: usize = 4096;
/// Bytes of a text that is looked up; longer ones are understood anew each time.
const LONGEST: usize = 64;
/// Places of a table to begin with; a power of two.
const FIRST_PLACES: usize = 64;

/// What spellings were found to mean; those of fewer than 8·N bytes are found quickest.
#[derive(Debug)]
pub(super) struct Interned<T, const N: usize> {
    /// At most half of them taken; a text that finds its place taken is in the next one, or the one
    /// after that.
    short: Vec<Place<T, N>>,
    taken: usize,
    long: FxHashMap<Box<[u8]>, T>,
}

#[derive(Debug, Clone, Copy)]
struct Place<T, const N: usize> {
    key: [u64; N],
    meaning: Option<T>,
}

/// Odd numbers without a pattern, one for each word.
const MIX: [u64; 4] =
    [0x9e37_79b9_7f4a_7c15, 0xc2b2_ae3d_27d4_eb4f, 0xd6e8_feb8_6659_fd93, 0xa076_1d64_78bd_642f];

/// Where to look for a key first. The words are multiplied side by side; the upper half of the sum
/// hangs on every byte.
#[inline]
fn mixed<const N: usize>(key: &[u64; N]) -> usize {
    let sum = key.iter().zip(MIX).fold(0_u64, |sum, (word, mix)| sum.wrapping_add(word.wrapping_mul(mix)));
    (sum >> 40) as usize
}

impl<T: Copy, const N: usize> Interned<T, N> {
    pub(super) fn new() -> Interned<T, N> {
        Interned { short: Self::free(FIRST_PLACES), taken: 0, long: FxHashMap::default() }
    }

    /// So many free places.
    fn free(count: usize) -> Vec<Place<T, N>> {
        vec![Place { key: [u64::MAX; N], meaning: None }; count]
    }

    /// What a spelling means, where that is known.
    #[inline]
    pub(super) fn get(&self, spelling: Field<'_>) -> Option<T> {
        let Some(key) = spelling.key::<N>() else { return self.long.get(spelling.bytes()).copied() };
        let mut at = mixed(&key);
        loop {
            let place = self.short.get(at & (self.short.len() - 1))?;
            // All words at once: the answer is most often yes, and needs them all.
            let unlike = place.key.iter().zip(&key).fold(0, |unlike, (a, b)| unlike | (a ^ b));
            if unlike == 0 || place.meaning.is_none() {
                return place.meaning;
            }
            at += 1;
        }
    }

    /// Remembers what a spelling means, as far as there is room.
    #[cold]
    pub(super) fn remember(&mut self, spelling: Field<'_>, meaning: T) -> T {
        if self.taken + self.long.len() < MOST {
            match spelling.key() {
                Some(key) => self.put(key, meaning),
                None if spelling.len() <= LONGEST => {
                    self.long.insert(spelling.bytes().into(), meaning);
                }
                None => {}
            }
        }
        meaning
    }

    fn put(&mut self, key: [u64; N], meaning: T) {
        if 2 * (self.taken + 1) > self.short.len() {
            let more = Self::free(2 * self.short.len());
            let known = std::mem::replace(&mut self.short, more);
            self.taken = 0;
            for place in known {
                if let Some(meaning) = place.meaning {
                    self.put(place.key, meaning);
                }
            }
        }
        let mut at = mixed(&key);
        let last = self.short.len() - 1;
        while let Some(place) = self.short.get_mut(at & last) {
            if place.meaning.is_none() || place.key == key {
                self.taken += usize::from(place.meaning.is_none());
                *place = Place { key, meaning: Some(meaning) };
                return;
            }
            at += 1;
        }
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
        assert!(2 * known.taken <= known.short.len());
    }

    proptest! {
        /// It finds what a map finds.
        #[test]
        fn spellings_mean_what_they_were_said_to(texts in proptest::collection::vec("[ab\0]{0,8}|[a-c]{0,70}", 0..300)) {
            let mut known = Interned::<usize, 4>::new();
            let mut map = std::collections::HashMap::new();
            for (number, text) in texts.iter().enumerate() {
                let field = Field::from(text.as_bytes());
                prop_assert_eq!(known.get(field), map.get(text).copied(), "{}", text);
                if !map.contains_key(text) && text.len() <= LONGEST {
                    map.insert(text, known.remember(field, number));
                }
            }
        }
    }
}
