//! The problem compiled to indices: what the planner's inner loops read.
//!
//! In: a valid problem. Out: tasks (one for each segment) with the places where they fit, arcs between
//! their starts, and rests with their costs. No names and no allocation beyond this point.
//! Knows nothing of how tasks get placed.

use std::collections::BTreeMap;

use super::{Activity, At, Problem};
use crate::arrange::{Arrange, map_of};

/// A lag without an end; sums of two stay far inside `i32`.
pub(super) const FAR: i32 = 400_000_000;
/// Impossible, as a cost.
pub(super) const NEVER: i64 = i64::MAX / 4;

/// Slots and indices are never negative where this is used.
#[expect(clippy::cast_sign_loss, reason = "callers pass slots inside the horizon")]
#[inline]
pub(super) fn at(slot: i32) -> usize {
    slot as usize
}

/// Starts `from..=to`, all inside one window of a worker.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Spot {
    pub(super) from: i32,
    pub(super) to: i32,
    /// Index into [`Model::soft`]; `usize::MAX` for a passive task.
    pub(super) window: usize,
}

/// One way to do a task: who, and where it then fits.
#[derive(Debug, Clone)]
pub(super) struct Way {
    /// `usize::MAX` for a passive task.
    pub(super) worker: usize,
    pub(super) spots: Vec<Spot>,
    /// Limits of the worker that count this task's kind.
    pub(super) limits: Vec<usize>,
}

/// One segment.
#[derive(Debug, Clone)]
pub(super) struct Task {
    pub(super) activity: usize,
    pub(super) length: i32,
    pub(super) ways: Vec<Way>,
    /// Starts allowed in any way: sorted, disjoint, inclusive.
    pub(super) domain: Vec<(i32, i32)>,
    pub(super) uses: Vec<(usize, i32)>,
    /// Weighted lateness after start `due`.
    pub(super) due: i32,
    pub(super) late: i64,
    /// Price of a slot after start `last`; only when bounds are soft.
    pub(super) last: i32,
    pub(super) beyond: i64,
    /// Weighted distance from start `shown`.
    pub(super) shown: i32,
    pub(super) stability: i64,
    /// Pinned: never moved, never refused.
    pub(super) fixed: bool,
}

/// `start(other) - start(this)` lies in `min..=max`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Arc {
    pub(super) other: usize,
    pub(super) min: i32,
    pub(super) max: i32,
}

/// One way to rest.
#[derive(Debug, Clone)]
pub(super) struct RestMode {
    pub(super) min: i32,
    pub(super) max: i32,
    /// Beyond this lag every slot costs `excess` more.
    pub(super) soft_max: i32,
    pub(super) excess: i64,
    /// Cost is `base + slope * lag`.
    pub(super) base: i64,
    pub(super) slope: i64,
    pub(super) store: Vec<(usize, i32)>,
    pub(super) tail: i32,
    pub(super) tail_store: Vec<(usize, i32)>,
}

impl RestMode {
    #[inline]
    pub(super) fn cost(&self, lag: i32) -> i64 {
        let over =
            if lag > self.soft_max { self.excess * i64::from(lag - self.soft_max) } else { 0 };
        self.base + self.slope * i64::from(lag) + over
    }
}

/// A lag that costs something or takes room: a link, or a pause between segments.
#[derive(Debug, Clone)]
pub(super) struct Rest {
    pub(super) from: usize,
    pub(super) to: usize,
    /// Lag is `start(to) - start(from) + offset`.
    pub(super) offset: i32,
    pub(super) modes: Vec<RestMode>,
}

impl Rest {
    /// Least cost for a lag in `low..=high`.
    #[inline]
    pub(super) fn bound(&self, low: i32, high: i32) -> i64 {
        let mut least = NEVER;
        for mode in &self.modes {
            let lag = low.max(mode.min);
            if lag <= high && lag <= mode.max {
                least = least.min(mode.cost(lag));
            }
        }
        least
    }
}

