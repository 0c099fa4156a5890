//! Texts that a log repeats, looked up by their bytes once they were understood.

use rustc_hash::FxHashMap;

/// Different spellings that are remembered, and the longest of them: a log that makes up a new one in
/// every row takes longer, not more room.
const MOST: usize = 4096;
const LONGEST: usize = 128;

/// What spellings were found to mean.
#[derive(Debug)]
pub(super) struct Interned<T>(FxHashMap<Box<[u8]>, T>);

impl<T: Copy> Interned<T> {
    pub(super) fn new() -> Interned<T> {
        Interned(FxHashMap::default())
    }

    /// What a spelling means, where that is known.
    #[inline]
    pub(super) fn get(&self, spelling: &[u8]) -> Option<T> {
        self.0.get(spelling).copied()
    }

    /// Remembers what a spelling means, as far as there is room.
    pub(super) fn remember(&mut self, spelling: &[u8], meaning: T) -> T {
        if spelling.len() <= LONGEST && self.0.len() < MOST {
            self.0.insert(spelling.into(), meaning);
        }
        meaning
    }
}
