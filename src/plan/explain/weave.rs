//! Nodes out of a plan: what waits for what.
//!
//! In: problem and plan. Out: for each placed segment a node with the lags, workers and equipment that it waits
//! for, in an order in which everything comes after what it waits for.

use std::collections::BinaryHeap;

use super::network::{After, HandoverNode, Node, SECONDS};
use crate::{At, Plan, Problem};

/// Weaves a plan into nodes.
pub(super) struct Builder<'a> {
    problem: &'a Problem,
    plan: &'a Plan,
    slot: i64,
    nodes: Vec<Node>,
    /// Node of each activity's first segment, if it is placed.
    first: Vec<Option<usize>>,
}

impl<'a> Builder<'a> {
    pub(super) fn of(problem: &'a Problem, plan: &'a Plan) -> Self {
        let slot = i64::from(problem.grid_minutes) * SECONDS;
        let mut builder = Self { problem, plan, slot, nodes: Vec::new(), first: Vec::new() };
        builder.activities();
        builder.links();
        builder.equipment();
        builder
    }

    /// The nodes, and the order in which to play them.
    pub(super) fn woven(self) -> (Vec<Node>, Vec<usize>) {
        let order = order(&self.nodes);
        (self.nodes, order)
    }

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
                let both = |resource: &crate::Resource| {
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

    /// The handovers, each with its moment.
    pub(super) fn handovers(&self, grace: i32) -> Vec<HandoverNode> {
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
