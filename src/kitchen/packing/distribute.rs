//! Which bases go on which shelf, exactly.
//!
//! In: piles and floors. Out: for each shelf used, how many bases of each sort; or "no", or "open".
//!
//! # Method and why nothing is missed
//! Take the sort that is hardest to place among those that remain (fewest free shelves, then largest
//! base). In any solution one of its bases stands on some shelf not yet used; equal shelves can be
//! exchanged, so one shelf per class is tried. That shelf is filled at once, and only with *maximal*
//! sets, to which no useful base can be added: in a solution, moving a base there from a later shelf
//! leaves a solution. What remains and which shelves are free is all that the future depends on, so a
//! state that failed once is not tried again.
//!
//! A floor's answer may be open at the present effort. Then the set is passed over, and the search is
//! repeated with more effort unless it ends with "yes" before; "no" is only said when no floor was open.

use std::collections::HashSet;

use super::bounds::Bounds;
use super::floors::{Floors, Stands};
use super::mixer::Mixed;
use super::piles::Piles;

/// Bases of each sort on one shelf of a class.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Filled {
    pub(super) class: usize,
    pub(super) bases: Vec<u32>,
}

/// How a distribution ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Ended {
    Fits(Vec<Filled>),
    No,
    Open,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Step {
    Found,
    Dead,
    Out,
}

/// Nodes for one set in the first round; ten times as many in each further one.
const EFFORT_FIRST: u64 = 300;

struct Distribution<'a> {
    piles: &'a Piles,
    bounds: &'a Bounds,
    floors: &'a mut Floors,
    failed: HashSet<Box<[u32]>, Mixed>,
    filled: Vec<Filled>,
    /// Some floor was open, so "dead" proves nothing.
    open: bool,
}

/// Distributes all bases, with growing effort, until it knows or the meter has run out.
pub(super) fn distribute(piles: &Piles, bounds: &Bounds, floors: &mut Floors) -> Ended {
    let limit = floors.meter.limit;
    let mut effort = EFFORT_FIRST;
    loop {
        floors.effort = effort.min(limit);
        let mut round = Distribution {
            piles,
            bounds,
            floors: &mut *floors,
            failed: HashSet::default(),
            filled: Vec::new(),
            open: false,
        };
        let mut free: Vec<u32> =
            piles.classes.iter().map(|class| count(class.shelves.len())).collect();
        let mut rest: Vec<u32> = piles.sorts.iter().map(|sort| count(sort.boxes.len())).collect();
        match round.shelf(&mut free, &mut rest) {
            Step::Found => return Ended::Fits(round.filled),
            Step::Out => return Ended::Open,
            Step::Dead if !round.open => return Ended::No,
            Step::Dead => {}
        }
        if effort >= limit {
            return Ended::Open;
        }
        effort = effort.saturating_mul(10);
    }
}

pub(super) fn count(length: usize) -> u32 {
    u32::try_from(length).unwrap_or(u32::MAX)
}

