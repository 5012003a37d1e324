//! Exact search on one floor: do these bases stand on it, each turned or not?
//!
//! In: a floor, bases and an effort. Out: a spot for each base, "no" as a proof, or "open" when the
//! effort ran out. Knows nothing of piles, boxes and other shelves.
//!
//! # Method
//! Bases are placed one after the other at the corners of a falling staircase (Martello, Pisinger &
//! Vigo 2000, "The three-dimensional bin packing problem", §4, in two dimensions). Everything left of
//! *and* in front of the back-right corner of a placed base is closed; the border of the closed region
//! is a staircase falling from left to right, and the next base goes with its left-front corner into
//! one of the staircase's inner corners.
//!
//! # Why nothing is missed
//! Take any packing. (1) *Order.* The bases of a packing can be listed so that each is right of or behind
//! every earlier one (the second list of its sequence pair: Murata, Fujiyoshi, Nakatake & Kajitani
//! 1996, "VLSI module placement based on rectangle-packing by the sequence-pair"), that is, outside the
//! region closed by the earlier ones. (2) *Pushing.* In that order, slide each base left and then to
//! the front until it meets the staircase of the earlier ones. The closed region lies to the left and
//! in front of its border, so a base meets it with its own left-front corner only, and stops in an
//! inner corner. Sliding only shrinks what the base itself closes, so later bases stay outside. The
//! end is a packing that the search visits.
//!
//! # What is cut off, and why that is sound
//! * *Dead corners*: a corner at which no remaining base stands, turned or not, is dropped, and its step
//!   raised to the one on its left. A base that reached into what is closed by this would have its own
//!   left-front corner on that step, right of and behind the dropped corner, and so stand there too.
//! * *Reach*: the bases crossing one line of the free region have widths that add up to some sum of
//!   remaining sides, each base giving at most one. So of a free stretch only the largest such sum
//!   counts; if the rest needs more area than that leaves, lengthwise or crosswise, there is no way.
//! * *Growing*: before the search, a base that occurs once grows, per way of turning, to what no sum of
//!   the other sides could use beside it anyway. (Push what is left of it left and what is right of it
//!   right: the two chains are disjoint sets of other bases, so together at most the largest sum.)
//! * *Reflection*: one base keeps to the left-front quarter, as each packing can be reflected so, and
//!   pushing only moves it further there. On a square floor one base keeps one way of turning.
//! * *Memory*: closed region and remaining bases are all that the future depends on; what failed once
//!   is not tried again.
//!
//! With effort to spare, a sweep that keeps only the best states after each base comes first; it finds
//! a "yes" in nearly full floors sooner than going deep does. It says "no" only if it left out nothing.

use std::collections::{HashMap, HashSet};

use super::free_space::Spot;
use super::mixer::Mixed;
use super::piles::Shape;
use super::reach::{Bases, Reach, Way};
use crate::plan::arrange::Arrange;

/// Counts search nodes over a whole question.
#[derive(Debug, Clone, Copy)]
pub(super) struct Meter {
    pub(super) used: u64,
    pub(super) limit: u64,
}

impl Meter {
    /// Counts one node; false when none is left.
    pub(super) fn step(&mut self) -> bool {
        self.used += 1;
        self.used <= self.limit
    }
}

/// What a search found out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Verdict {
    /// They stand like this.
    Yes(Vec<Spot>),
    /// They do not; every way was ruled out.
    No,
    /// The effort ran out first.
    Open,
}

/// More bases than this on one floor are not searched.
const BASES_MOST: u32 = 64;
/// Tables of reach that are kept; beyond it the plain area must do.
const TABLES_MOST: usize = 4_096;
/// States kept side by side in a sweep; with fewer than the least, a sweep is not worth it.
const WIDTHS: std::ops::RangeInclusive<usize> = 50..=1_000;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Step {
    Found,
    Dead,
    Out,
}

/// An inner corner of the staircase.
type Corner = (u32, u32);

/// A closed region, and what has still to stand behind it.
#[derive(Debug, Clone)]
struct State {
    corners: Vec<Corner>,
    /// Stands for the counts of the remaining bases.
    number: u64,
    /// What they need at least.
    area: u64,
    /// Some base of the anchor's kind lies in the left-front quarter.
    anchored: bool,
}

