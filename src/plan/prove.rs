//! What no placement can do: contradictions of bounds, of hours and of room; and the least cost of any plan.
//!
//! In: the model compiled for proofs, in which pins are requirements like others. Out: a refutation or a
//! lower bound on the objective. Everything here is a proof: it may miss a contradiction, never invent one.

use super::board::Board;
use super::model::{Model, NEVER, at};
use super::spread::Spread;
use super::tree;

/// How much is taken into account.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Depth {
    /// Bounds, hours and room.
    Quick,
    /// Also every slot along chains of lags.
    Thorough,
}

/// The least cost that is proven, or none if no sound plan exists.
pub(super) fn least_cost(model: &Model, depth: Depth) -> Option<i64> {
    if model.broken {
        return None;
    }
    let mut spread = Spread::new(model);
    if !spread.settle_root(model) {
        return None;
    }
    let bounds = &spread.root;
    if overworked(model, bounds) || overfull(model, bounds) {
        return None;
    }
    if depth == Depth::Thorough {
        return tree::least_cost(model, bounds);
    }
    let mut sum = 0_i64;
    for (rest, of) in model.rests.iter().enumerate() {
        let bound = Board::rest_bound(model, rest, bounds[of.from], bounds[of.to]);
        if bound >= NEVER {
            return None;
        }
        sum += bound;
    }
    for (task, &(low, high)) in bounds.iter().enumerate() {
        sum += Board::times_bound(model, task, low, high);
    }
    Some(sum)
}

/// A piece of work that lies inside `[from, to)` and takes `size` of something there.
#[derive(Debug, Clone, Copy)]
struct Piece {
    from: i32,
    to: i32,
    size: i64,
}

/// Whether some span has more to take than there is: `room(from, to)` says how much.
fn overloaded(pieces: &mut [Piece], room: impl Fn(i32, i32) -> i64) -> bool {
    pieces.sort_unstable_by_key(|piece| piece.to);
    let mut starts: Vec<i32> = pieces.iter().map(|piece| piece.from).collect();
    starts.sort_unstable();
    starts.dedup();
    for &start in &starts {
        let mut load = 0;
        for piece in pieces.iter().filter(|piece| piece.from >= start) {
            load += piece.size;
            if load > room(start, piece.to) {
                return true;
            }
        }
    }
    false
}

/// Running sums of free slots.
fn sums(free: &[i64]) -> Vec<i64> {
    let mut out = Vec::with_capacity(free.len() + 1);
    let mut sum = 0;
    out.push(0);
    for &slot in free {
        sum += slot;
        out.push(sum);
    }
    out
}

fn between(sums: &[i64], from: i32, to: i32) -> i64 {
    let last = sums.len() - 1;
    sums[at(to.max(0)).min(last)] - sums[at(from.max(0)).min(last)]
}

/// More work than hours, of all hands together or of one pair of hands, or more than a limit lets pass.
fn overworked(model: &Model, bounds: &[(i32, i32)]) -> bool {
    let slots = at(model.horizon);
    let mut together = vec![0_i64; slots];
    let mut windows = model.windows.iter();
    let mut by_worker: Vec<Vec<i64>> = Vec::new();
    for worker in 0..model.workers {
        let mut free = vec![0_i64; slots];
        for &(_, from, to) in windows.by_ref().take(model.windows_of[worker]) {
            for slot in from.max(0)..to.min(model.horizon) {
                free[at(slot)] = 1;
            }
        }
        for (all, own) in together.iter_mut().zip(&free) {
            *all += own;
        }
        by_worker.push(sums(&free));
    }
    let together = sums(&together);
    let piece = |task: usize| {
        let (low, high) = bounds[task];
        let length = model.tasks[task].length;
        Piece { from: low, to: high + length, size: i64::from(length) }
    };
    let active = |task: &usize| {
        let of = &model.tasks[*task];
        of.length > 0 && of.ways.first().is_some_and(|way| way.worker != usize::MAX)
    };
    let tasks: Vec<usize> = (0..model.tasks.len()).filter(active).collect();
    let mut pieces: Vec<Piece> = tasks.iter().map(|&task| piece(task)).collect();
    if model.workers > 1 && overloaded(&mut pieces, |from, to| between(&together, from, to)) {
        return true;
    }
    for (worker, free) in by_worker.iter().enumerate() {
        let only = |task: &usize| matches!(model.tasks[*task].ways.as_slice(), [way] if way.worker == worker);
        let own: Vec<usize> = tasks.iter().copied().filter(only).collect();
        let mut pieces: Vec<Piece> = own.iter().map(|&task| piece(task)).collect();
        if overloaded(&mut pieces, |from, to| between(free, from, to))
            || limited(model, &own, bounds, free)
        {
            return true;
        }
    }
    false
}

