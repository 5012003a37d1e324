//! How much dearer a neighbour may be: falls from several times what neighbours typically differ by to next
//! to nothing, then begins again with more patience (simulated annealing, Kirkpatrick et al. 1983, restarted).
//!
//! In: the typical difference, a generator. Out: allowances. Knows neither board nor moves.

use crate::random::Random;

/// Neighbourhoods of the first cooling.
const FIRST: u64 = 4_000;
/// Halvings from the greatest temperature to the least.
const HALVINGS: u64 = 8;
/// Greatest temperatures of successive coolings, in quarters of typical differences.
const TOPS: [i64; 4] = [6, 2, 24, 4];

/// A cooling schedule. Temperatures are costs.
#[derive(Debug, Clone)]
pub(super) struct Cooling {
    typical: i64,
    round: usize,
    length: u64,
    age: u64,
}

impl Cooling {
    /// A first, short one.
    pub(super) fn new(typical: i64) -> Self {
        Self { typical: typical.clamp(1, 1 << 30), round: 0, length: FIRST, age: 0 }
    }

    /// Of so many steps.
    pub(super) fn lasting(typical: i64, length: u64) -> Self {
        Self { length, ..Self::new(typical) }
    }

    /// Whether this cooling is at its end.
    pub(super) fn over(&self) -> bool {
        self.age >= self.length
    }

    /// Only the colder half of this cooling: what there is shall be tidied up, not thrown over.
    pub(super) fn brief(&mut self) {
        self.age = self.length / 2;
    }

    /// The next one is half as long again.
    pub(super) fn again(&mut self) {
        self.length += self.length / 2;
        self.age = 0;
        self.round += 1;
    }

    /// How much dearer the next neighbour may be: exponentially distributed.
    pub(super) fn step(&mut self, random: &mut Random) -> i64 {
        const PARTS: u64 = 1_024;
        // The last part of it is a mere descent.
        let progress = self.age * (HALVINGS + 1) * PARTS / self.length;
        self.age += 1;
        if progress >= HALVINGS * PARTS {
            return 0;
        }
        let part = i64::try_from(progress % PARTS).unwrap_or(0);
        let top = self.typical * TOPS[self.round % TOPS.len()] * 64;
        let heat = (top >> (progress / PARTS)) * (2_048 - part) / 2_048;
        heat * exponential(random) / 65_536
    }
}

/// Exponentially distributed with mean 256: 177 (256 ln 2) for each halving of a uniform number, straight
/// between two powers of two. Integers, so that every machine draws the same.
fn exponential(random: &mut Random) -> i64 {
    let draw = random.next();
    let whole = draw.leading_zeros().min(40);
    let below = i64::try_from((draw << (whole + 1)) >> 56).unwrap_or(0);
    (i64::from(whole) + 1) * 177 - below * 177 / 256
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn allowances_fall_and_have_the_mean_that_they_claim() {
        let mut random = Random::new(3);
        let mean = (0..20_000).map(|_| exponential(&mut random)).sum::<i64>() / 20_000;
        assert!((240..=275).contains(&mean), "{mean}");
        let mut cooling = Cooling::new(1_000);
        let first: i64 = (0..100).map(|_| cooling.step(&mut random)).sum();
        while !cooling.over() {
            cooling.step(&mut random);
        }
        cooling.age -= cooling.length / 5;
        let last: i64 = (0..100).map(|_| cooling.step(&mut random)).sum();
        assert!(first > 100_000 && last < first / 60, "{first} {last}");
    }
}
