//! A small seeded generator (splitmix64, Steele, Lea & Flood 2014): the same numbers on every machine.

/// The state.
#[derive(Debug, Clone)]
pub(super) struct Random(u64);

impl Random {
    pub(super) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x2545_F491_4F6C_DD1D).wrapping_add(0x1234_5678_9ABC_DEF1))
    }

    pub(super) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Below `n`, which is above 0.
    pub(super) fn below(&mut self, n: usize) -> usize {
        let wide = u128::from(self.next()) * u128::try_from(n.max(1)).unwrap_or(1);
        usize::try_from(wide >> 64).unwrap_or(0)
    }

    /// True `n` times in `of`.
    pub(super) fn chance(&mut self, n: usize, of: usize) -> bool {
        self.below(of) < n
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seed_fixes_the_numbers_and_they_stay_below() {
        let draw = |seed: u64| {
            let mut random = Random::new(seed);
            (0..200).map(|_| random.below(7)).collect::<Vec<_>>()
        };
        assert_eq!(draw(1), draw(1));
        assert_ne!(draw(1), draw(2));
        assert!((0..7).all(|number| draw(1).contains(&number)));
        assert!(draw(1).iter().all(|&number| number < 7));
    }
}
