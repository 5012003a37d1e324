//! What room is free on a surface: its area, and the largest box that still stands there.

use crate::kitchen::stow::Surface;
use crate::plan::arrange::Arrange;

use super::moments::BoxView;
use super::words::{across, area, size};

/// A base or a height below this is of no use to anybody, mm.
const USELESS: u32 = 50;

/// The largest free box: of all that stand on the surface itself the one with the largest base.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FreeBox {
    /// Left edge, mm.
    pub x: u32,
    /// Front edge, mm.
    pub y: u32,
    /// Left to right, mm.
    pub width: u32,
    /// Front to back, mm.
    pub depth: u32,
    /// mm; 0: open above.
    pub height: u32,
}

/// What is free of one surface.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Room {
    /// mm² of the part for baking on which nothing stands.
    pub free: u64,
    /// mm² of the part for baking.
    pub whole: u64,
    /// None: nothing of use.
    pub largest: Option<FreeBox>,
    /// In a sentence without its end, for example "7 dm² free; the largest box that fits: 24 × 33 × 19 cm".
    pub words: String,
}

/// A rectangle on the floor, by its edges.
type Edges = (u32, u32, u32, u32);

impl Room {
    /// On a surface on which these boxes stand, those of other surfaces left out of account.
    pub(super) fn of(index: usize, surface: &Surface, boxes: &[BoxView]) -> Self {
        let Some((width, depth, height)) = surface.free else {
            return Self {
                free: 0,
                whole: 0,
                largest: None,
                words: "all of it is kept by the household".to_owned(),
            };
        };
        let taken: Vec<Edges> = boxes
            .iter()
            .filter(|one| one.surface == index && one.level == 0)
            .map(|one| (one.x, one.y, one.x + one.width, one.y + one.depth))
            .collect();
        let whole = u64::from(width) * u64::from(depth);
        let covered: u64 = taken
            .iter()
            .map(|(x, y, right, back)| u64::from(right - x) * u64::from(back - y))
            .sum();
        let free = whole.saturating_sub(covered);
        let largest = largest(width, depth, &taken)
            .filter(|(x, y, right, back)| USELESS <= right - x && USELESS <= back - y)
            .map(|(x, y, right, back)| FreeBox { x, y, width: right - x, depth: back - y, height });
        let words = match (largest, taken.is_empty()) {
            (None, _) => "full".to_owned(),
            (Some(found), true) => format!("empty: {} for baking", spacious(found)),
            (Some(found), false) => {
                format!("{} free; the largest box that fits: {}", area(free), spacious(found))
            }
        };
        Self { free, whole, largest, words }
    }
}

/// "24 × 33 × 19 cm", "60 × 60 cm, open above".
fn spacious(found: FreeBox) -> String {
    match found.height {
        0 => format!("{}, open above", across(found.width, found.depth)),
        height => size(found.width, found.depth, height),
    }
}

/// The empty rectangle with the largest area. One of maximal size has its left and right edges at edges of
/// what stands there, so trying every pair of these misses none; of equal ones the frontmost, then leftmost.
fn largest(width: u32, depth: u32, taken: &[Edges]) -> Option<Edges> {
    let mut lefts: Vec<u32> = taken.iter().map(|edges| edges.2).chain([0]).collect();
    let mut rights: Vec<u32> = taken.iter().map(|edges| edges.0).chain([width]).collect();
    for edges in [&mut lefts, &mut rights] {
        edges.retain(|at| *at <= width);
        edges.arrange();
        edges.dedup();
    }
    let mut best: Option<(u64, Edges)> = None;
    for &left in &lefts {
        for &right in rights.iter().filter(|right| left < **right) {
            let between = taken.iter().filter(|edges| edges.0 < right && left < edges.2);
            let mut blocked: Vec<(u32, u32)> = between.map(|edges| (edges.1, edges.3)).collect();
            blocked.arrange();
            let mut front = 0;
            for (from, to) in blocked.into_iter().chain([(depth, depth)]) {
                if front < from {
                    let size = u64::from(right - left) * u64::from(from - front);
                    let found = (left, front, right, from);
                    let better = best.is_none_or(|(known, edges)| {
                        known < size || (known == size && (found.1, found.0) < (edges.1, edges.0))
                    });
                    if better {
                        best = Some((size, found));
                    }
                }
                front = front.max(to);
            }
        }
    }
    best.map(|(_, edges)| edges)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn an_empty_floor_is_free_as_a_whole() {
        assert_eq!(largest(480, 330, &[]), Some((0, 0, 480, 330)));
        assert_eq!(largest(480, 330, &[(0, 0, 480, 330)]), None);
    }

    #[test]
    fn beside_and_behind_a_box_the_larger_side_wins() {
        assert_eq!(largest(480, 330, &[(0, 0, 200, 200)]), Some((200, 0, 480, 330)));
        assert_eq!(largest(480, 330, &[(0, 0, 400, 100)]), Some((0, 100, 480, 330)));
    }

    proptest! {
        /// Held against counting on a grid of cm: nothing larger is free, and what is named is free.
        #[test]
        fn no_free_rectangle_is_larger(
            taken in prop::collection::vec((0..8_u32, 0..6_u32, 1..4_u32, 1..4_u32), 0..5),
        ) {
            let (width, depth) = (8, 6);
            let taken: Vec<Edges> = taken
                .into_iter()
                .map(|(x, y, w, d)| (x, y, (x + w).min(width), (y + d).min(depth)))
                .collect();
            let free = |x: u32, y: u32| {
                !taken.iter().any(|e| e.0 <= x && x < e.2 && e.1 <= y && y < e.3)
            };
            let mut most = 0;
            for left in 0..width {
                for right in left + 1..=width {
                    for front in 0..depth {
                        for back in front + 1..=depth {
                            let all = (left..right).all(|x| (front..back).all(|y| free(x, y)));
                            if all {
                                most = most.max((right - left) * (back - front));
                            }
                        }
                    }
                }
            }
            let found = largest(width, depth, &taken);
            let size = found.map_or(0, |(x, y, right, back)| (right - x) * (back - y));
            prop_assert_eq!(size, most);
            if let Some((x, y, right, back)) = found {
                prop_assert!((x..right).all(|x| (y..back).all(|y| free(x, y))));
            }
        }
    }
}
