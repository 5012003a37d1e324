//! A plan as a network: what waits for what, in the plan's own order.
//!
//! In: problem and plan. Out: nodes (one for each placed segment) that can be played with other lengths.
//! All times in seconds from slot 0. Knows no chance.

use std::collections::{BTreeMap, BTreeSet, BinaryHeap};

use crate::plan::{At, Plan, Problem};

/// In a minute.
pub(super) const SECONDS: i64 = 60;

/// A placed segment.
#[derive(Debug, Clone)]
pub(super) struct Node {
    pub(super) activity: usize,
    start: i64,
    pub(super) length: i64,
    /// Who does it and in which of their windows.
    work: Option<(usize, usize)>,
    /// Nodes whose start or end it waits for, and for how much longer.
    after: Vec<After>,
}

#[derive(Debug, Clone, Copy)]
struct After {
    node: usize,
    at: At,
    lag: i64,
}

/// A handover and the moment up to which it is on time.
#[derive(Debug, Clone, Copy)]
pub(super) struct HandoverNode {
    pub(super) activity: usize,
    pub(super) node: usize,
    pub(super) deadline: i64,
}

/// A window that opens earlier.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Shift {
    /// Worker and window.
    pub(super) window: Option<(usize, usize)>,
    pub(super) seconds: i64,
}

/// What happened in a run.
#[derive(Debug, Clone)]
pub(super) struct Clock {
    /// When all that a node waits for was done.
    pub(super) ready: Vec<i64>,
    start: Vec<i64>,
    end: Vec<i64>,
    free: Vec<i64>,
    /// Last end in each window in which work was done.
    pub(super) finished: BTreeMap<(usize, usize), i64>,
}

/// The plan, ready to be played.
#[derive(Debug, Clone)]
pub(super) struct Network {
    pub(super) nodes: Vec<Node>,
    /// Nodes in an order in which everything comes after what it waits for.
    order: Vec<usize>,
    pub(super) handovers: Vec<HandoverNode>,
    windows: Vec<Vec<(i64, i64)>>,
}

impl Network {
    pub(super) fn of(problem: &Problem, plan: &Plan, grace: i32) -> Self {
        let slot = i64::from(problem.grid_minutes) * SECONDS;
        let mut builder = Builder { problem, plan, slot, nodes: Vec::new(), first: Vec::new() };
        builder.activities();
        builder.links();
        builder.equipment();
        let handovers = builder.handovers(grace);
        let nodes = builder.nodes;
        let windows = problem
            .workers
            .iter()
            .map(|worker| {
                let seconds = |&(a, b): &(i32, i32)| (i64::from(a) * slot, i64::from(b) * slot);
                worker.windows.iter().map(seconds).collect()
            })
            .collect();
        Self { order: order(&nodes), nodes, handovers, windows }
    }

    /// Which of so many activities need hands.
    pub(super) fn hands(&self, activities: usize) -> Vec<bool> {
        let mut hands = vec![false; activities];
        for node in self.nodes.iter().filter(|node| node.work.is_some() && node.length > 0) {
            if let Some(of) = hands.get_mut(node.activity) {
                *of = true;
            }
        }
        hands
    }

    pub(super) fn window_end(&self, worker: usize, window: usize) -> i64 {
        let windows = self.windows.get(worker);
        windows.and_then(|windows| windows.get(window)).map_or(i64::MAX / 4, |window| window.1)
    }

    /// Windows in which the plan has work.
    pub(super) fn windows_used(&self) -> BTreeSet<(usize, usize)> {
        let used = self.nodes.iter().filter(|node| node.length > 0).filter_map(|node| node.work);
        used.filter(|&(_, window)| window != usize::MAX).collect()
    }

    pub(super) fn clock(&self) -> Clock {
        let n = self.nodes.len();
        Clock {
            ready: vec![0; n],
            start: vec![0; n],
            end: vec![0; n],
            free: vec![0; self.windows.len()],
            finished: BTreeMap::new(),
        }
    }

