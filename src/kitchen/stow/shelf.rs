//! Shelves and the counter from change to change: who keeps its place, who is moved.
//!
//! In: which boxes go and which come. Out: piles in which all stand, with few moved; or that they do not fit.

use std::collections::BTreeMap;

use super::room::{Base, Coming, Floor, Found, Kind, Pile, Room, Rule, Turn};
use super::{Fit, Spent};
use crate::calendar::Elapsed;
use crate::kitchen::packing::{Answer, PackBox, PackProblem, PackShelf, Placed, pack_counting};
use crate::plan::arrange::Arrange;

/// One box of a stay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Item {
    pub(super) stay: usize,
    pub(super) of: usize,
    pub(super) number: u16,
    /// Index of the kind.
    pub(super) kind: usize,
    pub(super) from: Elapsed,
    pub(super) until: Elapsed,
}

/// What the exact packer said, by the floors and how many boxes of each kind were to stand on them.
pub(super) type Answers = BTreeMap<(usize, Vec<u32>), Answer>;

/// What may be asked, and what was.
#[derive(Debug)]
pub(super) struct Asked<'a> {
    /// For each question put to the packer, and for each change.
    pub(super) node_limit: u64,
    pub(super) answers: &'a mut Answers,
    pub(super) spent: &'a mut Spent,
}

/// Floors and kinds of boxes: what a change is decided by.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shop<'a> {
    /// Which of the ways in which the place is free over time.
    pub(super) form: usize,
    pub(super) floors: &'a [Floor],
    pub(super) kinds: &'a [Kind],
    pub(super) items: &'a [Item],
}

/// What one attempt to make room for boxes may cost of the change's nodes.
const ATTEMPT_SHARE: u64 = 10;
/// A quick attempt counts as so many nodes.
const QUICK: u64 = 4;