/// A worker's limit over a span.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cap {
    pub(super) from: i32,
    pub(super) to: i32,
    pub(super) most: i32,
}

/// How hard the user's outer bounds are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Bounds {
    /// As the problem has them.
    Hard,
    /// `latest`, greatest lags, greatest pauses and limits may be exceeded at this cost for each slot.
    Soft(i64),
    /// As the problem has them, and a pin is a requirement like any other, which may contradict.
    Proof,
}

/// The compiled problem.
#[derive(Debug, Clone)]
pub(super) struct Model {
    pub(super) horizon: i32,
    pub(super) tasks: Vec<Task>,
    /// First task of each activity, and one past the last.
    pub(super) first: Vec<usize>,
    pub(super) arcs: Vec<Vec<Arc>>,
    pub(super) rests: Vec<Rest>,
    pub(super) rests_of: Vec<Vec<usize>>,
    /// For each link its rest, if it costs something or takes room.
    pub(super) rest_of_link: Vec<Option<usize>>,
    pub(super) workers: usize,
    /// Slots of work that cost nothing in each window of each worker; `i64::MAX` when none does.
    pub(super) soft: Vec<i64>,
    pub(super) evening: i64,
    /// Worker, start and end of each window, worker by worker.
    pub(super) windows: Vec<(usize, i32, i32)>,
    pub(super) limits: Vec<Cap>,
    /// Price of a slot beyond a limit; 0: no limit may be exceeded.
    pub(super) limit_price: i64,
    /// Room left of each resource at each slot before anything is placed: `resource * horizon + slot`.
    pub(super) room: Vec<i32>,
    /// Groups tasks of one order.
    pub(super) order_of: Vec<usize>,
    pub(super) orders: usize,
    /// A requirement that nothing placed could change is broken.
    pub(super) broken: bool,
    /// Lags between pinned tasks are broken.
    pub(super) strained: bool,
}

/// Sorted inclusive intervals in both lists.
pub(super) fn meet(a: &[(i32, i32)], b: &[(i32, i32)]) -> Vec<(i32, i32)> {
    let (mut i, mut j, mut out) = (0, 0, Vec::new());
    while let (Some(&x), Some(&y)) = (a.get(i), b.get(j)) {
        let (from, to) = (x.0.max(y.0), x.1.min(y.1));
        if from <= to {
            out.push((from, to));
        }
        if x.1 < y.1 {
            i += 1;
        } else {
            j += 1;
        }
    }
    out
}

/// Sorted, disjoint union.
pub(super) fn join(mut all: Vec<(i32, i32)>) -> Vec<(i32, i32)> {
    all.arrange();
    let mut out: Vec<(i32, i32)> = Vec::with_capacity(all.len());
    for (from, to) in all {
        match out.last_mut() {
            Some(last) if from <= last.1.saturating_add(1) => last.1 = last.1.max(to),
            _ => out.push((from, to)),
        }
    }
    out
}

fn clamp(value: i64) -> i32 {
    i32::try_from(value.clamp(-i64::from(FAR), i64::from(FAR))).unwrap_or(FAR)
}

struct Builder<'a> {
    problem: &'a Problem,
    bounds: Bounds,
    model: Model,
    resource: BTreeMap<&'a str, usize>,
    /// First window and first limit of each worker.
    window: Vec<usize>,
    limit: Vec<usize>,
}

impl Model {
    /// Compiles a valid problem.
    pub(super) fn compile(problem: &Problem, bounds: Bounds) -> Self {
        let mut builder = Builder::new(problem, bounds);
        for activity in &problem.activities {
            builder.activity(activity);
        }
        builder.model.first.push(builder.model.tasks.len());
        builder.links();
        if bounds != Bounds::Proof {
            builder.model.settle_pinned();
        }
        builder.model
    }

    /// Tasks of an activity.
    pub(super) fn tasks_of(&self, activity: usize) -> std::ops::Range<usize> {
        self.first[activity]..self.first[activity + 1]
    }

