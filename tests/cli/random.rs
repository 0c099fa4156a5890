//! A small generator with a fixed start, so that a failure can be repeated (Marsaglia's xorshift64).

pub struct Random(pub u64);

impl Random {
    pub fn below(&mut self, end: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % end
    }

    pub fn of<T: Copy>(&mut self, things: &[T]) -> T {
        things[usize::try_from(self.below(things.len() as u64)).unwrap()]
    }
}
