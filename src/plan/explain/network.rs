//! A plan as a network: what waits for what, in the plan's own order.
//!
//! In: problem and plan. Out: nodes (one for each placed segment) that can be played with other lengths.
//! All times in seconds from slot 0. Knows no chance.

use std::collections::{BTreeMap, BTreeSet};

use super::weave::Builder;
use crate::arrange::set_of;
use crate::{At, Plan, Problem};

/// In a minute.
pub(super) const SECONDS: i64 = 60;

/// A placed segment.
#[derive(Debug, Clone)]
pub(super) struct Node {
    pub(super) activity: usize,
    pub(super) start: i64,
    pub(super) length: i64,
    /// Who does it and in which of their windows.
    pub(super) work: Option<(usize, usize)>,
    /// Nodes whose start or end it waits for, and for how much longer.
    pub(super) after: Vec<After>,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct After {
    pub(super) node: usize,
    pub(super) at: At,
    pub(super) lag: i64,
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
        let builder = Builder::of(problem, plan);
        let handovers = builder.handovers(grace);
        let (nodes, order) = builder.woven();
        let windows = problem
            .workers
            .iter()
            .map(|worker| {
                let seconds = |&(a, b): &(i32, i32)| (i64::from(a) * slot, i64::from(b) * slot);
                worker.windows.iter().map(seconds).collect()
            })
            .collect();
        Self { nodes, order, handovers, windows }
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
        set_of(used.filter(|&(_, window)| window != usize::MAX))
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
