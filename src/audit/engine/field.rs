//! The bytes of a field, and short texts as whole words of the machine.

/// A field with the text that it stands in, so that whole words can be read over its end.
#[derive(Debug, Clone, Copy)]
pub(super) struct FieldBytes<'a> {
    text: &'a [u8],
    from: usize,
    to: usize,
}

const WORD: usize = 8;
const LONGEST: usize = 32;
/// What is kept of words: from `LONGEST` less a length on, as many bytes as that, and no more.
const KEPT: [u8; 2 * LONGEST] = {
    let mut kept = [0; 2 * LONGEST];
    kept.split_at_mut(LONGEST).0.copy_from_slice(&[0xff; LONGEST]);
    kept
};

impl<'a> From<&'a [u8]> for FieldBytes<'a> {
    fn from(text: &'a [u8]) -> FieldBytes<'a> {
        FieldBytes { text, from: 0, to: text.len() }
    }
}

impl<'a> FieldBytes<'a> {
    pub(super) fn part(text: &'a [u8], from: usize, to: usize) -> FieldBytes<'a> {
        FieldBytes { text, from, to }
    }

    pub(super) fn len(self) -> usize {
        self.to.saturating_sub(self.from)
    }

    pub(super) fn is_empty(self) -> bool {
        self.len() == 0
    }

    pub(super) fn bytes(self) -> &'a [u8] {
        self.text.get(self.from..self.to).unwrap_or_default()
    }

    pub(super) fn is_blank(self) -> bool {
        self.bytes().trim_ascii().is_empty()
    }

    /// The first bytes, with zeros behind the last one; short texts alone have all their bytes here.
    ///
    /// Read in one go where the text goes on for long enough: no branch hangs on the length.
    pub(super) fn words<const N: usize>(self) -> [u64; N] {
        let kept = KEPT.get(LONGEST - self.len().min(LONGEST)..).map_or([0; N], read);
        let words = match self.text.get(self.from..self.from + WORD * N) {
            Some(bytes) => read::<N>(bytes),
            None => read(&self.padded()),
        };
        std::array::from_fn(|at| words[at] & kept[at])
    }

    /// The text as words that are the same if and only if the texts are; none for one of 8·N bytes or more.
    pub(super) fn key<const N: usize>(self) -> Option<[u64; N]> {
        if self.len() >= WORD * N {
            return None;
        }
        let mut words = self.words::<N>();
        // Texts that end in zero bytes differ by their length.
        words[N - 1] |= (self.len() as u64) << 56;
        Some(words)
    }

    /// The bytes of a short text near the end of what it stands in.
    #[cold]
    fn padded(self) -> [u8; LONGEST] {
        let mut bytes = [0; LONGEST];
        for (to, from) in bytes.iter_mut().zip(self.bytes()) {
            *to = *from;
        }
        bytes
    }
}

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
                let inside = FieldBytes::part(&text, a.len(), a.len() + b.len());
                prop_assert_eq!(inside.bytes(), b);
                if let (Some(left), Some(right)) = (FieldBytes::from(a).key::<4>(), inside.key::<4>()) {
                    prop_assert_eq!(left == right, a == b);
                }
                if let (Some(left), Some(right)) = (FieldBytes::from(a).key::<2>(), inside.key::<2>()) {
                    prop_assert_eq!(left == right, a == b);
                }
            }
        }
    }
}