impl Distribution<'_> {
    /// Fills one more shelf, and then the others.
    fn shelf(&mut self, free: &mut [u32], rest: &mut [u32]) -> Step {
        if rest.iter().all(|&boxes| boxes == 0) {
            return Step::Found;
        }
        if !self.floors.meter.step() {
            return Step::Out;
        }
        if self.bounds.exceeded(free, rest) {
            return Step::Dead;
        }
        let key: Box<[u32]> = free.iter().chain(rest.iter()).copied().collect();
        if self.failed.contains(&key) {
            return Step::Dead;
        }
        let takes = |class: usize, sort: usize| {
            let levels = self.piles.sorts.get(sort).and_then(|s| s.levels.get(class));
            levels.is_some_and(|&levels| levels > 0)
        };
        let hardest = (0..rest.len())
            .filter(|&sort| rest.get(sort).is_some_and(|&n| n > 0))
            .min_by_key(|&sort| {
                let shelves: u32 =
                    free.iter().enumerate().filter(|(c, _)| takes(*c, sort)).map(|(_, &n)| n).sum();
                (shelves, sort)
            });
        let Some(hardest) = hardest else { return Step::Found };
        let classes: Vec<usize> = (0..free.len())
            .filter(|&class| free.get(class).is_some_and(|&n| n > 0) && takes(class, hardest))
            .collect();
        for class in classes {
            if let Some(shelves) = free.get_mut(class) {
                *shelves -= 1;
            }
            let order: Vec<usize> = std::iter::once(hardest)
                .chain((0..rest.len()).filter(|&sort| sort != hardest))
                .filter(|&sort| takes(class, sort) && rest.get(sort).is_some_and(|&n| n > 0))
                .collect();
            let mut filling = Filling {
                class,
                order,
                bases: vec![0; rest.len()],
                shapes: vec![0; self.piles.shapes.len()],
            };
            let step = self.fill(&mut filling, 0, free, rest);
            if step != Step::Dead {
                return step;
            }
            if let Some(shelves) = free.get_mut(class) {
                *shelves += 1;
            }
        }
        self.failed.insert(key);
        Step::Dead
    }

    /// Chooses how many bases of the next sort stand on the shelf, the most first.
    fn fill(
        &mut self,
        filling: &mut Filling,
        at: usize,
        free: &mut [u32],
        rest: &mut [u32],
    ) -> Step {
        let Some(&sort) = filling.order.get(at) else {
            return self.close(filling, free, rest);
        };
        if at > 0 && self.never_enough(filling, at, free, rest) {
            return Step::Dead;
        }
        let most = self.useful(filling.class, sort, rest);
        let shape = self.piles.sorts.get(sort).map_or(0, |s| s.shape);
        let mut taken = 0;
        while taken < most {
            filling.add(sort, shape, 1);
            match self.stands(filling) {
                Stands::Yes => taken += 1,
                Stands::No => {
                    filling.add(sort, shape, -1);
                    break;
                }
                Stands::Open => {
                    filling.add(sort, shape, -1);
                    self.open = true;
                    break;
                }
            }
        }
        if self.floors.meter.used > self.floors.meter.limit {
            return Step::Out;
        }
        // The first sort must stand on this shelf; the others may.
        let least = u32::from(at == 0);
        let mut step = Step::Dead;
        while taken >= least {
            step = self.fill(filling, at + 1, free, rest);
            if step != Step::Dead || taken == 0 {
                break;
            }
            filling.add(sort, shape, -1);
            taken -= 1;
        }
        step
    }

    /// Goes on with the other shelves if the set is maximal.
    fn close(&mut self, filling: &mut Filling, free: &mut [u32], rest: &mut [u32]) -> Step {
        let before = rest.to_vec();
        self.carry(filling, rest);
        let left = rest.to_vec();
        let exceeded = self.bounds.exceeded(free, rest);
        rest.copy_from_slice(&before);
        if exceeded {
            return Step::Dead;
        }
        for index in 0..filling.order.len() {
            let Some(&sort) = filling.order.get(index) else { continue };
            let shape = self.piles.sorts.get(sort).map_or(0, |s| s.shape);
            if filling.bases.get(sort).is_some_and(|&n| n < self.useful(filling.class, sort, rest))
            {
                filling.add(sort, shape, 1);
                let more = self.stands(filling);
                filling.add(sort, shape, -1);
                if more == Stands::Yes {
                    return Step::Dead;
                }
            }
        }
        rest.copy_from_slice(&left);
        self.filled.push(Filled { class: filling.class, bases: filling.bases.clone() });
        let step = self.shelf(free, rest);
        if step == Step::Dead {
            self.filled.pop();
            rest.copy_from_slice(&before);
        }
        step
    }

    /// Takes what stands on the shelf from what remains.
    fn carry(&self, filling: &Filling, rest: &mut [u32]) {
        for ((left, &bases), sort) in rest.iter_mut().zip(&filling.bases).zip(&self.piles.sorts) {
            let levels = sort.levels.get(filling.class).copied().unwrap_or(0);
            *left = left.saturating_sub(bases.saturating_mul(levels));
        }
    }

    /// Whether too much remains for the other shelves even if all undecided sorts stood on this one.
    fn never_enough(&self, filling: &Filling, at: usize, free: &[u32], rest: &[u32]) -> bool {
        let mut least = rest.to_vec();
        self.carry(filling, &mut least);
        for &sort in filling.order.iter().skip(at) {
            if let Some(left) = least.get_mut(sort) {
                *left = 0;
            }
        }
        self.bounds.exceeded(free, &least)
    }

    /// Bases that carry all that remains of a sort.
    fn useful(&self, class: usize, sort: usize, rest: &[u32]) -> u32 {
        let levels = self.piles.sorts.get(sort).and_then(|s| s.levels.get(class)).copied();
        match levels {
            Some(levels @ 1..) => rest.get(sort).copied().unwrap_or(0).div_ceil(levels),
            _ => 0,
        }
    }

    fn stands(&mut self, filling: &Filling) -> Stands {
        let floor = self.piles.classes.get(filling.class).map_or(0, |class| class.floor);
        self.floors.stands(floor, &filling.shapes)
    }
}

/// One shelf while it is filled.
struct Filling {
    class: usize,
    /// Sorts in the order in which they are decided.
    order: Vec<usize>,
    /// By sort.
    bases: Vec<u32>,
    /// The same by shape.
    shapes: Vec<u32>,
}

impl Filling {
    fn add(&mut self, sort: usize, shape: usize, change: i64) {
        let counts = [self.bases.get_mut(sort), self.shapes.get_mut(shape)];
        for count in counts.into_iter().flatten() {
            *count = u32::try_from(i64::from(*count) + change).unwrap_or(0);
        }
    }
}