    /// Two pinned tasks cannot change what is between them: such arcs would only block the others.
    fn settle_pinned(&mut self) {
        for task in 0..self.tasks.len() {
            if !self.tasks[task].fixed {
                continue;
            }
            let here = self.tasks[task].domain.first().map_or(0, |spot| spot.0);
            let tasks = &self.tasks;
            let before = self.arcs[task].len();
            self.arcs[task].retain(|arc| {
                let other = &tasks[arc.other];
                let there = other.domain.first().map_or(0, |spot| spot.0);
                !other.fixed || (arc.min..=arc.max).contains(&(there - here))
            });
            self.strained |= self.arcs[task].len() < before;
        }
    }
}

impl<'a> Builder<'a> {
    fn new(problem: &'a Problem, bounds: Bounds) -> Self {
        let slots = at(problem.horizon);
        let mut room = Vec::with_capacity(problem.resources.len() * slots);
        for resource in &problem.resources {
            let mut left = vec![resource.capacity; slots];
            for &(from, to, amount) in &resource.busy {
                for slot in from.max(0)..to.min(problem.horizon) {
                    left[at(slot)] -= amount;
                }
            }
            room.extend(left.into_iter().map(clamp));
        }
        let (mut soft, mut window, mut limit, mut limits) =
            (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        let mut windows = Vec::new();
        for (index, worker) in problem.workers.iter().enumerate() {
            windows.extend(worker.windows.iter().map(|&(from, to)| (index, from, to)));
            window.push(soft.len());
            limit.push(limits.len());
            for index in 0..worker.windows.len() {
                soft.push(worker.soft.get(index).copied().unwrap_or(i64::MAX / 8));
            }
            limits.extend(worker.limits.iter().map(|limit| Cap {
                from: limit.from,
                to: limit.to,
                most: clamp(limit.max),
            }));
        }
        let model = Model {
            horizon: problem.horizon,
            tasks: Vec::new(),
            first: Vec::new(),
            arcs: Vec::new(),
            rests: Vec::new(),
            rests_of: Vec::new(),
            rest_of_link: Vec::new(),
            workers: problem.workers.len(),
            soft,
            evening: problem.weights.evening,
            windows,
            limits,
            limit_price: match bounds {
                Bounds::Soft(price) => price,
                Bounds::Hard | Bounds::Proof => 0,
            },
            room,
            order_of: Vec::new(),
            orders: 0,
            broken: false,
            strained: false,
        };
        let resource =
            map_of(problem.resources.iter().enumerate().map(|(i, r)| (r.id.as_str(), i)));
        Self { problem, bounds, model, resource, window, limit }
    }

    fn amounts(&self, list: &[(String, i64)]) -> Vec<(usize, i32)> {
        let mut out: Vec<(usize, i32)> = Vec::new();
        for (name, amount) in list {
            let Some(&resource) = self.resource.get(name.as_str()) else { continue };
            if *amount == 0 {
                continue;
            }
            match out.iter_mut().find(|(known, _)| *known == resource) {
                Some((_, sum)) => *sum = clamp(i64::from(*sum) + amount),
                None => out.push((resource, clamp(*amount))),
            }
        }
        out
    }

    /// Weighted cost of storing for one slot.
    fn load(&self, list: &[(String, i64)]) -> i64 {
        let mut sum = 0;
        for (name, amount) in list {
            if let Some(&resource) = self.resource.get(name.as_str()) {
                sum += self.problem.resources[resource].load_weight * amount;
            }
        }
        sum * self.problem.weights.load
    }

    fn windows(&self, name: Option<&String>) -> Option<&'a [(i32, i32)]> {
        let name = name?;
        Some(self.problem.calendars.get(name).map_or(&[], Vec::as_slice))
    }

