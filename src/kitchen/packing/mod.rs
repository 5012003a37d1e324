//! Exact packing of shelves: will these boxes stand on these shelves, and how?
//!
//! In: shelves and boxes in mm ([`PackProblem`]). Out: coordinates for every box, a proof that there
//! is no way, or "not proven" when the node limit came first ([`Answer`]). Knows nothing of products,
//! orders and time; no clock, no chance, no floating point: the same question has the same answer
//! everywhere.
//!
//! Boxes stand with their sides along the shelf's sides, turned by 0 or 90 degrees, never tipped. Equal
//! boxes may stand on each other. From the question to the answer:
//!
//! 1. `piles`: which bases of piles are to be placed, with equal boxes and equal shelves put together;
//! 2. `first_try` (with `free_space`): a quick constructive "yes";
//! 3. `bounds` (with `scales`): proofs of "no" without search;
//! 4. `distribute`: exact search over what goes on which shelf, asking `floors`, which knows what was
//!    asked before and else searches one floor exactly (`staircase`, with `reach`);
//! 5. `draw`: coordinates of boxes.
//!
//! `distribute` and `staircase` each say why they miss nothing. [`verify`] holds any answer against the
//! question and shares no code with all this.

mod bounds;
mod distribute;
mod draw;
mod first_try;
mod floors;
mod format;
mod free_space;
mod household;
mod mixer;
mod piles;
mod reach;
mod scales;
mod staircase;
mod verify;

pub use format::{PACK_FORMAT, PackAnswer, PackBox, PackProblem, PackShelf, Placed};
pub use verify::verify;

use bounds::{Bounds, boxes_in_words, stands_nowhere, too_many_apart, too_much};
use distribute::{Ended, distribute};
use draw::draw;
use first_try::{Base, first_try};
use floors::Floors;
use piles::Piles;

/// Enough for all but the most contrived questions of a domestic fridge, and at most about a tenth of a
/// second natively.
pub const NODE_LIMIT: u64 = 20_000;

/// What became of a question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Answer {
    /// Yes, like this: one entry for each box, in the question's order.
    Fits(Vec<Placed>),
    /// No, and why: a proof.
    Impossible(String),
    /// Neither was proved within the limit; to be treated as not fitting.
    NotProven {
        /// Search nodes used.
        nodes: u64,
    },
}

/// Whether the boxes stand on the shelves, with at most `node_limit` search nodes.
///
/// The question should be [valid](PackProblem::validate); of one that is not, nothing is promised but
/// an answer.
pub fn pack(problem: &PackProblem, node_limit: u64) -> Answer {
    pack_counting(problem, node_limit).0
}

/// The same, with the number of search nodes used.
pub fn pack_counting(problem: &PackProblem, node_limit: u64) -> (Answer, u64) {
    let piles = Piles::of(problem);
    if let Some(why) = stands_nowhere(problem, &piles) {
        return (Answer::Impossible(why), 0);
    }
    if let Some(placed) = first_try(&piles).and_then(|bases| draw(problem, &piles, &bases)) {
        return (Answer::Fits(placed), 0);
    }
    let mut floors = Floors::of(&piles, node_limit);
    let bounds = Bounds::of(&piles, &floors);
    let no = too_much(problem, &piles, &bounds, true)
        .or_else(|| too_many_apart(problem, &piles))
        .or_else(|| too_much(problem, &piles, &bounds, false));
    if let Some(why) = no {
        return (Answer::Impossible(why), 0);
    }
    let ended = distribute(&piles, &bounds, &mut floors);
    let nodes = floors.meter.used.min(node_limit);
    let answer = match ended {
        Ended::Fits(filled) => {
            let placed = bases(&piles, &floors, &filled).and_then(|b| draw(problem, &piles, &b));
            placed.map_or(Answer::NotProven { nodes }, Answer::Fits)
        }
        Ended::No => Answer::Impossible(format!(
            "every way to stand {} on {} shelves was ruled out ({nodes} search nodes)",
            boxes_in_words(problem.boxes.len()),
            problem.shelves.len()
        )),
        Ended::Open => Answer::NotProven { nodes },
    };
    (answer, nodes)
}

/// The spots of each filled shelf, dealt out to the sorts.
fn bases(piles: &Piles, floors: &Floors, filled: &[distribute::Filled]) -> Option<Vec<Base>> {
    let mut free: Vec<_> = piles.classes.iter().map(|class| class.shelves.iter()).collect();
    let mut bases = Vec::new();
    for fill in filled {
        let class = piles.classes.get(fill.class)?;
        let shelf = *free.get_mut(fill.class)?.next()?;
        let mut counts = vec![0; piles.shapes.len()];
        for (sort, &n) in piles.sorts.iter().zip(&fill.bases) {
            *counts.get_mut(sort.shape)? += n;
        }
        let mut spots = floors.spots(class.floor, &counts)?;
        for (index, (sort, &n)) in piles.sorts.iter().zip(&fill.bases).enumerate() {
            for _ in 0..n {
                let at = spots.iter().position(|spot| spot.shape == sort.shape)?;
                bases.push(Base { shelf, sort: index, spot: spots.swap_remove(at) });
            }
        }
    }
    Some(bases)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #![proptest_config(ProptestConfig { cases: 1_000, failure_persistence: None, ..ProptestConfig::default() })]

        /// The distribution alone finds what the quick try finds, and is as sound.
        #[test]
        fn the_exact_way_agrees_with_the_short_cuts(
            shelves in prop::collection::vec((2..7_u32, 2..6_u32, 1..4_u32), 1..4),
            kinds in prop::collection::vec((1..5_u32, 1..5_u32, 1..3_u32, 1..4_u32, 1..4_u32), 1..5),
        ) {
            let shelf = |(id, &(width, depth, height)): (usize, &(u32, u32, u32))| {
                PackShelf { id: id.to_string(), width, depth, height }
            };
            let mut boxes = Vec::new();
            for (kind, &(width, depth, height, pile, count)) in kinds.iter().enumerate() {
                boxes.extend((0..count).map(|number| PackBox {
                    id: format!("{kind}.{number}"), kind: kind.to_string(), width, depth, height, pile,
                }));
            }
            let problem = PackProblem::new(shelves.iter().enumerate().map(shelf).collect(), boxes);
            let piles = Piles::of(&problem);
            if stands_nowhere(&problem, &piles).is_some() {
                return Ok(());
            }
            let mut floors = Floors::of(&piles, u64::MAX);
            let bounds = Bounds::of(&piles, &floors);
            let short = pack(&problem, u64::MAX);
            match distribute(&piles, &bounds, &mut floors) {
                Ended::Fits(filled) => {
                    let bases = bases(&piles, &floors, &filled).expect("spots");
                    let placed = draw(&problem, &piles, &bases).expect("every box");
                    prop_assert_eq!(verify(&problem, &placed), Vec::<String>::new());
                    prop_assert!(matches!(short, Answer::Fits(_)));
                }
                Ended::No => prop_assert!(matches!(short, Answer::Impossible(_))),
                Ended::Open => prop_assert!(false, "open without a limit"),
            }
        }
    }
}