impl State {
    /// Equal when the future is the same.
    fn alike(&self, other: &Self) -> std::cmp::Ordering {
        let of = |state: &Self| (state.number, state.anchored);
        of(self).cmp(&of(other)).then_with(|| self.corners.cmp(&other.corners))
    }

    /// What the future depends on.
    fn key(&self) -> Box<[u32]> {
        #[expect(clippy::cast_possible_truncation, reason = "the two halves of one number")]
        let head = [self.number as u32, (self.number >> 32) as u32, u32::from(self.anchored)];
        // Lengths are at most 10000, so two fit one word.
        head.into_iter().chain(self.corners.iter().map(|&(x, y)| x << 16 | y)).collect()
    }
}

/// A state one base further.
struct Child {
    /// Area that may still be wasted.
    spare: u64,
    /// Which base was placed.
    index: usize,
    spot: Spot,
    state: State,
}

impl Child {
    /// The most spare area first finds a "yes" sooner; the larger base first among equals.
    fn rank(&self) -> (std::cmp::Reverse<u64>, usize) {
        (std::cmp::Reverse(self.spare), self.index)
    }
}

struct Search {
    across: u32,
    along: u32,
    bases: Vec<Bases>,
    /// What one base fewer of each takes off the number of the rest.
    places: Vec<u64>,
    /// Which bases keep to the left-front quarter.
    anchor: usize,
    failed: HashSet<Box<[u32]>, Mixed>,
    reach: HashMap<u64, Reach, Mixed>,
    path: Vec<Spot>,
    left: u64,
}

/// Searches until it knows or `effort` nodes are used.
pub(super) fn search(
    floor: Shape,
    shapes: &[Shape],
    counts: &[u32],
    effort: u64,
    meter: &mut Meter,
) -> Verdict {
    if counts.iter().sum::<u32>() > BASES_MOST {
        return Verdict::Open;
    }
    let Some(mut search) = Search::prepare(floor, shapes, counts) else { return Verdict::No };
    search.left = effort.min(meter.limit.saturating_sub(meter.used));
    let before = search.left;
    let start = State {
        corners: vec![(0, 0)],
        number: search.bases.iter().zip(&search.places).map(|(b, &p)| u64::from(b.count) * p).sum(),
        area: search.bases.iter().map(|b| u64::from(b.count) * b.least_area()).sum(),
        anchored: false,
    };
    let levels: u32 = counts.iter().sum();
    let width = usize::try_from(search.left / u64::from(2 * levels.max(1))).unwrap_or(usize::MAX);
    let mut step = Step::Out;
    if width >= *WIDTHS.start() {
        step = search.sweep(&start, width.min(*WIDTHS.end()));
    }
    if step == Step::Out {
        step = search.place(&start);
    }
    meter.used += before - search.left;
    match step {
        Step::Found => Verdict::Yes(search.path),
        Step::Dead => Verdict::No,
        Step::Out => Verdict::Open,
    }
}