    /// Plays the plan with these lengths.
    pub(super) fn play(&self, lengths: &[i64], shift: Shift, clock: &mut Clock) {
        clock.free.fill(i64::MIN / 4);
        clock.finished.clear();
        for &index in &self.order {
            let Some(node) = self.nodes.get(index) else { continue };
            let mut ready = i64::MIN / 4;
            for after in &node.after {
                let moments = match after.at {
                    At::S => &clock.start,
                    At::E => &clock.end,
                };
                ready = ready.max(moments.get(after.node).copied().unwrap_or(0) + after.lag);
            }
            let mut start = ready.max(node.start);
            if let Some((worker, window)) = node.work {
                if shift.window == node.work {
                    start = ready.max(node.start - shift.seconds);
                }
                let free = clock.free.get(worker).copied().unwrap_or(i64::MIN / 4);
                start = start.max(free);
                let (at, used) = self.begin(worker, window, start);
                start = at;
                let end = start + lengths.get(index).copied().unwrap_or(node.length);
                if let Some(free) = clock.free.get_mut(worker) {
                    *free = end;
                }
                if node.length > 0 && used != usize::MAX {
                    let last = clock.finished.entry((worker, used)).or_insert(end);
                    *last = end.max(*last);
                }
            }
            let length = lengths.get(index).copied().unwrap_or(node.length);
            for (list, value) in [
                (&mut clock.ready, ready),
                (&mut clock.start, start),
                (&mut clock.end, start + length),
            ] {
                if let Some(entry) = list.get_mut(index) {
                    *entry = value;
                }
            }
        }
    }

    /// Where work that could start at `start` begins: still in its window, or in a later one.
    fn begin(&self, worker: usize, window: usize, start: i64) -> (i64, usize) {
        let Some(windows) = self.windows.get(worker) else { return (start, window) };
        let mut window = window;
        while let Some(&(_, end)) = windows.get(window) {
            if start < end {
                break;
            }
            let Some(&(next, _)) = windows.get(window + 1) else { break };
            if start < next {
                return (next, window + 1);
            }
            window += 1;
        }
        (start, window)
    }
}

struct Builder<'a> {
    problem: &'a Problem,
    plan: &'a Plan,
    slot: i64,
    nodes: Vec<Node>,
    /// Node of each activity's first segment, if it is placed.
    first: Vec<Option<usize>>,
}