/// Limits of one worker. Spans that count the same tasks are looked at together.
fn limited(model: &Model, own: &[usize], bounds: &[(i32, i32)], free: &[i64]) -> bool {
    let limits_of =
        |task: usize| model.tasks[task].ways.first().map_or(&[][..], |way| way.limits.as_slice());
    let mut groups: Vec<(Vec<usize>, Vec<usize>)> = Vec::new();
    let mut seen: Vec<usize> =
        own.iter().flat_map(|&task| limits_of(task).iter().copied()).collect();
    seen.sort_unstable();
    seen.dedup();
    for limit in seen {
        let members: Vec<usize> =
            own.iter().copied().filter(|&task| limits_of(task).contains(&limit)).collect();
        match groups.iter_mut().find(|(known, _)| *known == members) {
            Some((_, limits)) => limits.push(limit),
            None => groups.push((members, vec![limit])),
        }
    }
    for (members, limits) in groups {
        // Only spans side by side add up.
        let mut spans: Vec<_> = limits.iter().map(|&limit| model.limits[limit]).collect();
        spans.sort_unstable_by_key(|span| (span.from, span.to));
        if spans.windows(2).any(|pair| pair[0].to > pair[1].from) {
            continue;
        }
        let mut pieces: Vec<Piece> = members
            .iter()
            .map(|&task| Piece {
                from: bounds[task].0,
                to: bounds[task].1 + 1,
                size: i64::from(model.tasks[task].length),
            })
            .collect();
        let longest = members.iter().map(|&task| model.tasks[task].length).max().unwrap_or(0);
        // Starts lie in [from, to): inside a span at most its limit, and at most the free time that
        // work started there can reach; outside all spans the free time alone.
        let room = |from: i32, to: i32| {
            let mut sum = 0;
            let mut here = from;
            for span in spans.iter().filter(|span| span.to > from && span.from < to) {
                let (a, b) = (span.from.max(from), span.to.min(to));
                if a > here {
                    sum += between(free, here, a + longest - 1);
                }
                sum += i64::from(span.most).min(between(free, a, b + longest - 1));
                here = b;
            }
            if to > here {
                sum += between(free, here, to + longest - 1);
            }
            sum
        };
        if overloaded(&mut pieces, room) {
            return true;
        }
    }
    false
}

/// More in a place than it holds: what must be there at a slot in any plan, and what must pass through it
/// in a span.
fn overfull(model: &Model, bounds: &[(i32, i32)]) -> bool {
    let slots = at(model.horizon);
    let resources = model.room.len() / slots.max(1);
    for resource in 0..resources {
        let room = &model.room[resource * slots..(resource + 1) * slots];
        let mut must = vec![0_i64; slots];
        let mut add = |from: i32, to: i32, amount: i32| {
            for slot in from.max(0)..to.min(model.horizon) {
                must[at(slot)] += i64::from(amount);
            }
        };
        let mut pieces = Vec::new();
        for (task, of) in model.tasks.iter().enumerate() {
            let (low, high) = bounds[task];
            for &(_, amount) in of.uses.iter().filter(|(used, _)| *used == resource) {
                add(high, low + of.length, amount);
                let size = i64::from(amount) * i64::from(of.length);
                pieces.push(Piece { from: low, to: high + of.length, size });
            }
        }
        for of in &model.rests {
            let [mode] = of.modes.as_slice() else { continue };
            for &(_, amount) in mode.store.iter().filter(|(used, _)| *used == resource) {
                add(bounds[of.from].1 + model.tasks[of.from].length, bounds[of.to].0, amount);
            }
        }
        if must.iter().zip(room).any(|(&must, &room)| must > i64::from(room)) {
            return true;
        }
        let free: Vec<i64> = room.iter().map(|&room| i64::from(room.max(0))).collect();
        let free = sums(&free);
        if overloaded(&mut pieces, |from, to| between(&free, from, to)) {
            return true;
        }
    }
    false
}