impl Search {
    /// Shrinks the floor, grows the bases, breaks symmetry; none when that already proves "no".
    fn prepare(floor: Shape, shapes: &[Shape], counts: &[u32]) -> Option<Self> {
        let (mut across, mut along) = (floor.long, floor.short);
        let mut bases: Vec<Bases> = Vec::new();
        for (index, (size, &count)) in shapes.iter().zip(counts).enumerate() {
            if count == 0 {
                continue;
            }
            let way = |a, b| Way { across: a, along: b, real: (a, b) };
            let mut ways = vec![way(size.long, size.short)];
            if size.long != size.short {
                ways.push(way(size.short, size.long));
            }
            bases.push(Bases { shape: index, count, ways });
        }
        loop {
            for base in &mut bases {
                base.ways.retain(|way| way.across <= across && way.along <= along);
                if base.ways.is_empty() {
                    return None;
                }
            }
            let reach = Reach::of(across, along, bases.iter().map(|b| (b, b.count)));
            let shrunk = (reach.across(across), reach.along(along));
            if shrunk == (across, along) {
                break;
            }
            (across, along) = shrunk;
        }
        if across == along {
            let once = |b: &&mut Bases| b.count == 1 && b.ways.len() == 2;
            if let Some(base) = bases.iter_mut().find(once) {
                base.ways.truncate(1);
            }
        }
        // A single base breaks the reflection best; the largest is placed in the fewest spots.
        let anchor = bases.iter().position(|base| base.count == 1).unwrap_or(0);
        for index in 0..bases.len() {
            if bases.get(index).is_none_or(|base| base.count != 1) {
                continue;
            }
            let others = bases.iter().enumerate().filter(|(other, _)| *other != index);
            let reach = Reach::of(across, along, others.map(|(_, b)| (b, b.count)));
            for way in bases.get_mut(index).map(|base| &mut base.ways).into_iter().flatten() {
                way.across = across - reach.across(across - way.across);
                way.along = along - reach.along(along - way.along);
            }
        }
        let area: u64 = bases.iter().map(|b| u64::from(b.count) * b.least_area()).sum();
        if area > u64::from(across) * u64::from(along) {
            return None;
        }
        let mut place = 1_u64;
        let mut places = Vec::with_capacity(bases.len());
        for base in &bases {
            places.push(place);
            place = place.saturating_mul(u64::from(base.count) + 1);
        }
        Some(Self {
            across,
            along,
            bases,
            places,
            anchor,
            failed: HashSet::default(),
            reach: HashMap::default(),
            path: Vec::new(),
            left: 0,
        })
    }

    /// Places the rest behind the staircase, depth first.
    fn place(&mut self, state: &State) -> Step {
        if state.number == 0 {
            return Step::Found;
        }
        if self.left == 0 {
            return Step::Out;
        }
        self.left -= 1;
        let key = state.key();
        if self.failed.contains(&key) {
            return Step::Dead;
        }
        let mut children = self.children(state);
        children.arrange_by_key(Child::rank);
        for child in children {
            self.path.push(child.spot);
            let step = self.place(&child.state);
            if step != Step::Dead {
                return step;
            }
            self.path.pop();
        }
        self.failed.insert(key);
        Step::Dead
    }

    /// Places one base after the other and keeps only the `width` best states after each: quick to find
    /// a "yes" that going deep would find late. "Dead" is a proof only as long as none was left out,
    /// else the answer is "out".
    fn sweep(&mut self, start: &State, width: usize) -> Step {
        if start.number == 0 {
            return Step::Found;
        }
        let mut front = vec![(start.clone(), Vec::new())];
        let mut complete = true;
        while !front.is_empty() {
            let mut next: Vec<(Child, usize)> = Vec::new();
            for (index, (state, _)) in front.iter().enumerate() {
                if self.left == 0 {
                    return Step::Out;
                }
                self.left -= 1;
                next.extend(self.children(state).into_iter().map(|child| (child, index)));
            }
            // The best first, and of equal states, which then are neighbours, only one.
            next.arrange_by(|(a, from_a), (b, from_b)| {
                let alike = || a.state.alike(&b.state);
                b.spare
                    .cmp(&a.spare)
                    .then_with(alike)
                    .then((a.index, from_a).cmp(&(b.index, from_b)))
            });
            next.dedup_by(|(a, _), (b, _)| a.state.alike(&b.state).is_eq());
            complete &= next.len() <= width;
            next.truncate(width);
            let behind = next.into_iter().map(|(child, index)| {
                let mut path = front.get(index).map(|(_, path)| path.clone()).unwrap_or_default();
                path.push(child.spot);
                (child.state, path)
            });
            front = behind.collect();
            if let Some((_, path)) = front.iter().find(|(state, _)| state.number == 0) {
                self.path.clone_from(path);
                return Step::Found;
            }
        }
        if complete { Step::Dead } else { Step::Out }
    }

