//! The fields of a record as places in its text, and short texts as whole words of the machine.

/// Where the fields of one record stand.
#[derive(Debug, Clone, Copy)]
pub(super) struct Row<'a> {
    /// What the places are in.
    pub(super) text: &'a [u8],
    /// Where the sign before each field stands and, one further, the one behind it.
    pub(super) places: &'a [u32],
    /// Bytes of a sign: none in the text of a quoted record, from which the signs were taken out.
    pub(super) gap: u32,
    /// Where the last field ends, which may have a carriage return behind it.
    pub(super) end: u32,
}

impl<'a> Row<'a> {
    /// A field; empty where the record has none.
    #[inline]
    pub(super) fn field(&self, column: usize) -> Field<'a> {
        let around = self.places.get(column..).and_then(|places| places.first_chunk::<2>());
        let [before, behind] = around.copied().unwrap_or([0_u32.wrapping_sub(self.gap), 0]);
        let (from, to) = (before.wrapping_add(self.gap) as usize, behind.min(self.end) as usize);
        Field { text: self.text, from, to }
    }
}

/// A field with the text that it stands in, so that whole words can be read over its end.
#[derive(Debug, Clone, Copy)]
pub(super) struct Field<'a> {
    text: &'a [u8],
    from: usize,
    to: usize,
}

/// The bytes of a word of the machine.
const WORD: usize = 8;
/// For every length, what of N words belongs to a text of so many bytes.
const fn masks<const N: usize>() -> [[u64; N]; 32] {
    let mut masks = [[0; N]; 32];
    let mut length = 0;
    while length < 32 {
        let mut byte = 0;
        while byte < length && byte < WORD * N {
            masks[length][byte / WORD] |= 0xff << (8 * (byte % WORD));
            byte += 1;
        }
        length += 1;
    }
    masks
}

/// For every length, N words that hold it in their last byte.
const fn marks<const N: usize>() -> [[u64; N]; 32] {
    let mut marks = [[0; N]; 32];
    let mut length = 0;
    while length < 32 {
        marks[length][N - 1] = (length as u64) << 56;
        length += 1;
    }
    marks
}

struct Tables<const N: usize>;

impl<const N: usize> Tables<N> {
    const MASKS: &'static [[u64; N]; 32] = &masks();
    const MARKS: &'static [[u64; N]; 32] = &marks();
}

impl<'a> From<&'a [u8]> for Field<'a> {
    fn from(text: &'a [u8]) -> Field<'a> {
        Field { text, from: 0, to: text.len() }
    }
}

impl<'a> Field<'a> {
    /// How many bytes it has.
    #[inline]
    pub(super) fn len(self) -> usize {
        self.to.saturating_sub(self.from)
    }

    #[inline]
    pub(super) fn is_empty(self) -> bool {
        self.len() == 0
    }

    /// The bytes themselves.
    #[inline]
    pub(super) fn bytes(self) -> &'a [u8] {
        self.text.get(self.from..self.to).unwrap_or_default()
    }

    /// The first bytes, with zeros behind the last one; short texts alone have all their bytes here.
    ///
    /// Read in one go where the text goes on for long enough: no branch hangs on the length.
    #[inline]
    pub(super) fn words<const N: usize>(self) -> [u64; N] {
        let mask = &Tables::<N>::MASKS[self.len().min(WORD * N) % 32];
        let words = match self.text.get(self.from..self.from + WORD * N) {
            Some(bytes) => read::<N>(bytes),
            None => read(&self.padded()),
        };
        std::array::from_fn(|at| words[at] & mask[at])
    }

    /// The text as words that are the same if and only if the texts are; none for one of 8·N bytes or more.
    #[inline]
    pub(super) fn key<const N: usize>(self) -> Option<[u64; N]> {
        if self.len() >= WORD * N {
            return None;
        }
        // Texts that end in zero bytes differ by their length.
        let (words, mark) = (self.words::<N>(), &Tables::<N>::MARKS[self.len() % 32]);
        Some(std::array::from_fn(|at| words[at] | mark[at]))
    }

    /// The bytes of a short text near the end of what it stands in.
    #[cold]
    fn padded(self) -> [u8; 32] {
        let mut bytes = [0; 32];
        for (to, from) in bytes.iter_mut().zip(self.bytes()) {
            *to = *from;
        }
        bytes
    }
}

#[inline]
fn read<const N: usize>(bytes: &[u8]) -> [u64; N] {
    let words = bytes.as_chunks().0;
    std::array::from_fn(|at| words.get(at).map_or(0, |word| u64::from_le_bytes(*word)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(20_000))]

        /// Wherever a text stands, and whatever stands behind it.
        #[test]
        fn keys_are_the_same_where_texts_are(
            a in "[ab\0]{0,40}", b in "[ab\0]{0,40}", behind in "[ab\0]{0,40}", change in 0..40_usize,
        ) {
            let mut near = a.clone().into_bytes();
            if let Some(byte) = near.get_mut(change) {
                *byte ^= 1;
            }
            let a = a.as_bytes();
            for b in [b.as_bytes(), &near, a] {
                let text = [a, b, behind.as_bytes()].concat();
                let inside = Field { text: &text, from: a.len(), to: a.len() + b.len() };
                prop_assert_eq!(inside.bytes(), b);
                if let (Some(left), Some(right)) = (Field::from(a).key::<4>(), inside.key::<4>()) {
                    prop_assert_eq!(left == right, a == b);
                }
                if let (Some(left), Some(right)) = (Field::from(a).key::<2>(), inside.key::<2>()) {
                    prop_assert_eq!(left == right, a == b);
                }
            }
        }
    }
}
