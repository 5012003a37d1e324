//! A brute-force twin of the packing search: slow, short, and built on another idea.
//!
//! It walks over the millimetres of every shelf, front to back and left to right, and at each one
//! either starts a pile with its corner there or leaves it. Whole millimetres are enough, because boxes
//! of whole sizes can be pushed until they touch. Only for tiny shelves.

mod dice;

use std::collections::HashSet;

use rackweek::kitchen::packing::{PackBox, PackProblem, PackShelf};

pub(crate) use dice::Dice;

struct Kind {
    width: u32,
    depth: u32,
    height: u32,
    pile: u32,
}

struct Twin<'a> {
    shelves: &'a [PackShelf],
    kinds: Vec<Kind>,
    /// What was tried in vain: shelf, cell, cells taken, boxes left.
    failed: HashSet<(usize, u32, u64, Vec<u32>)>,
}

/// Whether the boxes fit; for shelves of at most 64 cells.
pub(crate) fn brute_force(problem: &PackProblem) -> bool {
    let mut names: Vec<&str> = problem.boxes.iter().map(|b| b.kind.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    let mut left = Vec::new();
    let mut kinds = Vec::new();
    for name in names {
        let alike: Vec<_> = problem.boxes.iter().filter(|b| b.kind == *name).collect();
        left.push(u32::try_from(alike.len()).expect("few"));
        let PackBox { width, depth, height, pile, .. } = *alike[0];
        kinds.push(Kind { width, depth, height, pile });
    }
    Twin { shelves: &problem.shelves, kinds, failed: HashSet::new() }.walk(0, 0, 0, &mut left)
}

impl Twin<'_> {
    fn walk(&mut self, at: usize, cell: u32, taken: u64, left: &mut Vec<u32>) -> bool {
        if left.iter().all(|&boxes| boxes == 0) {
            return true;
        }
        let Some(shelf) = self.shelves.get(at) else { return false };
        let size = shelf.width * shelf.depth;
        // Counted generously: whole piles, all cells ahead.
        let beyond: u32 = self.shelves[at + 1..].iter().map(|s| s.width * s.depth).sum();
        let here = (cell..size).filter(|c| taken >> c & 1 == 0).count();
        let need: u32 = self
            .kinds
            .iter()
            .zip(left.iter())
            .map(|(kind, boxes)| boxes.div_ceil(kind.pile) * kind.width * kind.depth)
            .sum();
        if need > beyond + u32::try_from(here).expect("few") {
            return false;
        }
        if cell == size {
            return self.walk(at + 1, 0, 0, left);
        }
        let key = (at, cell, taken >> cell, left.clone());
        if self.failed.contains(&key) {
            return false;
        }
        let (x, y) = (cell % shelf.width, cell / shelf.width);
        for index in 0..self.kinds.len() {
            let &Kind { width, depth, height, pile } = &self.kinds[index];
            for (across, along) in [(width, depth), (depth, width)] {
                if x + across > shelf.width || y + along > shelf.depth {
                    continue;
                }
                let row = ((1_u64 << across) - 1) << cell;
                let base = (0..along).map(|step| row << (step * shelf.width)).sum::<u64>();
                if taken & base != 0 {
                    continue;
                }
                for high in
                    (1..=left[index].min(pile)).take_while(|high| high * height <= shelf.height)
                {
                    left[index] -= high;
                    let found = self.walk(at, cell + 1, taken | base, left);
                    left[index] += high;
                    if found {
                        return true;
                    }
                }
            }
        }
        let found = self.walk(at, cell + 1, taken, left);
        if !found {
            self.failed.insert(key);
        }
        found
    }
}

/// Kinds as (width, depth, height, pile, count), shelves as (width, depth, height).
pub(crate) fn question(
    shelves: &[(u32, u32, u32)],
    kinds: &[(u32, u32, u32, u32, u32)],
) -> PackProblem {
    let shelves = shelves.iter().enumerate().map(|(index, &(width, depth, height))| PackShelf {
        id: format!("s{index}"),
        width,
        depth,
        height,
    });
    let boxes =
        kinds.iter().enumerate().flat_map(|(kind, &(width, depth, height, pile, count))| {
            (0..count).map(move |number| PackBox {
                id: format!("b{kind}.{number}"),
                kind: format!("k{kind}"),
                width,
                depth,
                height,
                pile,
            })
        });
    PackProblem::new(shelves.collect(), boxes.collect())
}

/// A tiny question; its boxes take about as much as its shelves have.
pub(crate) fn tiny(dice: &mut Dice) -> PackProblem {
    let side = dice.roll(3, 6);
    let shelves: Vec<_> = (0..dice.roll(1, 3))
        .map(|_| (dice.roll(2, side), dice.roll(2, side), dice.roll(1, 4)))
        .collect();
    let floor: u32 = shelves.iter().map(|(w, d, _)| w * d).sum();
    let wanted = floor * dice.roll(60, 105) / 100;
    let mut kinds = Vec::new();
    let mut area = 0;
    while area < wanted && kinds.len() < 6 {
        let kind @ (width, depth, _, pile, count) = (
            dice.roll(1, side - 1),
            dice.roll(1, 4),
            dice.roll(1, 3),
            dice.roll(1, 3),
            if dice.roll(0, 2) == 0 { dice.roll(1, 4) } else { 1 },
        );
        let takes = width * depth * count.div_ceil(pile);
        if area + takes > floor {
            break;
        }
        area += takes;
        kinds.push(kind);
    }
    question(&shelves, &kinds)
}