    fn activity(&mut self, activity: &'a Activity) {
        let index = self.model.first.len();
        let first = self.model.tasks.len();
        self.model.first.push(first);
        self.model.order_of.push(0);
        let total: i64 = activity.segments.iter().map(|&n| i64::from(n)).sum();
        let mut before = 0_i64;
        let last = activity.segments.len() - 1;
        let horizon = i64::from(self.problem.horizon);
        let latest = match self.bounds {
            Bounds::Hard | Bounds::Proof => activity.latest.map_or(horizon, i64::from).min(horizon),
            Bounds::Soft(_) => horizon,
        };
        for (k, &length) in activity.segments.iter().enumerate() {
            let low = activity.earliest.map_or(0, i64::from).max(0) + before;
            let high = latest - (total - before);
            before += i64::from(length);
            let mut domain = if low <= high { vec![(clamp(low), clamp(high))] } else { Vec::new() };
            if let Some(windows) = self.windows(activity.within.as_ref()) {
                let fits: Vec<_> = windows
                    .iter()
                    .map(|&(a, b)| (a, b - length))
                    .filter(|&(a, b)| a <= b)
                    .collect();
                domain = meet(&domain, &join(fits));
            }
            if let (0, Some(windows)) = (k, self.windows(activity.start_in.as_ref())) {
                let fits: Vec<_> =
                    windows.iter().map(|&(a, b)| (a, b - 1)).filter(|&(a, b)| a <= b).collect();
                domain = meet(&domain, &join(fits));
            }
            if let (true, Some(windows)) = (k == last, self.windows(activity.end_in.as_ref())) {
                let fits: Vec<_> = windows.iter().map(|&(a, b)| (a - length, b - length)).collect();
                domain = meet(&domain, &join(fits));
            }
            let mut pin = activity.pin.as_ref().and_then(|pin| pin.get(k)).copied();
            if let (Bounds::Proof, Some(start)) = (self.bounds, pin) {
                domain = meet(&domain, &[(start, start)]);
                pin = None;
            }
            let mut task = Task {
                activity: index,
                length,
                ways: Vec::new(),
                domain,
                uses: if length > 0 { self.amounts(&activity.uses) } else { Vec::new() },
                due: FAR,
                late: 0,
                last: FAR,
                beyond: 0,
                shown: 0,
                stability: 0,
                fixed: pin.is_some(),
            };
            if k == last {
                self.lateness(activity, length, &mut task);
            }
            if let (0, Some(shown)) =
                (k, activity.reference.as_ref().and_then(|shown| shown.first()))
            {
                task.shown = *shown;
                task.stability = self.problem.weights.stability * activity.stab_weight;
            }
            self.ways(activity, pin, &mut task);
            self.model.tasks.push(task);
            self.model.arcs.push(Vec::new());
            self.model.rests_of.push(Vec::new());
        }
        for (k, task) in (first + 1..self.model.tasks.len()).enumerate() {
            self.pause(activity, activity.segments[k], task - 1, task);
        }
    }

    fn lateness(&self, activity: &Activity, length: i32, task: &mut Task) {
        if let Some(due) = activity.due.filter(|_| activity.late_weight > 0) {
            task.due = due - length;
            task.late = self.problem.weights.late * activity.late_weight;
        }
        if let (Bounds::Soft(price), Some(latest)) = (self.bounds, activity.latest) {
            task.last = latest - length;
            task.beyond = price;
        }
    }