    /// Every state that one more base leads to and that the reach does not rule out.
    fn children(&mut self, state: &State) -> Vec<Child> {
        let State { corners, number, area, anchored } = state;
        let mut rest: Vec<u32> = Vec::with_capacity(self.bases.len());
        for (base, place) in self.bases.iter().zip(&self.places) {
            // At most the count of the base, so it fits.
            rest.push(u32::try_from(number / place % (u64::from(base.count) + 1)).unwrap_or(0));
        }
        let free = self.free(corners);
        let mut children = Vec::new();
        for index in 0..self.bases.len() {
            let (Some(base), Some(count), Some(&place)) =
                (self.bases.get(index), rest.get_mut(index), self.places.get(index))
            else {
                continue;
            };
            if *count == 0 {
                continue;
            }
            let last = *count == 1;
            *count -= 1;
            let (shape, needed) = (base.shape, area - base.least_area());
            for way in base.ways.clone() {
                for (at, &(x, y)) in corners.iter().enumerate() {
                    if x + way.across > self.across || y + way.along > self.along {
                        continue;
                    }
                    let mut now = *anchored;
                    if index == self.anchor {
                        now |= 2 * x + way.across <= self.across && 2 * y + way.along <= self.along;
                        if last && !now {
                            continue;
                        }
                    }
                    if free - self.closes(corners, x + way.across, y + way.along) < needed {
                        continue;
                    }
                    let mut next = self.closed_by(corners, at, way);
                    if !self.drop_dead_corners(&mut next, &rest) {
                        continue;
                    }
                    let spare = self.spare(&next, &rest, number - place);
                    let Some(spare) = spare.checked_sub(needed) else { continue };
                    let (across, along) = way.real;
                    children.push(Child {
                        spare,
                        index,
                        spot: Spot { shape, x, y, across, along },
                        state: State {
                            corners: next,
                            number: number - place,
                            area: needed,
                            anchored: now,
                        },
                    });
                }
            }
            if let Some(count) = rest.get_mut(index) {
                *count += 1;
            }
        }
        children
    }

    /// Drops corners at which nothing stands; false when some remaining base stands nowhere.
    fn drop_dead_corners(&self, corners: &mut Vec<Corner>, rest: &[u32]) -> bool {
        let stands = |base: &Bases, &(x, y): &Corner| {
            base.ways.iter().any(|way| x + way.across <= self.across && y + way.along <= self.along)
        };
        let remaining = || self.bases.iter().zip(rest).filter(|(_, count)| **count > 0);
        corners.retain(|corner| remaining().any(|(base, _)| stands(base, corner)));
        remaining().all(|(base, _)| corners.iter().any(|corner| stands(base, corner)))
    }

    /// Area that the rest can fill at most, by lines across and by lines along.
    fn spare(&mut self, corners: &[Corner], rest: &[u32], number: u64) -> u64 {
        if !self.reach.contains_key(&number) {
            if self.reach.len() >= TABLES_MOST {
                return self.free(corners);
            }
            let remaining = self.bases.iter().zip(rest.iter().copied());
            let table = Reach::of(self.across, self.along, remaining);
            self.reach.insert(number, table);
        }
        let Some(reach) = self.reach.get(&number) else { return 0 };
        let (mut by_rows, mut by_columns) = (0_u64, 0_u64);
        let mut above = self.along;
        for (index, &(x, y)) in corners.iter().enumerate() {
            let right = corners.get(index + 1).map_or(self.across, |next| next.0);
            by_rows += u64::from(reach.across(self.across - x)) * u64::from(above - y);
            by_columns += u64::from(reach.along(self.along - y)) * u64::from(right - x);
            above = y;
        }
        by_rows.min(by_columns)
    }

    /// Free area behind the staircase.
    fn free(&self, corners: &[Corner]) -> u64 {
        let mut sum = 0;
        for (index, &(x, y)) in corners.iter().enumerate() {
            let right = corners.get(index + 1).map_or(self.across, |next| next.0);
            sum += u64::from(right - x) * u64::from(self.along - y);
        }
        sum
    }

    /// Area that a base reaching so far closes.
    fn closes(&self, corners: &[Corner], right: u32, back: u32) -> u64 {
        let mut sum = 0;
        for (index, &(x, y)) in
            corners.iter().enumerate().take_while(|(_, corner)| corner.0 < right)
        {
            let until = corners.get(index + 1).map_or(self.across, |next| next.0).min(right);
            sum += u64::from(until - x) * u64::from(back.saturating_sub(y));
        }
        sum
    }

