//! What stands behind rows, each phrase kept once.
//!
//! A phrase begins with the lengths of its two parts, so that all that a row needs of it lies together: with
//! them in a table apart, a profile showed the processor waiting twice.

use rustc_hash::FxHashMap;

use super::text::Text;

/// Bytes of phrases that are kept; then all is forgotten and begun anew.
const ROOM: usize = 4 * 1024 * 1024;

/// Where a phrase stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct PhraseAt(u32);

impl PhraseAt {
    /// No phrase.
    pub(super) const NONE: PhraseAt = PhraseAt(u32::MAX);
}

/// The phrases that were said.
#[derive(Debug, Default)]
pub(super) struct Phrases {
    text: Vec<u8>,
    known: FxHashMap<Box<[u8]>, PhraseAt>,
}

/// Bytes of a length.
const LENGTH: usize = size_of::<u32>();

impl Phrases {
    /// Whether it is time to forget them.
    #[inline]
    pub(super) fn are_many(&self) -> bool {
        self.text.len() > ROOM
    }

    /// Forgets them.
    pub(super) fn clear(&mut self) {
        self.text.clear();
        self.known.clear();
    }

    /// Keeps a phrase of two parts, or finds it.
    pub(super) fn keep(&mut self, first: &[u8], second: &[u8]) -> PhraseAt {
        let length = |part: &[u8]| u32::try_from(part.len()).unwrap_or(u32::MAX).to_le_bytes();
        let phrase = [&length(first), &length(second), first, second].concat();
        if let Some(&known) = self.known.get(phrase.as_slice()) {
            return known;
        }
        let at = PhraseAt(u32::try_from(self.text.len()).unwrap_or(u32::MAX));
        self.text.extend_from_slice(&phrase);
        self.known.insert(phrase.into(), at);
        at
    }

    /// The first part of a phrase.
    pub(super) fn first(&self, at: PhraseAt) -> &[u8] {
        let Parts { text, start, middle, .. } = self.parts(at);
        text.get(start..middle).unwrap_or_default()
    }

    /// Where the parts of a phrase begin, and where the second ends.
    #[inline]
    pub(super) fn parts(&self, at: PhraseAt) -> Parts<'_> {
        let at = at.0 as usize;
        let length = |from: usize| {
            let bytes = self.text.get(from..).and_then(|rest| rest.first_chunk());
            bytes.map_or(0, |bytes| u32::from_le_bytes(*bytes) as usize)
        };
        let start = at + 2 * LENGTH;
        let middle = start + length(at);
        Parts { text: &self.text, start, middle, end: middle + length(at + LENGTH) }
    }
}

/// The two parts of a phrase.
pub(super) struct Parts<'a> {
    text: &'a [u8],
    start: usize,
    middle: usize,
    end: usize,
}

impl Parts<'_> {
    /// Appends the first part.
    #[inline]
    pub(super) fn append_first(&self, text: &mut Text) {
        text.append_part(self.text, self.start, self.middle);
    }

    /// Appends the second part.
    #[inline]
    pub(super) fn append_second(&self, text: &mut Text) {
        text.append_part(self.text, self.middle, self.end);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Every phrase is found as it was kept, and equal ones in one place.
        #[test]
        fn phrases_stay_as_they_are(said in proptest::collection::vec(("[ab]{0,3}", "[ab]{0,90}"), 1..60)) {
            let mut phrases = Phrases::default();
            let places: Vec<PhraseAt> =
                said.iter().map(|(a, b)| phrases.keep(a.as_bytes(), b.as_bytes())).collect();
            for ((first, second), at) in said.iter().zip(&places) {
                let mut text = Text::default();
                let parts = phrases.parts(*at);
                parts.append_first(&mut text);
                prop_assert_eq!(text.as_slice(), first.as_bytes());
                text.clear();
                parts.append_second(&mut text);
                prop_assert_eq!(text.as_slice(), second.as_bytes());
            }
            for (a, at) in said.iter().zip(&places) {
                for (b, other) in said.iter().zip(&places) {
                    prop_assert_eq!(a == b, at == other);
                }
            }
        }
    }
}