    fn ways(&mut self, activity: &Activity, pin: Option<i32>, task: &mut Task) {
        let length = task.length;
        if let Some(start) = pin {
            task.domain = vec![(start, start)];
        }
        if activity.workers.is_empty() {
            let spots = task
                .domain
                .iter()
                .map(|&(from, to)| Spot { from, to, window: usize::MAX })
                .collect();
            task.ways.push(Way { worker: usize::MAX, spots, limits: Vec::new() });
            return;
        }
        let mut all = Vec::new();
        for (worker, of) in self.problem.workers.iter().enumerate() {
            if !activity.workers.contains(&of.id) {
                continue;
            }
            let mut spots = Vec::new();
            for (k, &(from, to)) in of.windows.iter().enumerate() {
                for (from, to) in meet(&task.domain, &[(from, to - length)]) {
                    // A start on the seam of two touching windows is listed once.
                    let from = spots.last().map_or(from, |last: &Spot| from.max(last.to + 1));
                    if from <= to {
                        spots.push(Spot { from, to, window: self.window[worker] + k });
                    }
                }
            }
            if let (true, Some(start)) = (spots.is_empty(), pin) {
                spots.push(Spot { from: start, to: start, window: usize::MAX });
            }
            all.extend(spots.iter().map(|spot| (spot.from, spot.to)));
            let mut limits = Vec::new();
            for (k, limit) in of.limits.iter().enumerate() {
                let counts = limit.kinds.as_ref().is_none_or(|kinds| {
                    activity.kind.as_ref().is_some_and(|kind| kinds.contains(kind))
                });
                if counts && length > 0 {
                    limits.push(self.limit[worker] + k);
                }
            }
            if !spots.is_empty() {
                task.ways.push(Way { worker, spots, limits });
            }
        }
        if task.ways.is_empty() {
            let worker =
                self.problem.workers.iter().position(|of| activity.workers.contains(&of.id));
            let worker = worker.unwrap_or(usize::MAX);
            task.ways.push(Way { worker, spots: Vec::new(), limits: Vec::new() });
        }
        // A pin outside every window of one worker but inside another's belongs to the other.
        if pin.is_some()
            && task.ways.iter().any(|way| way.spots.iter().any(|spot| spot.window != usize::MAX))
        {
            task.ways.retain(|way| way.spots.iter().any(|spot| spot.window != usize::MAX));
        }
        // Whoever may do a pinned task is still to be chosen.
        task.fixed &= task.ways.len() == 1;
        task.domain = join(all);
    }

    fn arc(&mut self, from: usize, to: usize, min: i32, max: i32) {
        if from == to {
            self.model.broken |= !(min..=max).contains(&0);
            return;
        }
        self.model.arcs[from].push(Arc { other: to, min, max });
        self.model.arcs[to].push(Arc { other: from, min: -max, max: -min });
    }

    fn rest(&mut self, rest: Rest) -> usize {
        let index = self.model.rests.len();
        self.model.rests_of[rest.from].push(index);
        if rest.to != rest.from {
            self.model.rests_of[rest.to].push(index);
        }
        self.model.rests.push(rest);
        index
    }

    fn pause(&mut self, activity: &Activity, length: i32, from: usize, to: usize) {
        let most = activity.gap_max.unwrap_or(FAR / 2);
        let (max, soft_max, excess) = self.greatest(most);
        self.arc(from, to, length, max.saturating_add(length).min(FAR));
        let store = self.amounts(&activity.hold);
        let slope = self.load(&activity.hold);
        if store.is_empty() && slope == 0 && excess == 0 {
            return;
        }
        let mode = RestMode {
            min: 0,
            max,
            soft_max,
            excess,
            base: 0,
            slope,
            store,
            tail: 0,
            tail_store: Vec::new(),
        };
        self.rest(Rest { from, to, offset: -length, modes: vec![mode] });
    }

    /// Hard greatest lag, soft one, and the price of a slot beyond.
    fn greatest(&self, max: i32) -> (i32, i32, i64) {
        match self.bounds {
            Bounds::Soft(price) if max < self.problem.horizon => (FAR / 2, max, price),
            _ => (max.min(FAR / 2), FAR, 0),
        }
    }

