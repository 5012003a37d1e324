//! Free room beside what stands: where boxes can be put down while some piles keep their places.
//!
//! In: floors, piles that stand, boxes to come. Out: piles with all of them, or none. A quick way by a rule
//! ([`Room::put`]), and an exhaustive one within a node limit ([`Room::search`]).
//!
//! # Why the search misses nothing
//! Boxes to come can be pushed to the left and to the front until each touches a pile, another one, or the edge on
//! both of these sides. Rectangles without overlap can be put down one after the other so that what lies to the
//! left or in front is there first (every packing in the plane is "robot packable": den Boef, Korst, Martello,
//! Pisinger, Vigo, "Erratum to 'The three-dimensional bin packing problem'", Operations Research 53, 2005). So
//! it is enough to put each base where it touches on both sides what is already there. A pile as high as it may
//! be is never worse than a lower one, because it takes no more floor.

use std::collections::BTreeSet;

use crate::calendar::Elapsed;
use crate::plan::arrange::Arrange;

/// Equal boxes, which may stand on each other. In mm.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Kind {
    /// As the boxes have it.
    pub(super) name: String,
    /// Unlike all others: kinds of one name may differ in size.
    pub(super) called: String,
    pub(super) width: u32,
    pub(super) depth: u32,
    pub(super) height: u32,
    /// How high a pile may be.
    pub(super) pile: u32,
}

/// What is free of a surface, from its front left corner. In mm.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Floor {
    /// Index of the surface.
    pub(super) surface: usize,
    pub(super) width: u32,
    pub(super) depth: u32,
    /// Clear height; `u32::MAX`: open above.
    pub(super) height: u32,
}

impl Floor {
    /// How many boxes of a kind may stand on each other here; 0: none stands here.
    pub(super) fn levels(&self, kind: &Kind) -> u32 {
        let lies = (kind.width <= self.width && kind.depth <= self.depth)
            || (kind.depth <= self.width && kind.width <= self.depth);
        if lies { kind.pile.min(self.height / kind.height.max(1)) } else { 0 }
    }

    /// Whether anything of it is free at all.
    pub(super) fn is_there(&self) -> bool {
        self.width > 0 && self.depth > 0
    }

    fn area(&self) -> u64 {
        u64::from(self.width) * u64::from(self.depth)
    }
}

/// Where a pile stands. `across` and `along` are its sides as it lies. In mm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Base {
    /// Index of the floor.
    pub(super) floor: usize,
    pub(super) x: u32,
    pub(super) y: u32,
    pub(super) across: u32,
    pub(super) along: u32,
    /// Index of the kind.
    pub(super) kind: usize,
}

impl Base {
    fn right(&self) -> u32 {
        self.x + self.across
    }

    fn back(&self) -> u32 {
        self.y + self.along
    }

    fn overlaps(&self, other: &Self) -> bool {
        self.floor == other.floor
            && self.x < other.right()
            && other.x < self.right()
            && self.y < other.back()
            && other.y < self.back()
    }

    /// mm of its edge that lie on another's.
    fn touch(&self, other: &Self) -> u32 {
        let shared = |a: (u32, u32), b: (u32, u32)| a.1.min(b.1).saturating_sub(a.0.max(b.0));
        let mut sum = 0;
        if self.x == other.right() || other.x == self.right() {
            sum += shared((self.y, self.back()), (other.y, other.back()));
        }
        if self.y == other.back() || other.y == self.back() {
            sum += shared((self.x, self.right()), (other.x, other.right()));
        }
        sum
    }
}

/// Boxes on one base, bottom up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Pile {
    pub(super) base: Base,
    /// By index, as the caller counts them.
    pub(super) boxes: Vec<usize>,
    /// The first moment at which one of them goes: what stands on them longer has to be lifted then.
    pub(super) until: Elapsed,
}

/// A box to be put down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Coming {
    pub(super) number: usize,
    pub(super) kind: usize,
    pub(super) until: Elapsed,
}

/// By which rule free room is chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Rule {
    /// On the lowest shelf that does, in front, then left.
    Front,
    /// Where most of its edge touches something.
    Snug,
    /// What stays long from the left, what goes soon from the right.
    Sides,
    /// On the emptiest shelf that does.
    Apart,
}

