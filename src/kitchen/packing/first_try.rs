//! A quick try over all shelves: most questions of a real fridge end here with "yes".
//!
//! In: piles. Out: where each base stands, or none, which proves nothing.

use super::distribute::count;
use super::free_space::{FreeSpace, Rule, Spot};
use super::piles::Piles;
use crate::plan::arrange::Arrange;

/// A base on a shelf.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Base {
    /// Index in the question.
    pub(super) shelf: usize,
    /// Index in [`Piles::sorts`].
    pub(super) sort: usize,
    pub(super) spot: Spot,
}

/// Puts the largest bases first into the first or the best shelf, in several orders.
pub(super) fn first_try(piles: &Piles) -> Option<Vec<Base>> {
    let mut sorts: Vec<usize> = (0..piles.sorts.len()).collect();
    for by_side in [false, true] {
        if by_side {
            sorts.arrange_by_key(|&sort| {
                let shape = piles.sorts.get(sort).map(|s| piles.shape(s));
                std::cmp::Reverse(shape.map(|s| (s.long, s.short)))
            });
        }
        for rule in Rule::ALL {
            for first in [true, false] {
                let found = attempt(piles, &sorts, rule, first);
                if found.is_some() {
                    return found;
                }
            }
        }
    }
    None
}

struct Shelf {
    class: usize,
    /// Index in the question.
    number: usize,
    space: FreeSpace,
}

/// The best spot so far for the next base.
struct Choice {
    /// Less is better.
    score: (u32, (u64, u64)),
    /// Which of the shelves.
    at: usize,
    spot: Spot,
    levels: u32,
}

fn attempt(piles: &Piles, sorts: &[usize], rule: Rule, first: bool) -> Option<Vec<Base>> {
    let mut shelves: Vec<Shelf> = Vec::new();
    for (index, class) in piles.classes.iter().enumerate() {
        let space = FreeSpace::of(piles.floor(class));
        shelves.extend(class.shelves.iter().map(|&shelf| Shelf {
            class: index,
            number: shelf,
            space: space.clone(),
        }));
    }
    let mut bases = Vec::new();
    for &index in sorts {
        let sort = piles.sorts.get(index)?;
        let mut left = count(sort.boxes.len());
        while left > 0 {
            let mut best: Option<Choice> = None;
            for (at, shelf) in shelves.iter().enumerate() {
                let levels = sort.levels.get(shelf.class).copied().unwrap_or(0).min(left);
                if levels == 0 {
                    continue;
                }
                let Some((score, spot)) = shelf.space.best(sort.shape, piles.shape(sort), rule)
                else {
                    continue;
                };
                // High piles first: they save bases.
                let score = (u32::MAX - levels, if first { (at as u64, 0) } else { score });
                if best.as_ref().is_none_or(|known| score < known.score) {
                    best = Some(Choice { score, at, spot, levels });
                }
            }
            let Choice { at, spot, levels, .. } = best?;
            let shelf = shelves.get_mut(at)?;
            shelf.space.take(spot);
            bases.push(Base { shelf: shelf.number, sort: index, spot });
            left -= levels;
        }
    }
    Some(bases)
}