    /// The staircase after a base was put into one of its corners.
    fn closed_by(&self, corners: &[Corner], at: usize, way: Way) -> Vec<Corner> {
        let mut next = Vec::with_capacity(corners.len() + 1);
        let Some(&(x, y)) = corners.get(at) else { return next };
        let (right, back) = (x + way.across, y + way.along);
        // Steps behind the base stay; the first one in front of its back edge is raised to it.
        let mut raised = false;
        for &(corner_x, corner_y) in corners.iter().take(at + 1) {
            if corner_y > back {
                next.push((corner_x, corner_y));
            } else if !raised {
                raised = true;
                // A step exactly as high as the base's back is the same step.
                if back < self.along {
                    next.push((corner_x, back));
                }
            }
        }
        // Steps right of the base stay; the one under its right edge begins there.
        let mut under = y;
        for &(corner_x, corner_y) in corners.iter().skip(at + 1) {
            if corner_x <= right {
                under = corner_y;
            }
        }
        if right < self.across {
            next.push((right, under));
        }
        next.extend(corners.iter().skip(at + 1).filter(|corner| corner.0 > right));
        next
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Walks over the cells of a small floor; each one is a base's corner or not.
    fn by_cells(
        across: u32,
        along: u32,
        bases: &mut Vec<(u32, u32)>,
        cell: u32,
        taken: u64,
    ) -> bool {
        if bases.is_empty() {
            return true;
        }
        if cell == across * along {
            return false;
        }
        let (x, y) = (cell % across, cell / across);
        for index in 0..bases.len() {
            let (a, b) = bases[index];
            for (w, d) in [(a, b), (b, a)] {
                if x + w > across || y + d > along {
                    continue;
                }
                let base: u64 = (0..d).map(|row| ((1_u64 << w) - 1) << (cell + row * across)).sum();
                if taken & base == 0 {
                    let base_taken = bases.swap_remove(index);
                    let found = by_cells(across, along, bases, cell + 1, taken | base);
                    bases.push(base_taken);
                    let last = bases.len() - 1;
                    bases.swap(index, last);
                    if found {
                        return true;
                    }
                }
            }
        }
        by_cells(across, along, bases, cell + 1, taken)
    }

    fn start(search: &Search) -> State {
        State {
            corners: vec![(0, 0)],
            number: search
                .bases
                .iter()
                .zip(&search.places)
                .map(|(b, &p)| u64::from(b.count) * p)
                .sum(),
            area: search.bases.iter().map(|b| u64::from(b.count) * b.least_area()).sum(),
            anchored: false,
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 1_000, failure_persistence: None, ..ProptestConfig::default() })]

        /// The search alone, without bounds and constructors around it, deep and by sweeps.
        #[test]
        fn one_floor_has_the_same_answer_as_by_cells(
            (across, along) in (3..7_u32, 2..6_u32),
            mut bases in prop::collection::vec((1..6_u32, 1..4_u32), 1..6),
            width in 1..6_usize,
        ) {
            let mut room = across * along;
            bases.retain(|&(a, b)| { let fits = a * b <= room; if fits { room -= a * b; } fits });
            let mut shapes: Vec<Shape> = bases.iter().map(|&(a, b)| Shape::of(a, b)).collect();
            shapes.sort_unstable();
            shapes.dedup();
            let like = |s: &Shape| bases.iter().filter(|&&(a, b)| Shape::of(a, b) == *s).count();
            let counts: Vec<u32> = shapes.iter().map(|s| u32::try_from(like(s)).expect("few")).collect();
            let floor = Shape::of(across, along);
            let fits = by_cells(floor.long, floor.short, &mut bases.clone(), 0, 0);
            let mut meter = Meter { used: 0, limit: u64::MAX };
            let verdict = search(floor, &shapes, &counts, u64::MAX, &mut meter);
            prop_assert_eq!(matches!(verdict, Verdict::Yes(_)), fits, "{:?}", verdict);
            prop_assert_ne!(verdict, Verdict::Open);
            if let Some(mut deep) = Search::prepare(floor, &shapes, &counts) {
                deep.left = u64::MAX;
                let begin = start(&deep);
                prop_assert_eq!(deep.place(&begin), if fits { Step::Found } else { Step::Dead });
                deep.path.clear();
                match deep.sweep(&begin, width) {
                    Step::Found => prop_assert!(fits),
                    Step::Dead => prop_assert!(!fits),
                    Step::Out => {}
                }
            } else {
                prop_assert!(!fits);
            }
        }
    }
}