impl Shop<'_> {
    fn coming(&self, numbers: &[usize]) -> Vec<Coming> {
        let of = |&number: &usize| {
            let item = self.items.get(number)?;
            Some(Coming { number, kind: item.kind, until: item.until })
        };
        numbers.iter().filter_map(of).collect()
    }

    /// How many of each kind.
    pub(super) fn counts(&self, numbers: &[usize]) -> Vec<u32> {
        let mut counts = vec![0; self.kinds.len()];
        for item in numbers.iter().filter_map(|&number| self.items.get(number)) {
            if let Some(count) = counts.get_mut(item.kind) {
                *count += 1;
            }
        }
        counts
    }

    /// Whether so many boxes of each kind stand on these floors, exactly.
    pub(super) fn fits(&self, counts: &[u32], asked: &mut Asked<'_>) -> Answer {
        let used = counts.iter().rposition(|count| *count > 0).map_or(0, |last| last + 1);
        let key = (self.form, counts.iter().take(used).copied().collect::<Vec<u32>>());
        if let Some(answer) = asked.answers.get(&key) {
            return answer.clone();
        }
        let free = self.floors.iter().enumerate().filter(|(_, floor)| floor.is_there());
        let shelves = free.map(|(index, floor)| PackShelf {
            id: index.to_string(),
            width: floor.width,
            depth: floor.depth,
            // A question can say no more than this.
            height: floor.height.min(10_000),
        });
        let mut boxes = Vec::new();
        for (kind, &count) in self.kinds.iter().zip(counts) {
            boxes.extend((0..count).map(|number| PackBox {
                id: format!("{} {number}", kind.called),
                kind: kind.called.clone(),
                width: kind.width,
                depth: kind.depth,
                height: kind.height,
                pile: kind.pile,
            }));
        }
        let problem = PackProblem::new(shelves.collect(), boxes);
        let (answer, nodes) = pack_counting(&problem, asked.node_limit);
        asked.spent.packings += 1;
        asked.spent.nodes += nodes;
        asked.answers.insert(key, answer.clone());
        answer
    }

    /// After a change: `before` is what stood, `gone` and `come` are boxes by number. Out: the piles, and
    /// whether all fit; where they do not, with those that found room.
    pub(super) fn change(
        &self,
        before: &[Pile],
        gone: &dyn Fn(usize) -> bool,
        come: &[usize],
        way: (Rule, Turn),
        asked: &mut Asked<'_>,
    ) -> (Vec<Pile>, Fit) {
        // What stood on something that goes is lifted, and what stands on room that is no longer free.
        let mut piles = Vec::new();
        let mut lifted = Vec::new();
        for pile in before {
            let levels = self.levels(&pile.base);
            let still = pile.boxes.iter().take(levels).take_while(|&&number| !gone(number)).count();
            let (stay, rest) = pile.boxes.split_at(still);
            lifted.extend(rest.iter().copied().filter(|&number| !gone(number)));
            piles.extend(self.pile(pile.base, stay));
        }
        let mut free = come.to_vec();
        free.extend(&lifted);
        let room = Room { floors: self.floors, kinds: self.kinds, piles };
        let coming = self.coming(&free);
        let mut quick = room.clone();
        let left = quick.put(&coming, way.0, way.1);
        if left.is_empty() {
            return (quick.piles, Fit::Packed);
        }
        let mut all = free.clone();
        all.extend(room.piles.iter().flat_map(|pile| pile.boxes.iter().copied()));
        let answer = self.fits(&self.counts(&all), asked);
        if let Answer::Impossible(why) = answer {
            return (quick.piles, Fit::Impossible(why));
        }
        let mut nodes = asked.node_limit;
        let found = self.with_few_moved(&room, &free, way, &mut nodes);
        asked.spent.placings += asked.node_limit - nodes;
        if let Some(piles) = found {
            return (piles, Fit::Packed);
        }
        if let Answer::Fits(placed) = answer {
            return (self.anew(before, &all, &placed), Fit::Packed);
        }
        (quick.piles, Fit::NotProven)
    }

    /// How high a pile may be on this base now; 0: it reaches out of what is free.
    fn levels(&self, base: &Base) -> usize {
        let (floor, kind) = (self.floors.get(base.floor), self.kinds.get(base.kind));
        let (Some(floor), Some(kind)) = (floor, kind) else { return 0 };
        let inside = base.x + base.across <= floor.width && base.y + base.along <= floor.depth;
        if inside { usize::try_from(floor.levels(kind)).unwrap_or(usize::MAX) } else { 0 }
    }

    fn pile(&self, base: Base, boxes: &[usize]) -> Option<Pile> {
        let ends = boxes.iter().filter_map(|&number| Some(self.items.get(number)?.until));
        Some(Pile { base, boxes: boxes.to_vec(), until: ends.min()? })
    }

    /// Lets all but none, one, two … of the boxes that stand keep their places, until the others find room.
    fn with_few_moved(
        &self,
        room: &Room<'_>,
        free: &[usize],
        way: (Rule, Turn),
        nodes: &mut u64,
    ) -> Option<Vec<Pile>> {
        let all = *nodes;
        let heights: Vec<usize> = room.piles.iter().map(|pile| pile.boxes.len()).collect();
        let most: usize = heights.iter().sum();
        for moved in 0..=most {
            let mut taken = vec![0; heights.len()];
            let mut found = None;
            choose(&heights, moved, 0, &mut taken, &mut |taken| {
                let (piles, numbers) = self.take_up(room, taken, free);
                let coming = self.coming(&numbers);
                let mut attempt = Room { piles, ..room.clone() };
                if moved > 0 {
                    let mut quick = attempt.clone();
                    *nodes = nodes.saturating_sub(QUICK);
                    if quick.put(&coming, way.0, way.1).is_empty() {
                        found = Some(quick.piles);
                        return true;
                    }
                }
                let share = (all / ATTEMPT_SHARE).min(*nodes);
                let mut left = share;
                if attempt.search(&coming, &mut left) == Found::Yes {
                    found = Some(attempt.piles);
                }
                *nodes -= share - left;
                found.is_some() || *nodes == 0
            });
            if found.is_some() || *nodes == 0 {
                return found;
            }
        }
        None
    }

    /// The piles without so many boxes from the top of each, and all boxes that are to be put down.
    fn take_up(&self, room: &Room<'_>, taken: &[usize], free: &[usize]) -> (Vec<Pile>, Vec<usize>) {
        let mut numbers = free.to_vec();
        let mut piles = Vec::new();
        for (pile, &taken) in room.piles.iter().zip(taken) {
            let (stay, up) = pile.boxes.split_at(pile.boxes.len().saturating_sub(taken));
            numbers.extend(up);
            piles.extend(self.pile(pile.base, stay));
        }
        (piles, numbers)
    }

    /// The packer's own answer, each floor the way round in which most piles stand where one stood before.
    fn anew(&self, before: &[Pile], all: &[usize], placed: &[Placed]) -> Vec<Pile> {
        let mut bases: BTreeMap<Base, u32> = BTreeMap::new();
        for one in placed {
            let floor = one.shelf.parse().unwrap_or(0);
            // The packer's boxes are called by kind and number.
            let kind = one.id.rsplit_once(' ').map_or(one.id.as_str(), |(kind, _)| kind);
            let Some(index) = self.kinds.iter().position(|of| of.called == kind) else { continue };
            let Some(of) = self.kinds.get(index) else { continue };
            let (across, along) =
                if one.turned { (of.depth, of.width) } else { (of.width, of.depth) };
            let base = Base { floor, x: one.x, y: one.y, across, along, kind: index };
            let high = bases.entry(base).or_default();
            *high = (*high).max(one.level + 1);
        }
        let stood = |base: &Base| before.iter().find(|pile| pile.base == *base);
        let mut chosen: Vec<(Base, u32)> = Vec::new();
        for (index, floor) in self.floors.iter().enumerate() {
            let here: Vec<(Base, u32)> = bases
                .iter()
                .filter(|(base, _)| base.floor == index)
                .map(|(base, high)| (*base, *high))
                .collect();
            let mirrored = |mirror: usize| {
                here.iter().map(move |(base, high)| {
                    let x =
                        if mirror % 2 == 1 { floor.width - base.x - base.across } else { base.x };
                    let y =
                        if mirror / 2 == 1 { floor.depth - base.y - base.along } else { base.y };
                    (Base { x, y, ..*base }, *high)
                })
            };
            let best = (0..4).max_by_key(|&mirror| {
                (mirrored(mirror).filter(|(base, _)| stood(base).is_some()).count(), 4 - mirror)
            });
            chosen.extend(mirrored(best.unwrap_or(0)));
        }
        // What stood on a base that is used again stays there, from below; the others take what is left.
        let mut left = all.to_vec();
        let mut piles: Vec<(Base, u32, Vec<usize>)> = Vec::new();
        for (base, high) in chosen {
            let mut boxes = Vec::new();
            for &number in stood(&base).map_or(&[][..], |pile| pile.boxes.as_slice()) {
                let Some(at) = left.iter().position(|&one| one == number) else { break };
                if boxes.len() < usize::try_from(high).unwrap_or(usize::MAX) {
                    left.remove(at);
                    boxes.push(number);
                }
            }
            piles.push((base, high, boxes));
        }
        left.arrange_by_key(|&number| {
            (std::cmp::Reverse(self.items.get(number).map(|item| item.until)), number)
        });
        for (base, high, boxes) in &mut piles {
            while boxes.len() < usize::try_from(*high).unwrap_or(usize::MAX) {
                let of_kind = |&number: &usize| {
                    self.items.get(number).is_some_and(|item| item.kind == base.kind)
                };
                let Some(at) = left.iter().position(of_kind) else { break };
                boxes.push(left.remove(at));
            }
        }
        piles.iter().filter_map(|(base, _, boxes)| self.pile(*base, boxes)).collect()
    }
}

/// Every way to take `sum` boxes from the tops of piles, until one is good enough.
fn choose(
    heights: &[usize],
    sum: usize,
    at: usize,
    taken: &mut Vec<usize>,
    good: &mut dyn FnMut(&[usize]) -> bool,
) -> bool {
    if at == heights.len() {
        return sum == 0 && good(taken);
    }
    let beyond: usize = heights.iter().skip(at + 1).sum();
    let most = heights.get(at).copied().unwrap_or(0).min(sum);
    for now in sum.saturating_sub(beyond)..=most {
        if let Some(slot) = taken.get_mut(at) {
            *slot = now;
        }
        if choose(heights, sum - now, at + 1, taken, good) {
            return true;
        }
    }
    if let Some(slot) = taken.get_mut(at) {
        *slot = 0;
    }
    false
}
