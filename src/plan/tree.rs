//! A sharper lower bound: lags, windows and costs taken exactly along a forest of tasks, for every slot;
//! hands and room are taken as unlimited, and what closes a circle counts by its bounds alone.
//!
//! In: the model compiled for proofs, and bounds on starts. Out: the least cost, or a refutation. For each
//! task, from the leaves to the root, the least cost of its subtree at each start; a lag between two tasks
//! is a window that slides along the slots, so that the whole takes time in proportion to slots × lags.

use std::collections::VecDeque;

use super::board::Board;
use super::model::{FAR, Model, NEVER, at};
use crate::arrange::Arrange;

/// A lag between two tasks: `start(second) - start(first)` within `min..=max`, and perhaps a rest.
#[derive(Debug, Clone, Copy)]
struct Tie {
    first: usize,
    second: usize,
    min: i32,
    max: i32,
    rest: Option<usize>,
    /// The dearer, the rather it is taken exactly.
    weight: i64,
}

/// The least cost that lags and windows allow; none if they contradict.
pub(super) fn least_cost(model: &Model, bounds: &[(i32, i32)]) -> Option<i64> {
    let mut ties = ties(model);
    ties.arrange_by_key(|tie| (-tie.weight, tie.first, tie.second));
    let n = model.tasks.len();
    let mut group: Vec<usize> = (0..n).collect();
    let mut neighbours: Vec<Vec<usize>> = vec![Vec::new(); n];
    let mut exact = vec![false; model.rests.len()];
    for (index, tie) in ties.iter().enumerate() {
        let (a, b) = (find(&mut group, tie.first), find(&mut group, tie.second));
        if a == b {
            continue;
        }
        group[a] = b;
        neighbours[tie.first].push(index);
        neighbours[tie.second].push(index);
        if let Some(rest) = tie.rest {
            exact[rest] = true;
        }
    }
    let mut sum = 0_i64;
    let mut seen = vec![false; n];
    for root in 0..n {
        if !seen[root] {
            let costs = subtree(model, bounds, &ties, &neighbours, &mut seen, root);
            let least = costs.into_iter().min().unwrap_or(NEVER);
            if least >= NEVER {
                return None;
            }
            sum += least;
        }
    }
    for (rest, of) in model.rests.iter().enumerate().filter(|(rest, _)| !exact[*rest]) {
        let bound = Board::rest_bound(model, rest, bounds[of.from], bounds[of.to]);
        if bound >= NEVER {
            return None;
        }
        sum += bound;
    }
    Some(sum)
}

/// Every pair of tasks with a lag, once, with its dearest rest.
fn ties(model: &Model) -> Vec<Tie> {
    let mut out = Vec::new();
    for (first, arcs) in model.arcs.iter().enumerate() {
        let mut seconds: Vec<usize> =
            arcs.iter().map(|arc| arc.other).filter(|&other| other > first).collect();
        seconds.arrange();
        seconds.dedup();
        for second in seconds {
            let both = arcs.iter().filter(|arc| arc.other == second);
            let (mut min, mut max) = (-FAR, FAR);
            for arc in both {
                min = min.max(arc.min);
                max = max.min(arc.max);
            }
            let slope = |rest: usize| model.rests[rest].modes.iter().map(|mode| mode.slope).max();
            let rest = model.rests_of[first]
                .iter()
                .copied()
                .filter(|&rest| {
                    let of = &model.rests[rest];
                    of.from == second || of.to == second
                })
                .max_by_key(|&rest| (slope(rest), std::cmp::Reverse(rest)));
            let weight = rest.and_then(slope).map_or(0, |slope| slope + 1);
            // Among lags that cost nothing, the tight ones say most.
            let weight = weight * 2 + i64::from(max.saturating_sub(min) < 8);
            out.push(Tie { first, second, min, max, rest, weight });
        }
    }
    out
}

fn find(group: &mut [usize], mut of: usize) -> usize {
    while group[of] != of {
        group[of] = group[group[of]];
        of = group[of];
    }
    of
}

/// Least cost of everything in the tree of `root`, for each start of `root`.
fn subtree(
    model: &Model,
    bounds: &[(i32, i32)],
    ties: &[Tie],
    neighbours: &[Vec<usize>],
    seen: &mut [bool],
    root: usize,
) -> Vec<i64> {
    // Parents before children; then children are folded into their parents from the back.
    let mut order = vec![(root, usize::MAX, usize::MAX)];
    seen[root] = true;
    let mut next = 0;
    while let Some(&(task, _, _)) = order.get(next) {
        for &tie in &neighbours[task] {
            let other = ties[tie].first + ties[tie].second - task;
            if !seen[other] {
                seen[other] = true;
                order.push((other, tie, next));
            }
        }
        next += 1;
    }
    let mut costs: Vec<Vec<i64>> =
        order.iter().map(|&(task, _, _)| own_costs(model, bounds, task)).collect();
    for index in (1..order.len()).rev() {
        let (task, tie, parent) = order[index];
        let child = std::mem::take(&mut costs[index]);
        fold(model, &ties[tie], task, &child, &mut costs[parent]);
    }
    std::mem::take(&mut costs[0])
}

