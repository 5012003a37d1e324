//! A quick constructor: where a base can still stand on one floor.
//!
//! In: a floor and bases one after the other. Out: a spot for each, or none. A heuristic: "yes" is a
//! packing, "no" proves nothing. It keeps the maximal free rectangles (Jylänki, "A thousand ways to
//! pack the bin", 2010) and puts each base into a corner of one.

use super::piles::Shape;
use crate::plan::arrange::Arrange;

/// Where a base stands. `across` and `along` are its sides as it lies; in mm.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Spot {
    pub(super) shape: usize,
    pub(super) x: u32,
    pub(super) y: u32,
    pub(super) across: u32,
    pub(super) along: u32,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Gap {
    x: u32,
    y: u32,
    across: u32,
    along: u32,
}

impl Gap {
    fn holds(self, other: Self) -> bool {
        self.x <= other.x
            && self.y <= other.y
            && self.x + self.across >= other.x + other.across
            && self.y + self.along >= other.y + other.along
    }
}

/// Which spot is preferred.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Rule {
    /// Where the tighter side leaves the least.
    Snug,
    /// In front, then left.
    Low,
    /// In the smallest gap.
    Small,
}

impl Rule {
    pub(super) const ALL: [Self; 3] = [Self::Snug, Self::Low, Self::Small];
}

/// What is free of a floor, as maximal rectangles.
#[derive(Debug, Clone)]
pub(super) struct FreeSpace {
    gaps: Vec<Gap>,
}

impl FreeSpace {
    /// An empty floor; its longer side runs across.
    pub(super) fn of(floor: Shape) -> Self {
        Self { gaps: vec![Gap { x: 0, y: 0, across: floor.long, along: floor.short }] }
    }

    /// The best spot for a base by a rule, with its score (less is better); takes nothing yet.
    pub(super) fn best(&self, shape: usize, size: Shape, rule: Rule) -> Option<((u64, u64), Spot)> {
        let ways = [(size.long, size.short), (size.short, size.long)];
        let ways = if size.long == size.short { &ways[..1] } else { &ways[..] };
        let mut best: Option<((u64, u64), Spot)> = None;
        for gap in &self.gaps {
            for &(across, along) in ways {
                if across > gap.across || along > gap.along {
                    continue;
                }
                let (right, back) = (u64::from(gap.across - across), u64::from(gap.along - along));
                let score = match rule {
                    Rule::Snug => (right.min(back), right.max(back)),
                    Rule::Low => (u64::from(gap.y + along), u64::from(gap.x)),
                    Rule::Small => (u64::from(gap.across) * u64::from(gap.along), right.min(back)),
                };
                if best.is_none_or(|(known, _)| score < known) {
                    best = Some((score, Spot { shape, x: gap.x, y: gap.y, across, along }));
                }
            }
        }
        best
    }

    /// Takes a spot that [`Self::best`] gave.
    pub(super) fn take(&mut self, spot: Spot) {
        let (right, back) = (spot.x + spot.across, spot.y + spot.along);
        let mut cut = Vec::with_capacity(self.gaps.len() + 4);
        for gap in &self.gaps {
            let (gap_right, gap_back) = (gap.x + gap.across, gap.y + gap.along);
            if spot.x >= gap_right || right <= gap.x || spot.y >= gap_back || back <= gap.y {
                cut.push(*gap);
                continue;
            }
            if spot.x > gap.x {
                cut.push(Gap { across: spot.x - gap.x, ..*gap });
            }
            if right < gap_right {
                cut.push(Gap { x: right, across: gap_right - right, ..*gap });
            }
            if spot.y > gap.y {
                cut.push(Gap { along: spot.y - gap.y, ..*gap });
            }
            if back < gap_back {
                cut.push(Gap { y: back, along: gap_back - back, ..*gap });
            }
        }
        self.gaps.clear();
        for (index, gap) in cut.iter().enumerate() {
            let covered = cut.iter().enumerate().any(|(other, larger)| {
                other != index && larger.holds(*gap) && (*larger != *gap || other < index)
            });
            if !covered {
                self.gaps.push(*gap);
            }
        }
    }
}

/// Tries to put bases on one floor in several orders and by several rules.
pub(super) fn construct(floor: Shape, shapes: &[Shape], counts: &[u32]) -> Option<Vec<Spot>> {
    let mut bases: Vec<(usize, Shape)> = Vec::new();
    for (index, (&shape, &count)) in shapes.iter().zip(counts).enumerate() {
        bases.extend((0..count).map(|_| (index, shape)));
    }
    // Largest area first is how they come; then by longer side, by shorter side.
    for order in 0..3 {
        match order {
            0 => {}
            1 => bases.arrange_by_key(|(_, s)| std::cmp::Reverse((s.long, s.short))),
            _ => bases.arrange_by_key(|(_, s)| std::cmp::Reverse((s.short, s.long))),
        }
        for rule in Rule::ALL {
            let mut space = FreeSpace::of(floor);
            let spots: Option<Vec<Spot>> = bases
                .iter()
                .map(|&(index, size)| {
                    let (_, spot) = space.best(index, size, rule)?;
                    space.take(spot);
                    Some(spot)
                })
                .collect();
            if spots.is_some() {
                return spots;
            }
        }
    }
    None
}
