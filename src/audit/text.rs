//! Text put together from many short pieces.
//!
//! A piece is copied as a whole block, or two, into room that is there already, and what was too much is
//! written over by the next: a few instructions where a copy of just so many bytes takes a call. Behind a row
//! of a log stand six pieces.

/// Bytes copied together: enough for most pieces; a row of a log takes two.
const BLOCK: usize = 64;

/// A text that grows; it keeps its room when it is cleared.
#[derive(Debug, Default)]
pub(super) struct Text {
    bytes: Vec<u8>,
    length: usize,
}

impl Text {
    /// What it says.
    pub(super) fn as_slice(&self) -> &[u8] {
        self.bytes.get(..self.length).unwrap_or_default()
    }

    pub(super) fn clear(&mut self) {
        self.length = 0;
    }

    /// Appends a part of `from`.
    #[inline]
    pub(super) fn append_part(&mut self, from: &[u8], start: usize, end: usize) {
        let length = end.saturating_sub(start);
        let rest = from.get(start..).unwrap_or_default();
        if length <= BLOCK {
            if let Some(block) = rest.first_chunk::<BLOCK>() {
                return self.append_short(block, length);
            }
        } else if let Some(blocks) = rest.first_chunk::<{ 2 * BLOCK }>().filter(|_| length <= 2 * BLOCK) {
            return self.append_short(blocks, length);
        }
        self.append_slowly(rest.get(..length).unwrap_or(rest));
    }

    /// Appends the first bytes of a short piece.
    #[inline]
    pub(super) fn append_short<const N: usize>(&mut self, piece: &[u8; N], length: usize) {
        let room = self.bytes.get_mut(self.length..).and_then(|room| room.first_chunk_mut::<N>());
        if let Some(room) = room {
            *room = *piece;
            self.length += length.min(N);
        } else {
            self.append_slowly(piece.get(..length).unwrap_or(piece));
        }
    }

    /// Puts a piece in place of the last byte.
    pub(super) fn replace_last(&mut self, piece: &[u8]) {
        self.length = self.length.saturating_sub(1);
        self.append_slowly(piece);
    }

    /// Appends a piece that is long, stands at the end of what it is copied from, or has no room.
    #[inline(never)]
    pub(super) fn append_slowly(&mut self, piece: &[u8]) {
        let end = self.length + piece.len();
        if self.bytes.len() < end + 2 * BLOCK {
            self.bytes.resize(2 * (end + 2 * BLOCK), 0);
        }
        if let Some(room) = self.bytes.get_mut(self.length..end) {
            room.copy_from_slice(piece);
            self.length = end;
        }
    }
}

/// A piece with room behind it for whole blocks, to be appended often.
#[derive(Debug)]
pub(super) struct Piece {
    bytes: Vec<u8>,
    length: usize,
}

impl Piece {
    pub(super) fn new(mut bytes: Vec<u8>) -> Piece {
        let length = bytes.len();
        bytes.resize(length + BLOCK, 0);
        Piece { bytes, length }
    }

    /// What it says.
    pub(super) fn as_slice(&self) -> &[u8] {
        self.bytes.get(..self.length).unwrap_or_default()
    }

    /// Appends it.
    #[inline]
    pub(super) fn append_to(&self, text: &mut Text) {
        text.append_part(&self.bytes, 0, self.length);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn pieces_follow_each_other_whole(
            from in proptest::collection::vec(any::<u8>(), 0..400),
            pieces in proptest::collection::vec((0..450_usize, 0..450_usize, 0..12_usize), 0..60),
        ) {
            let (mut text, mut expected) = (Text::default(), Vec::new());
            for (start, end, short) in pieces {
                if start <= end && end <= from.len() {
                    text.append_part(&from, start, end);
                    expected.extend_from_slice(&from[start..end]);
                }
                text.append_short(b"0.123456789", short);
                expected.extend_from_slice(&b"0.123456789"[..short.min(11)]);
                Piece::new(from[..from.len().min(short)].to_vec()).append_to(&mut text);
                expected.extend_from_slice(&from[..from.len().min(short)]);
                text.append_slowly(&from[..from.len().min(short)]);
                expected.extend_from_slice(&from[..from.len().min(short)]);
                if short == 5 && expected.pop().is_some() {
                    text.replace_last(b"\r\n");
                    expected.extend_from_slice(b"\r\n");
                }
                prop_assert_eq!(text.as_slice(), &expected[..]);
                if short == 7 {
                    text.clear();
                    expected.clear();
                }
            }
        }
    }
}