/// Cost of the task's own times at each start that it may have.
fn own_costs(model: &Model, bounds: &[(i32, i32)], task: usize) -> Vec<i64> {
    let mut out = vec![NEVER; at(model.horizon) + 1];
    let (low, high) = bounds[task];
    for &(from, to) in &model.tasks[task].domain {
        for start in from.max(low)..=to.min(high) {
            if let Some(cost) = out.get_mut(at(start)) {
                *cost = Board::times(model, task, start);
            }
        }
    }
    out
}

/// Adds to each start of the parent the least cost of the child's subtree that the lag then allows.
fn fold(model: &Model, tie: &Tie, child: usize, costs: &[i64], parent: &mut [i64]) {
    // All as seen from the parent: start(child) - start(parent) within low..=high.
    let (low, high) = if tie.second == child { (tie.min, tie.max) } else { (-tie.max, -tie.min) };
    let mut best = vec![NEVER; parent.len()];
    match tie.rest.map(|rest| &model.rests[rest]) {
        None => slide(costs, low, high, 0, &mut best),
        Some(rest) => {
            for mode in &rest.modes {
                // lag = start(to) - start(from) + offset, and it costs base + slope * lag.
                let (low, high, slope) = if rest.to == child {
                    (low.max(mode.min - rest.offset), high.min(mode.max - rest.offset), mode.slope)
                } else {
                    (low.max(rest.offset - mode.max), high.min(rest.offset - mode.min), -mode.slope)
                };
                let mut of_mode = vec![NEVER; parent.len()];
                slide(costs, low, high, slope, &mut of_mode);
                let fixed = mode.base + mode.slope * i64::from(rest.offset);
                for (best, cost) in best.iter_mut().zip(of_mode) {
                    if cost < NEVER {
                        *best = (*best).min(cost + fixed);
                    }
                }
            }
        }
    }
    for (sum, best) in parent.iter_mut().zip(best) {
        *sum = if *sum >= NEVER || best >= NEVER { NEVER } else { *sum + best };
    }
}

/// For each `t`, the least `costs[x] + slope * (x - t)` over `x` within `t + low..=t + high`.
fn slide(costs: &[i64], low: i32, high: i32, slope: i64, out: &mut [i64]) {
    let size = i64::try_from(costs.len()).unwrap_or(i64::MAX);
    let (low, high) = (i64::from(low).max(-size), i64::from(high).min(size));
    if low > high {
        return;
    }
    let mut window: VecDeque<(i64, i64)> = VecDeque::new();
    let mut entered = 0_i64;
    for (t, out) in (0_i64..).zip(out.iter_mut()) {
        while entered <= t + high && entered < size {
            let cost =
                usize::try_from(entered).ok().and_then(|x| costs.get(x)).copied().unwrap_or(NEVER);
            if cost < NEVER {
                let value = cost + slope * entered;
                while window.back().is_some_and(|&(_, last)| last >= value) {
                    window.pop_back();
                }
                window.push_back((entered, value));
            }
            entered += 1;
        }
        while window.front().is_some_and(|&(x, _)| x < t + low) {
            window.pop_front();
        }
        if let Some(&(_, value)) = window.front() {
            *out = value - slope * t;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sliding_window_finds_what_trying_all_finds() {
        let costs = [5, NEVER, 2, 9, 4, NEVER, 0, 7];
        for (low, high, slope) in [(0, 2, 0), (-3, -1, 2), (1, 4, -3), (-9, 9, 1), (3, 2, 1)] {
            let mut out = vec![NEVER; costs.len()];
            slide(&costs, low, high, slope, &mut out);
            for (t, &found) in (0_i32..).zip(&out) {
                let tried = (0_i32..)
                    .zip(&costs)
                    .filter(|&(x, &cost)| cost < NEVER && (t + low..=t + high).contains(&x))
                    .map(|(x, cost)| cost + slope * i64::from(x - t))
                    .min();
                assert_eq!(found, tried.unwrap_or(NEVER), "{low} {high} {slope} at {t}");
            }
        }
    }
}