/// In which order boxes are put down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Turn {
    /// The largest first.
    Large,
    /// The one that stays longest first.
    Long,
}

/// How the search ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Found {
    Yes,
    No,
    /// The nodes ran out.
    Open,
}

/// Piles on floors.
#[derive(Debug, Clone)]
pub(super) struct Room<'a> {
    pub(super) floors: &'a [Floor],
    pub(super) kinds: &'a [Kind],
    pub(super) piles: Vec<Pile>,
}

impl Room<'_> {
    /// Puts down what comes, one after the other, by a rule; what finds no room is handed back.
    pub(super) fn put(&mut self, coming: &[Coming], rule: Rule, turn: Turn) -> Vec<Coming> {
        let mut order: Vec<Coming> = coming.to_vec();
        let area = |one: &Coming| {
            self.kinds.get(one.kind).map_or(0, |kind| u64::from(kind.width) * u64::from(kind.depth))
        };
        match turn {
            Turn::Large => order.arrange_by_key(|one| {
                std::cmp::Reverse((area(one), one.kind, one.until, std::cmp::Reverse(one.number)))
            }),
            Turn::Long => order.arrange_by_key(|one| {
                std::cmp::Reverse((one.until, area(one), one.kind, std::cmp::Reverse(one.number)))
            }),
        }
        let mut ends: Vec<Elapsed> =
            self.piles.iter().map(|pile| pile.until).chain(order.iter().map(|c| c.until)).collect();
        ends.arrange();
        let middle = ends.get(ends.len() / 2).copied().unwrap_or_default();
        order.retain(|one| !self.put_one(*one, rule, middle));
        order
    }

    /// On a pile where it will not be in the way, else on a floor, else on any pile.
    fn put_one(&mut self, one: Coming, rule: Rule, middle: Elapsed) -> bool {
        let well = self.pile_with_room(one, true);
        let spot = if well.is_none() { self.spot(one, rule, middle) } else { None };
        if let Some(base) = spot {
            self.piles.push(Pile { base, boxes: vec![one.number], until: one.until });
            return true;
        }
        let Some(pile) = well.or_else(|| self.pile_with_room(one, false)) else { return false };
        if let Some(pile) = self.piles.get_mut(pile) {
            pile.boxes.push(one.number);
            pile.until = pile.until.min(one.until);
        }
        true
    }

    /// A pile of its kind that may grow; `well`: of boxes that go no sooner than it does.
    fn pile_with_room(&self, one: Coming, well: bool) -> Option<usize> {
        let kind = self.kinds.get(one.kind)?;
        let grows = |pile: &Pile| {
            pile.base.kind == one.kind
                && (!well || one.until <= pile.until)
                && self.floors.get(pile.base.floor).is_some_and(|floor| {
                    pile.boxes.len() < usize::try_from(floor.levels(kind)).unwrap_or(usize::MAX)
                })
        };
        (0..self.piles.len())
            .filter(|&pile| self.piles.get(pile).is_some_and(grows))
            .min_by_key(|&pile| self.piles.get(pile).map(|pile| pile.until))
    }

    fn spot(&self, one: Coming, rule: Rule, middle: Elapsed) -> Option<Base> {
        let kind = self.kinds.get(one.kind)?;
        let mut best: Option<((u64, u64, u64), Base)> = None;
        for (index, floor) in self.floors.iter().enumerate() {
            if floor.levels(kind) == 0 {
                continue;
            }
            let here: Vec<&Base> =
                self.piles.iter().map(|pile| &pile.base).filter(|b| b.floor == index).collect();
            let taken: u64 =
                here.iter().map(|base| u64::from(base.across) * u64::from(base.along)).sum();
            let free = floor.area().saturating_sub(taken);
            if free < u64::from(kind.width) * u64::from(kind.depth) {
                continue;
            }
            for (across, along) in ways(kind) {
                if across > floor.width || along > floor.depth {
                    continue;
                }
                let mut xs = edges(here.iter().map(|base| base.right()), floor.width - across);
                if rule == Rule::Sides {
                    xs.extend(here.iter().filter_map(|base| base.x.checked_sub(across)));
                    xs.push(floor.width - across);
                }
                let ys = edges(here.iter().map(|base| base.back()), floor.depth - along);
                for &x in &xs {
                    for &y in &ys {
                        let base = Base { floor: index, x, y, across, along, kind: one.kind };
                        if here.iter().any(|other| other.overlaps(&base)) {
                            continue;
                        }
                        let rank = index as u64;
                        let (front, left) = (u64::from(base.back()), u64::from(x));
                        let score = match rule {
                            Rule::Front => (rank, front, left),
                            Rule::Snug => {
                                (rank, u64::MAX - u64::from(touched(floor, &base, &here)), front)
                            }
                            Rule::Sides if one.until < middle => {
                                (rank, u64::from(floor.width - base.right()), front)
                            }
                            Rule::Sides => (rank, left, front),
                            Rule::Apart => (u64::MAX - free, front, left),
                        };
                        if best.as_ref().is_none_or(|(known, _)| score < *known) {
                            best = Some((score, base));
                        }
                    }
                }
            }
        }
        best.map(|(_, base)| base)
    }

    /// Puts down all that comes, or nothing. Exhaustive, but for `nodes`, from which what is used is taken.
    pub(super) fn search(&mut self, coming: &[Coming], nodes: &mut u64) -> Found {
        // On what stands first: that takes no floor.
        let mut order: Vec<Coming> = coming.to_vec();
        order.arrange_by_key(|one| std::cmp::Reverse((one.until, std::cmp::Reverse(one.number))));
        let mut grown = self.clone();
        order.retain(|one| match grown.pile_with_room(*one, false) {
            Some(pile) => {
                if let Some(pile) = grown.piles.get_mut(pile) {
                    pile.boxes.push(one.number);
                    pile.until = pile.until.min(one.until);
                }
                false
            }
            None => true,
        });
        let mut left = vec![0_u32; self.kinds.len()];
        for one in &order {
            if let Some(count) = left.get_mut(one.kind) {
                *count += 1;
            }
        }
        let mut search = Search {
            floors: self.floors,
            kinds: self.kinds,
            bases: grown.piles.iter().map(|pile| pile.base).collect(),
            new: Vec::new(),
            failed: BTreeSet::new(),
        };
        let found = search.go(&mut left, nodes);
        if found == Found::Yes {
            self.piles = grown.piles;
            for base in search.new {
                let (Some(floor), Some(kind)) =
                    (self.floors.get(base.floor), self.kinds.get(base.kind))
                else {
                    continue;
                };
                let mut pile = Pile { base, boxes: Vec::new(), until: Elapsed(i32::MAX) };
                for _ in 0..floor.levels(kind) {
                    let Some(at) = order.iter().position(|one| one.kind == base.kind) else {
                        break;
                    };
                    let one = order.remove(at);
                    pile.boxes.push(one.number);
                    pile.until = pile.until.min(one.until);
                }
                self.piles.push(pile);
            }
        }
        found
    }
}