impl Builder<'_> {
    fn activities(&mut self) {
        for (index, activity) in self.problem.activities.iter().enumerate() {
            let starts = self.plan.starts.get(&activity.id).map_or(&[][..], Vec::as_slice);
            if starts.len() != activity.segments.len() {
                self.first.push(None);
                continue;
            }
            self.first.push(Some(self.nodes.len()));
            let who = self.plan.worker.get(&activity.id).map_or(&[][..], Vec::as_slice);
            for (k, (&start, &length)) in starts.iter().zip(&activity.segments).enumerate() {
                let named = who.get(k).and_then(Option::as_ref);
                let worker = self.problem.workers.iter().position(|w| Some(&w.id) == named);
                let work = worker.map(|worker| {
                    let windows =
                        self.problem.workers.get(worker).map_or(&[][..], |w| w.windows.as_slice());
                    let window = windows.iter().position(|&(a, b)| a <= start && start < b);
                    (worker, window.unwrap_or(usize::MAX))
                });
                let before = (k > 0).then(|| self.nodes.len().checked_sub(1)).flatten();
                self.nodes.push(Node {
                    activity: index,
                    start: i64::from(start) * self.slot,
                    length: i64::from(length) * self.slot,
                    work,
                    after: before
                        .map(|node| After { node, at: At::E, lag: 0 })
                        .into_iter()
                        .collect(),
                });
            }
        }
    }

    /// The node at an activity's start or end.
    fn node(&self, id: &str, at: At) -> Option<usize> {
        let index = self.problem.activities.iter().position(|activity| activity.id == id)?;
        let first = (*self.first.get(index)?)?;
        let segments = self.problem.activities.get(index)?.segments.len();
        Some(if at == At::S { first } else { first + segments.saturating_sub(1) })
    }

    fn links(&mut self) {
        for link in &self.problem.links {
            let (Some(from), Some(to)) =
                (self.node(&link.from, link.from_at), self.node(&link.to, link.to_at))
            else {
                continue;
            };
            let chosen = self.plan.modes.get(&link.id);
            let mode = link.modes.iter().find(|mode| Some(&mode.name) == chosen);
            let mut lag = i64::from(mode.map_or(link.min, |mode| mode.min)) * self.slot;
            if from == to {
                continue;
            }
            let Some(node) = self.nodes.get_mut(to) else { continue };
            if link.to_at == At::E {
                lag -= node.length;
            }
            node.after.push(After { node: from, at: link.from_at, lag });
        }
    }

    /// What the plan has one after the other because equipment does not suffice for both stays so.
    fn equipment(&mut self) {
        let uses = |node: &Node| {
            self.problem.activities.get(node.activity).map_or(&[][..], |of| of.uses.as_slice())
        };
        let mut found = Vec::new();
        for (later, node) in self.nodes.iter().enumerate() {
            for (earlier, other) in self.nodes.iter().enumerate() {
                if other.start + other.length > node.start || other.length == 0 || node.length == 0
                {
                    continue;
                }
                let both = |resource: &crate::plan::Resource| {
                    let of = |node: &Node| -> i64 {
                        uses(node).iter().filter(|u| u.0 == resource.id).map(|u| u.1).sum()
                    };
                    of(node) > 0 && of(other) > 0 && of(node) + of(other) > resource.capacity
                };
                if !uses(node).is_empty() && self.problem.resources.iter().any(both) {
                    found.push((later, After { node: earlier, at: At::E, lag: 0 }));
                }
            }
        }
        for (node, after) in found {
            if let Some(node) = self.nodes.get_mut(node) {
                node.after.push(after);
            }
        }
    }

    fn handovers(&self, grace: i32) -> Vec<HandoverNode> {
        let mut handovers = Vec::new();
        for (index, activity) in self.problem.activities.iter().enumerate() {
            let point = activity.workers.is_empty() && activity.segments.iter().all(|&n| n == 0);
            let deadline = activity.latest.or(activity.due).filter(|_| point);
            let waits = |node: usize| self.nodes.get(node).is_some_and(|of| !of.after.is_empty());
            if let (Some(deadline), Some(&Some(node))) = (deadline, self.first.get(index))
                && waits(node)
            {
                let deadline = i64::from(deadline.saturating_add(grace)) * self.slot;
                handovers.push(HandoverNode { activity: index, node, deadline });
            }
        }
        handovers
    }
}

/// By planned start, but never before what a node waits for.
fn order(nodes: &[Node]) -> Vec<usize> {
    let mut waiting: Vec<usize> = nodes.iter().map(|node| node.after.len()).collect();
    let mut then: Vec<Vec<usize>> = vec![Vec::new(); nodes.len()];
    for (index, node) in nodes.iter().enumerate() {
        for after in &node.after {
            if let Some(list) = then.get_mut(after.node) {
                list.push(index);
            }
        }
    }
    let key = |index: usize| {
        let node = nodes.get(index);
        let times = node.map_or((0, 0), |node| (node.start, node.start + node.length));
        std::cmp::Reverse((times, index))
    };
    let mut heap: BinaryHeap<_> =
        (0..nodes.len()).filter(|&i| waiting.get(i) == Some(&0)).map(key).collect();
    let mut done = vec![false; nodes.len()];
    let mut order = Vec::with_capacity(nodes.len());
    while order.len() < nodes.len() {
        // Only a circle of lags leaves the heap empty: it is entered at its earliest node.
        let next = heap.pop().map(|std::cmp::Reverse((_, index))| index).or_else(|| {
            (0..nodes.len()).filter(|&i| done.get(i) == Some(&false)).max_by_key(|&i| key(i))
        });
        let Some(next) = next else { break };
        let Some(flag) = done.get_mut(next).filter(|flag| !**flag) else { continue };
        *flag = true;
        order.push(next);
        for &later in then.get(next).map_or(&[][..], Vec::as_slice) {
            if let Some(count) = waiting.get_mut(later) {
                *count = count.saturating_sub(1);
                if *count == 0 && done.get(later) == Some(&false) {
                    heap.push(key(later));
                }
            }
        }
    }
    order
}
