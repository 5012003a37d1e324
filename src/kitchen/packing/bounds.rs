//! Proofs that need no search: what is too high, too large, too much, or side by side nowhere.
//!
//! In: piles and floors. Out: a reason in words, or a quick test for what remains during the search.
//!
//! Areas are summed for each set of shelves on which some sort stands: whatever stands nowhere else
//! needs its area there. The same is done with re-scaled areas (see `scales`): a base that takes `t` of
//! the `g` that a floor gives counts as `t / g` of that floor's area, rounded down.

use super::PackProblem;
use super::distribute::count;
use super::floors::Floors;
use super::piles::{Piles, Shape};
use crate::plan::arrange::Arrange;

/// Pairs of scalings kept for each set of shelves, besides the plain area.
const KEPT: usize = 6;

/// Lower bounds on the area, under one pair of scalings, that one sort takes.
#[derive(Debug, Clone, Copy)]
struct Share {
    /// Of a whole base.
    base: u64,
    /// Of one box in the best pile.
    single: u64,
    /// Boxes in the highest pile.
    highest: u32,
}

impl Share {
    fn of(self, boxes: u32) -> u64 {
        let by_base = self.base.saturating_mul(u64::from(boxes.div_ceil(self.highest.max(1))));
        by_base.max(self.single.saturating_mul(u64::from(boxes)))
    }
}

/// Sorts that stand on these classes only, and what they take of them.
struct Group {
    classes: Vec<usize>,
    sorts: Vec<usize>,
    /// For each pair of scalings kept: the share of each sort, in the order of `sorts`.
    shares: Vec<Vec<Share>>,
}

/// The tests for one question.
pub(super) struct Bounds {
    groups: Vec<Group>,
    /// Area of a shelf of each class, mm².
    areas: Vec<u64>,
}

impl Bounds {
    pub(super) fn of(piles: &Piles, floors: &Floors) -> Self {
        let areas: Vec<u64> = piles.classes.iter().map(|class| piles.floor(class).area()).collect();
        let mut sets: Vec<Vec<usize>> =
            piles.sorts.iter().map(|sort| classes_of(&sort.levels)).collect();
        sets.arrange();
        sets.dedup();
        let mut bounds = Self { groups: Vec::new(), areas };
        let rest: Vec<u32> = piles.sorts.iter().map(|sort| count(sort.boxes.len())).collect();
        let pairs = piles.classes.iter().map(|class| floors.scaled(class.floor).len()).max();
        for classes in sets {
            let sorts: Vec<usize> = (0..piles.sorts.len())
                .filter(|&sort| {
                    let own =
                        piles.sorts.get(sort).map(|s| classes_of(&s.levels)).unwrap_or_default();
                    own.iter().all(|class| classes.contains(class))
                })
                .collect();
            let mut shares: Vec<Vec<Share>> = (0..pairs.unwrap_or(0))
                .map(|pair| {
                    sorts.iter().map(|&sort| bounds.share(piles, floors, sort, pair)).collect()
                })
                .collect();
            let mut group = Group { classes, sorts, shares: Vec::new() };
            if shares.is_empty() {
                continue;
            }
            let plain = shares.remove(0);
            // The pairs under which most is taken now are the likeliest to prove something later.
            shares.arrange_by_key(|share| std::cmp::Reverse(group.taken(share, &rest)));
            shares.truncate(KEPT);
            shares.insert(0, plain);
            group.shares = shares;
            bounds.groups.push(group);
        }
        bounds
    }

    fn share(&self, piles: &Piles, floors: &Floors, sort: usize, pair: usize) -> Share {
        let mut share = Share { base: u64::MAX, single: u64::MAX, highest: 0 };
        let Some(sort) = piles.sorts.get(sort) else { return share };
        for (at, class) in piles.classes.iter().enumerate() {
            let levels = sort.levels.get(at).copied().unwrap_or(0);
            let area = self.areas.get(at).copied().unwrap_or(0);
            let scaled = floors.scaled(class.floor);
            let Some(scaled) = scaled.get(pair).or(scaled.first()).filter(|_| levels > 0) else {
                continue;
            };
            let takes = scaled.takes.get(sort.shape).copied().unwrap_or(0);
            let part = |of: u64| {
                let part = u128::from(takes) * u128::from(area) / u128::from(of.max(1));
                u64::try_from(part).unwrap_or(u64::MAX)
            };
            share.base = share.base.min(part(scaled.gives));
            share.single = share.single.min(part(scaled.gives * u64::from(levels)));
            share.highest = share.highest.max(levels);
        }
        share
    }

    /// Whether what remains cannot stand on what is free.
    pub(super) fn exceeded(&self, free: &[u32], rest: &[u32]) -> bool {
        self.first_exceeded(free, rest, |_| true).is_some()
    }

    /// The first group that takes more than there is under a wanted pair of scalings (0: plain), with
    /// what is taken and given.
    fn first_exceeded(
        &self,
        free: &[u32],
        rest: &[u32],
        wanted: impl Fn(usize) -> bool,
    ) -> Option<(&Group, u64, u64)> {
        self.groups.iter().find_map(|group| {
            let given: u64 = group
                .classes
                .iter()
                .map(|&class| {
                    let shelves = free.get(class).copied().unwrap_or(0);
                    u64::from(shelves) * self.areas.get(class).copied().unwrap_or(0)
                })
                .sum();
            group.shares.iter().enumerate().filter(|(pair, _)| wanted(*pair)).find_map(
                |(_, shares)| {
                    let taken = group.taken(shares, rest);
                    (taken > given).then_some((group, taken, given))
                },
            )
        })
    }
}