/// Both ways to turn a kind, or the only one.
fn ways(kind: &Kind) -> impl Iterator<Item = (u32, u32)> {
    let turned = (kind.width != kind.depth).then_some((kind.depth, kind.width));
    std::iter::once((kind.width, kind.depth)).chain(turned)
}

/// 0 and these edges up to the last one that leaves enough: sorted, each once.
fn edges(of: impl Iterator<Item = u32>, last: u32) -> Vec<u32> {
    let mut edges: Vec<u32> = std::iter::once(0).chain(of).filter(|edge| *edge <= last).collect();
    edges.arrange();
    edges.dedup();
    edges
}

fn touched(floor: &Floor, base: &Base, others: &[&Base]) -> u32 {
    let mut sum: u32 = others.iter().map(|other| base.touch(other)).sum();
    for (touches, edge) in [
        (base.x == 0, base.along),
        (base.y == 0, base.across),
        (base.right() == floor.width, base.along),
        (base.back() == floor.depth, base.across),
    ] {
        if touches {
            sum += edge;
        }
    }
    sum
}

struct Search<'a> {
    floors: &'a [Floor],
    kinds: &'a [Kind],
    /// All that stand.
    bases: Vec<Base>,
    /// Those put down by this search.
    new: Vec<Base>,
    /// New bases, sorted, from which no way led on.
    failed: BTreeSet<Vec<Base>>,
}

