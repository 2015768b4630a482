//! Order by lot, the same for the same seed on every machine.
//!
//! The generator is `SplitMix64` (Steele, Lea and Flood, 2014): enough for folds and for the order of trials.

/// A source of numbers by lot.
#[derive(Clone, Debug)]
pub struct Lot(u64);

impl Lot {
    /// From a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 bits.
    pub fn next_bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A whole number below `count`, which is above zero.
    pub fn below(&mut self, count: usize) -> usize {
        usize::try_from(self.next_bits() % count as u64).unwrap_or(0)
    }

    /// Between zero and one, neither reached.
    pub fn share(&mut self) -> f64 {
        ((self.next_bits() >> 11) as f64 + 0.5) / 9_007_199_254_740_992.0
    }

    /// From the standard normal distribution.
    pub fn normal(&mut self) -> f64 {
        let (a, b) = (self.share(), self.share());
        (-2.0 * a.ln()).sqrt() * (2.0 * std::f64::consts::PI * b).cos()
    }
}

/// Puts a list in an order by lot.
pub fn shuffle<T>(list: &mut [T], seed: u64) {
    let mut lot = Lot::new(seed);
    for at in (1..list.len()).rev() {
        list.swap(at, lot.below(at + 1));
    }
}