    fn links(&mut self) {
        let by_name: BTreeMap<&str, usize> =
            map_of(self.problem.activities.iter().enumerate().map(|(i, a)| (a.id.as_str(), i)));
        let mut group: Vec<usize> = (0..self.problem.activities.len()).collect();
        for link in &self.problem.links {
            let (Some(&from), Some(&to)) =
                (by_name.get(link.from.as_str()), by_name.get(link.to.as_str()))
            else {
                self.model.rest_of_link.push(None);
                continue;
            };
            let end = |model: &Model, activity: usize, which: At| match which {
                At::S => (model.first[activity], 0),
                At::E => {
                    let task = model.first[activity + 1] - 1;
                    (task, model.tasks[task].length)
                }
            };
            let (from_task, from_offset) = end(&self.model, from, link.from_at);
            let (to_task, to_offset) = end(&self.model, to, link.to_at);
            let offset = to_offset - from_offset;
            let weights = &self.problem.weights;
            let mut modes = Vec::new();
            if link.modes.is_empty() {
                let (max, soft_max, excess) = self.greatest(link.max.unwrap_or(FAR / 2));
                modes.push(RestMode {
                    min: link.min.max(-FAR / 2),
                    max,
                    soft_max,
                    excess,
                    base: 0,
                    slope: weights.age * link.age_weight + self.load(&link.store),
                    store: self.amounts(&link.store),
                    tail: 0,
                    tail_store: Vec::new(),
                });
            }
            for mode in &link.modes {
                let (max, soft_max, excess) = self.greatest(mode.max.unwrap_or(FAR / 2));
                let slope = self.load(&mode.store);
                let tail = mode.tail.as_ref().map_or(0, |tail| tail.len);
                let tail_load = mode.tail.as_ref().map_or(0, |tail| self.load(&tail.store));
                modes.push(RestMode {
                    min: mode.min,
                    max,
                    soft_max,
                    excess,
                    base: weights.mode * mode.cost + (tail_load - slope) * i64::from(tail),
                    slope: slope + weights.age * mode.age_weight,
                    store: self.amounts(&mode.store),
                    tail,
                    tail_store: mode
                        .tail
                        .as_ref()
                        .map(|tail| self.amounts(&tail.store))
                        .unwrap_or_default(),
                });
            }
            let min = modes.iter().map(|mode| mode.min).min().unwrap_or(0);
            let max = modes.iter().map(|mode| mode.max).max().unwrap_or(FAR / 2);
            self.arc(from_task, to_task, min - offset, max - offset);
            let free = modes.len() == 1
                && modes
                    .iter()
                    .all(|m| m.slope == 0 && m.base == 0 && m.excess == 0 && m.store.is_empty());
            let rest =
                (!free).then(|| self.rest(Rest { from: from_task, to: to_task, offset, modes }));
            self.model.rest_of_link.push(rest);
            let (a, b) = (root(&group, from), root(&group, to));
            group[a.max(b)] = a.min(b);
        }
        let mut names: BTreeMap<usize, usize> = BTreeMap::new();
        for activity in 0..group.len() {
            let next = names.len();
            let name = *names.entry(root(&group, activity)).or_insert(next);
            self.model.order_of[activity] = name;
        }
        self.model.orders = names.len();
    }
}

fn root(group: &[usize], mut of: usize) -> usize {
    while group[of] != of {
        of = group[of];
    }
    of
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn intervals_meet_and_join() {
        assert_eq!(meet(&[(0, 5), (8, 9)], &[(3, 8)]), [(3, 5), (8, 8)]);
        assert_eq!(meet(&[(0, 2)], &[(3, 4)]), []);
        assert_eq!(join(vec![(8, 9), (0, 2), (3, 4)]), [(0, 4), (8, 9)]);
    }

    #[test]
    fn a_rest_costs_its_cheapest_mode_that_allows_the_lag() {
        let mode = |min: i32, max: i32, base: i64, slope: i64| RestMode {
            min,
            max,
            soft_max: FAR,
            excess: 0,
            base,
            slope,
            store: Vec::new(),
            tail: 0,
            tail_store: Vec::new(),
        };
        let rest =
            Rest { from: 0, to: 1, offset: 0, modes: vec![mode(0, 10, 0, 3), mode(4, 99, 9, 1)] };
        assert_eq!(rest.bound(2, 2), 6);
        assert_eq!(rest.bound(5, 5), 14);
        assert_eq!(rest.bound(7, 20), 16);
        assert_eq!(rest.bound(20, 20), 29);
        assert_eq!(rest.bound(100, 200), NEVER);
        assert_eq!(RestMode { soft_max: 3, excess: 50, ..mode(0, 99, 0, 1) }.cost(5), 105);
    }
}
