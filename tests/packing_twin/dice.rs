//! Chance that is the same on every machine.

/// Numbers that look random and are the same everywhere (`SplitMix64`).
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    /// From `least` to `most`, both included.
    pub(crate) fn roll(&mut self, least: u32, most: u32) -> u32 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        least + u32::try_from(z % u64::from(most - least + 1)).expect("small")
    }
}
