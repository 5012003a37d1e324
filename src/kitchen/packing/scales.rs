//! Dual feasible functions: lengths re-scaled so that what fits still fits.
//!
//! In: the length of a container and the lengths that occur. Out: functions `f` with: whenever lengths
//! add up to at most the container's, so do their images to at most the container's image. For two
//! such functions `f` and `g`, rectangles that lie in a container without overlap satisfy
//! `sum of f(width) * g(depth) <= f(Width) * g(Depth)`, because each of the two scalings can be carried
//! out on a packing (Fekete & Schepers 2004, "A general framework for bounds for higher-dimensional
//! orthogonal packing problems"). With turning, each base counts with the lesser of its two ways.

use crate::plan::arrange::Arrange;

/// One function for a container of one length.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Scale {
    /// Lengths within `cut` of the container count as all of it, lengths below `cut` as nothing.
    /// `cut` is at most half the container; 1 changes nothing.
    Cut(u32),
    /// Rounds down to multiples of a `parts + 1`-th of the container (exact multiples stay).
    Steps(u32),
    /// Counts whole `unit`s, from the container's end for lengths above its half
    /// (Carlier, Clautiaux & Moukrim 2007). `unit` is at most half the container.
    Units(u32),
}

impl Scale {
    /// The image of a length, for a container at least as long.
    pub(super) fn of(self, length: u32, container: u32) -> u64 {
        let (x, c) = (u64::from(length), u64::from(container));
        match self {
            Self::Cut(cut) => {
                let cut = u64::from(cut);
                if x + cut > c {
                    c
                } else if x < cut {
                    0
                } else {
                    x
                }
            }
            Self::Steps(parts) => {
                let parts = u64::from(parts);
                let grown = x * (parts + 1);
                if grown.is_multiple_of(c) { x * parts } else { grown / c * c }
            }
            Self::Units(unit) => {
                let unit = u64::from(unit);
                match (2 * x).cmp(&c) {
                    std::cmp::Ordering::Greater => 2 * (c / unit - (c - x) / unit),
                    std::cmp::Ordering::Equal => c / unit,
                    std::cmp::Ordering::Less => 2 * (x / unit),
                }
            }
        }
    }

    /// Functions worth trying for a container and the lengths that occur; the plain one comes first.
    pub(super) fn choices(container: u32, lengths: &[u32], most: usize) -> Vec<Self> {
        let mut found = vec![Self::Cut(1)];
        let half = container / 2;
        // The functions change only where a length, or what it leaves, is reached.
        let mut turns: Vec<u32> = lengths
            .iter()
            .filter(|&&length| length <= container)
            .flat_map(|&length| [length, length + 1, container - length + 1, container - length])
            .filter(|&turn| turn > 1 && turn <= half)
            .collect();
        turns.push(half);
        turns.retain(|&turn| turn >= 1);
        turns.arrange_by(|a, b| b.cmp(a));
        turns.dedup();
        let mut images: Vec<Vec<u64>> = vec![lengths.iter().map(|&l| u64::from(l)).collect()];
        let candidates = turns
            .iter()
            .map(|&turn| Self::Cut(turn))
            .chain((1..=4).map(Self::Steps))
            .chain(turns.iter().map(|&turn| Self::Units(turn)));
        for scale in candidates {
            let fitting =
                lengths.iter().map(|&l| if l <= container { scale.of(l, container) } else { 0 });
            let image: Vec<u64> = fitting.chain([scale.of(container, container)]).collect();
            if image.iter().any(|&value| value > 0) && !images.contains(&image) {
                images.push(image);
                found.push(scale);
            }
        }
        found.truncate(most);
        found
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn what_fits_still_fits_after_scaling(
            container in 1..200_u32,
            parts in prop::collection::vec(1..200_u32, 1..8),
            number in 1..100_u32,
        ) {
            let mut sum = 0;
            let parts: Vec<u32> =
                parts.into_iter().filter(|part| { let fits = sum + part <= container; if fits { sum += part; } fits }).collect();
            let mut scales = vec![Scale::Steps(number)];
            if number <= container / 2 {
                scales.extend([Scale::Cut(number), Scale::Units(number)]);
            }
            scales.extend(Scale::choices(container, &parts, 99));
            for scale in scales {
                let image: u64 = parts.iter().map(|&part| scale.of(part, container)).sum();
                prop_assert!(image <= scale.of(container, container), "{scale:?} {parts:?} {container}");
            }
        }
    }

    #[test]
    fn three_lengths_above_a_third_do_not_stand_in_one_row_of_two() {
        // 3 × 51 of 100: the cut at half makes each of them whole.
        assert_eq!(Scale::Cut(50).of(51, 100), 100);
        assert!(Scale::choices(100, &[51, 51, 51], 9).contains(&Scale::Cut(50)));
    }
}
