//! Reach: how much of a free stretch sides of bases can fill at most.
//!
//! In: bases with their ways of turning. Out: for each stretch up to the floor's length, the largest sum
//! of sides that is not longer, each base giving one side or none.

/// One way of turning a base: sides as searched (grown) and as they are.
#[derive(Debug, Clone, Copy)]
pub(super) struct Way {
    pub(super) across: u32,
    pub(super) along: u32,
    pub(super) real: (u32, u32),
}

/// Equal bases.
#[derive(Debug, Clone)]
pub(super) struct Bases {
    pub(super) shape: usize,
    pub(super) count: u32,
    pub(super) ways: Vec<Way>,
}

impl Bases {
    pub(super) fn least_area(&self) -> u64 {
        self.ways.iter().map(|w| u64::from(w.across) * u64::from(w.along)).min().unwrap_or(0)
    }
}

/// For each free stretch, the largest part of it that sides of remaining bases can fill.
pub(super) struct Reach {
    across: Vec<u16>,
    along: Vec<u16>,
}

impl Reach {
    /// Each base gives one of its sides, or none.
    pub(super) fn of<'a>(
        across: u32,
        along: u32,
        bases: impl Iterator<Item = (&'a Bases, u32)> + Clone,
    ) -> Self {
        Self {
            across: largest_sums(
                across,
                bases.clone().map(|(b, n)| (b, n, Way::side_across as Side)),
            ),
            along: largest_sums(along, bases.map(|(b, n)| (b, n, Way::side_along as Side))),
        }
    }

    pub(super) fn across(&self, stretch: u32) -> u32 {
        self.across.get(stretch as usize).map_or(stretch, |&sum| u32::from(sum))
    }

    pub(super) fn along(&self, stretch: u32) -> u32 {
        self.along.get(stretch as usize).map_or(stretch, |&sum| u32::from(sum))
    }
}

type Side = fn(&Way) -> u32;

impl Way {
    fn side_across(&self) -> u32 {
        self.across
    }

    fn side_along(&self) -> u32 {
        self.along
    }
}

/// For each stretch up to `most`, the largest sum of sides that is not longer.
fn largest_sums<'a>(most: u32, bases: impl Iterator<Item = (&'a Bases, u32, Side)>) -> Vec<u16> {
    let words = most as usize / 64 + 1;
    let mut sums = vec![0_u64; words];
    if let Some(first) = sums.first_mut() {
        *first = 1;
    }
    for (base, count, side) in bases {
        for _ in 0..count {
            let mut next = sums.clone();
            for way in &base.ways {
                let shift = side(way) as usize;
                let (step, bits) = (shift / 64, shift % 64);
                for (index, to) in next.iter_mut().enumerate().skip(step) {
                    let low = sums.get(index - step).copied().unwrap_or(0) << bits;
                    let carried = match (bits, (index - step).checked_sub(1)) {
                        (1.., Some(before)) => {
                            sums.get(before).copied().unwrap_or(0) >> (64 - bits)
                        }
                        _ => 0,
                    };
                    *to |= low | carried;
                }
            }
            if next == sums {
                break;
            }
            sums = next;
        }
    }
    let mut largest = 0_u16;
    (0..=most)
        .map(|stretch| {
            let word = sums.get(stretch as usize / 64).copied().unwrap_or(0);
            if word >> (stretch % 64) & 1 == 1 {
                largest = u16::try_from(stretch).unwrap_or(u16::MAX);
            }
            largest
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_are_the_largest_that_fit() {
        let way = |across, along| Way { across, along, real: (across, along) };
        let bases = Bases { shape: 0, count: 2, ways: vec![way(5, 3), way(3, 5)] };
        let reach = Reach::of(70, 9, [(&bases, 2)].into_iter());
        let across: Vec<u32> = (0..12).map(|stretch| reach.across(stretch)).collect();
        assert_eq!(across, [0, 0, 0, 3, 3, 5, 6, 6, 8, 8, 10, 10]);
        assert_eq!((reach.across(70), reach.along(9)), (10, 8));
        let long = Bases { shape: 0, count: 3, ways: vec![way(64, 1)] };
        let reach = Reach::of(200, 1, [(&long, 3)].into_iter());
        assert_eq!(
            [63, 64, 127, 128, 191, 192].map(|s| reach.across(s)),
            [0, 64, 64, 128, 128, 192]
        );
    }
}
