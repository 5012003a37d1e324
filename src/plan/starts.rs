//! Where a segment could start.
//!
//! In: a problem, the plan shown, one segment. Out: the starts that bounds do not rule out. Fast enough to
//! run while a finger drags: every start in question is probed by passing bounds on, nothing is searched.

use super::board::{Board, NOWHERE};
use super::model::{Bounds, Model, at};
use super::spread::Spread;
use super::{Plan, Problem};

/// Starts of `segment` of `activity` that its windows, its links to pinned and passive neighbours, and
/// the others' room to move do not rule out, as sorted disjoint half-open intervals of slots.
/// Everything that is not pinned may move, but the activity's own other segments, which stay where
/// `plan` has them: dropping one pins them all. Its own pin does not count. A start outside is
/// impossible; a start inside is likely.
pub fn possible_starts(
    problem: &Problem,
    plan: &Plan,
    activity: &str,
    segment: usize,
) -> Vec<(i32, i32)> {
    let Some(index) = problem.activities.iter().position(|other| other.id == activity) else {
        return Vec::new();
    };
    let mut problem = problem.clone();
    problem.activities[index].pin = None;
    let model = Model::compile(&problem, Bounds::Hard);
    if segment >= model.tasks_of(index).len() {
        return Vec::new();
    }
    let task = model.first[index] + segment;
    let board = Board::new(&model);
    let held: Vec<(usize, i32)> = model
        .tasks_of(index)
        .zip(plan.starts.get(activity).map_or(&[][..], Vec::as_slice))
        .filter(|&(other, _)| other != task)
        .map(|(other, &start)| (other, start))
        .collect();
    let Some(mut spread) = settle(&model, &board, task, &held) else { return Vec::new() };
    let mut starts = Vec::new();
    for &(from, to) in &model.tasks[task].domain {
        for start in from.max(spread.low[task])..=to.min(spread.high[task]) {
            if !free(&model, &board, task, start) {
                continue;
            }
            let here = spread.here();
            if spread.narrow(&model, None, task, start, start) && spread.run(&model, Some(&board)) {
                starts.push(start);
            }
            spread.reset();
            spread.back(here);
        }
    }
    joined(&starts)
}

/// Bounds of everything. Where pins contradict each other, what cannot be is left out of account, so
/// that an unlucky pin elsewhere does not forbid every move.
fn settle(model: &Model, board: &Board, task: usize, held: &[(usize, i32)]) -> Option<Spread> {
    let mut left_out: Vec<usize> = Vec::new();
    for _ in 0..=model.tasks.len() {
        let mut spread = Spread::new(model);
        for &other in &left_out {
            spread.ignored[other] = true;
        }
        let narrowed = held.iter().all(|&(other, start)| {
            spread.ignored[other] || spread.narrow(model, None, other, start, start)
        });
        let fits = (0..model.tasks.len()).all(|other| {
            spread.push(other);
            spread.ignored[other]
                || board.places[other].start != NOWHERE
                || spread.fit(model, Some(board), other)
        });
        if narrowed && fits && spread.run(model, Some(board)) {
            return Some(spread);
        }
        // The task itself is never left out: something beside it is.
        let failed = spread.failed;
        let culprit = if failed != task && !left_out.contains(&failed) {
            Some(failed)
        } else {
            model.arcs[failed]
                .iter()
                .map(|arc| arc.other)
                .find(|&other| other != task && !left_out.contains(&other))
        };
        left_out.push(culprit?);
    }
    None
}

/// Whether worker and equipment have room beside what is pinned.
fn free(model: &Model, board: &Board, task: usize, start: i32) -> bool {
    let of = &model.tasks[task];
    let can = of.ways.iter().any(|way| {
        way.spots.iter().any(|spot| spot.from <= start && start <= spot.to)
            && (way.worker == usize::MAX || board.blocked(way.worker, start, of.length).is_none())
            && board.within_limits(model, &way.limits, start, of.length)
    });
    can && of.uses.iter().all(|&(resource, amount)| {
        board
            .slots(resource)
            .get(at(start)..at(start + of.length))
            .is_some_and(|slots| slots.iter().all(|&left| left >= amount))
    })
}

fn joined(starts: &[i32]) -> Vec<(i32, i32)> {
    let mut out: Vec<(i32, i32)> = Vec::new();
    for &start in starts {
        match out.last_mut() {
            Some(last) if last.1 == start => last.1 = start + 1,
            _ => out.push((start, start + 1)),
        }
    }
    out
}