impl Group {
    fn taken(&self, shares: &[Share], rest: &[u32]) -> u64 {
        let of = |(share, &sort): (&Share, &usize)| share.of(rest.get(sort).copied().unwrap_or(0));
        shares.iter().zip(&self.sorts).map(of).fold(0, u64::saturating_add)
    }
}

fn classes_of(levels: &[u32]) -> Vec<usize> {
    levels.iter().enumerate().filter(|(_, level)| **level > 0).map(|(class, _)| class).collect()
}

/// A box that stands on no shelf, in words.
pub(super) fn stands_nowhere(problem: &PackProblem, piles: &Piles) -> Option<String> {
    let sort = piles.sorts.iter().find(|sort| sort.levels.iter().all(|&level| level == 0))?;
    let item = problem.boxes.get(*sort.boxes.first()?)?;
    Some(format!(
        "box {:?} ({} × {} × {} mm) stands on no shelf, turned or not",
        item.id, item.width, item.depth, item.height
    ))
}

/// Too much area, either plain or re-scaled, in words.
pub(super) fn too_much(
    problem: &PackProblem,
    piles: &Piles,
    bounds: &Bounds,
    plain: bool,
) -> Option<String> {
    let free: Vec<u32> = piles.classes.iter().map(|class| count(class.shelves.len())).collect();
    let rest: Vec<u32> = piles.sorts.iter().map(|sort| count(sort.boxes.len())).collect();
    let (group, taken, given) = bounds.first_exceeded(&free, &rest, |pair| (pair == 0) == plain)?;
    let boxes: usize =
        group.sorts.iter().filter_map(|&s| piles.sorts.get(s)).map(|s| s.boxes.len()).sum();
    let shelves: Vec<String> = group
        .classes
        .iter()
        .filter_map(|&class| piles.classes.get(class))
        .flat_map(|class| &class.shelves)
        .filter_map(|&shelf| problem.shelves.get(shelf))
        .map(|shelf| format!("{:?}", shelf.id))
        .collect();
    let (boxes, shelves) = (boxes_in_words(boxes), shelves.join(", "));
    Some(if plain {
        format!(
            "{boxes} that stand only on {shelves} need at least {} cm² in the best piles, there are {} cm²",
            taken.div_ceil(100),
            given / 100
        )
    } else {
        format!(
            "{boxes} that stand only on {shelves} are too large beside each other: each counted with \
             what no other box could use beside it, they need {} cm² of {} cm²",
            taken.div_ceil(100),
            given / 100
        )
    })
}

pub(super) fn boxes_in_words(boxes: usize) -> String {
    if boxes == 1 { "1 box".to_owned() } else { format!("{boxes} boxes") }
}

/// More piles than shelves, no two of which stand on one shelf, in words.
pub(super) fn too_many_apart(problem: &PackProblem, piles: &Piles) -> Option<String> {
    let mut apart: Vec<usize> = Vec::new();
    let mut needed = 0;
    for (index, sort) in piles.sorts.iter().enumerate() {
        if apart.iter().any(|&other| piles.may_share(index, other)) {
            continue;
        }
        apart.push(index);
        let highest = sort.levels.iter().copied().max().unwrap_or(1).max(1);
        let alone = !piles.may_share(index, index);
        needed += if alone { sort.boxes.len().div_ceil(highest as usize) } else { 1 };
    }
    let on_some = |class: &usize| {
        let stands = |&sort: &usize| {
            piles.sorts.get(sort).is_some_and(|s| s.levels.get(*class).is_some_and(|&l| l > 0))
        };
        apart.iter().any(stands)
    };
    let shelves: usize = (0..piles.classes.len())
        .filter(on_some)
        .filter_map(|class| piles.classes.get(class))
        .map(|class| class.shelves.len())
        .sum();
    if needed <= shelves {
        return None;
    }
    let names: Vec<String> = apart
        .iter()
        .filter_map(|&sort| problem.boxes.get(*piles.sorts.get(sort)?.boxes.first()?))
        .map(|item| format!("{:?}", item.kind))
        .collect();
    Some(format!(
        "{needed} piles ({}) stand beside each other on no shelf, and only {shelves} shelves take them",
        names.join(", ")
    ))
}

impl Piles {
    /// Whether some shelf takes a base of each of two sorts (of one: two bases) at once.
    fn may_share(&self, one: usize, other: usize) -> bool {
        let (Some(a), Some(b)) = (self.sorts.get(one), self.sorts.get(other)) else { return false };
        self.classes.iter().enumerate().any(|(at, class)| {
            let stand = |levels: &[u32]| levels.get(at).is_some_and(|&level| level > 0);
            stand(&a.levels)
                && stand(&b.levels)
                && side_by_side(self.shape(a), self.shape(b), self.floor(class))
        })
    }
}

fn side_by_side(a: Shape, b: Shape, floor: Shape) -> bool {
    let ways = |s: Shape| [(s.long, s.short), (s.short, s.long)];
    ways(a).into_iter().any(|(a_across, a_along)| {
        ways(b).into_iter().any(|(b_across, b_along)| {
            (a_across + b_across <= floor.long && a_along.max(b_along) <= floor.short)
                || (a_along + b_along <= floor.short && a_across.max(b_across) <= floor.long)
        })
    })
}