impl Search<'_> {
    fn go(&mut self, left: &mut Vec<u32>, nodes: &mut u64) -> Found {
        if left.iter().all(|count| *count == 0) {
            return Found::Yes;
        }
        if *nodes == 0 {
            return Found::Open;
        }
        *nodes -= 1;
        if self.too_little(left) {
            return Found::No;
        }
        let mut key = self.new.clone();
        key.arrange();
        if self.failed.contains(&key) {
            return Found::No;
        }
        for kind in 0..left.len() {
            let Some(&count) = left.get(kind) else { continue };
            if count == 0 {
                continue;
            }
            for base in self.spots(kind) {
                let levels = self.levels(base);
                self.bases.push(base);
                self.new.push(base);
                if let Some(rest) = left.get_mut(kind) {
                    *rest = count.saturating_sub(levels);
                }
                let found = self.go(left, nodes);
                if found == Found::Yes {
                    return found;
                }
                if let Some(rest) = left.get_mut(kind) {
                    *rest = count;
                }
                self.bases.pop();
                self.new.pop();
                if found == Found::Open {
                    return found;
                }
            }
        }
        self.failed.insert(key);
        Found::No
    }

    fn levels(&self, base: Base) -> u32 {
        match (self.floors.get(base.floor), self.kinds.get(base.kind)) {
            (Some(floor), Some(kind)) => floor.levels(kind),
            _ => 0,
        }
    }

    /// Whether the floors that are left are smaller than what has to stand on them.
    fn too_little(&self, left: &[u32]) -> bool {
        let area = |base: &Base| u64::from(base.across) * u64::from(base.along);
        let taken: u64 = self.bases.iter().map(area).sum();
        let all: u64 = self.floors.iter().map(Floor::area).sum();
        let needed: u64 = self
            .kinds
            .iter()
            .zip(left)
            .filter(|(_, count)| **count > 0)
            .map(|(kind, count)| {
                let levels = self.floors.iter().map(|floor| floor.levels(kind)).max().unwrap_or(0);
                if levels == 0 {
                    return u64::MAX / 64;
                }
                u64::from(count.div_ceil(levels)) * u64::from(kind.width) * u64::from(kind.depth)
            })
            .sum();
        all.saturating_sub(taken) < needed
    }

    /// Where a base of a kind touches something to its left and in front of it. Of empty floors that are alike one
    /// is enough.
    fn spots(&self, kind: usize) -> Vec<Base> {
        let mut spots = Vec::new();
        let Some(of) = self.kinds.get(kind) else { return spots };
        let mut empty: Vec<&Floor> = Vec::new();
        for (index, floor) in self.floors.iter().enumerate() {
            if floor.levels(of) == 0 {
                continue;
            }
            let here: Vec<&Base> = self.bases.iter().filter(|base| base.floor == index).collect();
            if here.is_empty() {
                let like = |known: &&Floor| {
                    (known.width, known.depth, known.height)
                        == (floor.width, floor.depth, floor.height)
                };
                if empty.iter().any(like) {
                    continue;
                }
                empty.push(floor);
            }
            for (across, along) in ways(of) {
                if across > floor.width || along > floor.depth {
                    continue;
                }
                for &x in &edges(here.iter().map(|base| base.right()), floor.width - across) {
                    for &y in &edges(here.iter().map(|base| base.back()), floor.depth - along) {
                        let base = Base { floor: index, x, y, across, along, kind };
                        let left = x == 0
                            || here.iter().any(|other| {
                                other.right() == x && other.y < base.back() && y < other.back()
                            });
                        let front = y == 0
                            || here.iter().any(|other| {
                                other.back() == y && other.x < base.right() && x < other.right()
                            });
                        if left && front && !here.iter().any(|other| other.overlaps(&base)) {
                            spots.push(base);
                        }
                    }
                }
            }
        }
        spots
    }
}
