//! Random numbers that are the same in every run, so that a failure can be seen again.

/// A small generator (xorshift64*; Vigna, "An experimental exploration of Marsaglia's xorshift generators, scrambled";
/// from memory). Good enough to choose test cases, and nothing else.
#[derive(Clone, Debug)]
pub struct Random(u64);

impl Random {
    /// A generator for a seed.
    pub fn new(seed: u64) -> Self {
        let mut random = Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
        // Small seeds differ in few bits; a few steps spread them.
        for _ in 0..8 {
            random.bits();
        }
        random
    }

    /// 64 random bits.
    pub fn bits(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_f491_4f6c_dd1d)
    }

    /// A number from 0 to `end`, `end` excluded.
    pub fn below(&mut self, end: usize) -> usize {
        let end = u64::try_from(end).expect("a size fits 64 bits");
        usize::try_from(self.bits() % end).expect("below a size")
    }

    /// A number from `low` to `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        let share = (self.bits() >> 11) as f64 / (1u64 << 53) as f64;
        low + (high - low) * share
    }

    /// True with this chance.
    pub fn chance(&mut self, chance: f64) -> bool {
        self.between(0.0, 1.0) < chance
    }

    /// One of several.
    pub fn pick<'t, T>(&mut self, from: &'t [T]) -> &'t T {
        &from[self.below(from.len())]
    }

    /// Random bytes.
    pub fn bytes(&mut self, length: usize) -> Vec<u8> {
        std::iter::repeat_with(|| self.bits().to_le_bytes()[0])
            .take(length)
            .collect()
    }
}
