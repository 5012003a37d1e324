//! Where each task can start at all: its cells.
//!
//! In: the model compiled for proofs, and bounds on starts. Out: for each task its cells, narrowed by the lags to
//! its neighbours' cells until nothing changes; or a refutation. Knows no rows and no costs.

use super::super::super::model::{Model, join, meet};
use crate::arrange::Arrange;

/// A passive task has at most so many cells; closer ones are joined.
const MOST_CELLS: usize = 48;

/// How far along chains of passive tasks splits are passed on.
const SPLITS: usize = 3;

/// Starts `from..=to` of a task: inside one window of one worker, or one stretch of a passive task.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Cell {
    /// Index into the task's ways.
    pub(crate) way: usize,
    /// Index into the model's windows; `usize::MAX` for a passive task.
    pub(crate) window: usize,
    pub(crate) from: i32,
    pub(crate) to: i32,
}

/// The cells of every task, sorted by start; none if lags and windows contradict.
pub(super) fn cells(model: &Model, bounds: &[(i32, i32)]) -> Option<Vec<Vec<Cell>>> {
    let starts =
        model.tasks.iter().zip(bounds).map(|(of, &bounds)| meet(&of.domain, &[bounds])).collect();
    within(model, starts, |_, _, _| true)
}

/// The cells again, for what is left of them; none if nothing goes together any more.
pub(super) fn narrowed(model: &Model, left: &[Vec<Cell>]) -> Option<Vec<Vec<Cell>>> {
    let starts =
        left.iter().map(|of| join(of.iter().map(|cell| (cell.from, cell.to)).collect())).collect();
    within(model, starts, |task, way, spot| {
        let meets = |cell: &Cell| cell.way == way && cell.from <= spot.1 && spot.0 <= cell.to;
        left[task].iter().any(meets)
    })
}

/// Cells in these starts, in the ways and spots that are asked for.
fn within(
    model: &Model,
    starts: Vec<Vec<(i32, i32)>>,
    wanted: impl Fn(usize, usize, (i32, i32)) -> bool,
) -> Option<Vec<Vec<Cell>>> {
    let domains = domains(model, starts)?;
    let mut out = Vec::with_capacity(domains.len());
    for (task, (of, domain)) in model.tasks.iter().zip(&domains).enumerate() {
        let mut cells = Vec::new();
        for (index, way) in of.ways.iter().enumerate() {
            if way.worker == usize::MAX {
                let mut parts = domain.clone();
                while parts.len() > MOST_CELLS {
                    let gap = |k: usize| parts[k + 1].0 - parts[k].1;
                    let next = (0..parts.len() - 1).min_by_key(|&k| (gap(k), k)).unwrap_or(0);
                    parts[next].1 = parts[next + 1].1;
                    parts.remove(next + 1);
                }
                cells.extend(parts.into_iter().map(|(from, to)| Cell {
                    way: index,
                    window: usize::MAX,
                    from,
                    to,
                }));
                continue;
            }
            for spot in way.spots.iter().filter(|spot| wanted(task, index, (spot.from, spot.to))) {
                let parts = meet(&[(spot.from, spot.to)], domain);
                if let (Some(first), Some(last)) = (parts.first(), parts.last()) {
                    let (from, to) = (first.0, last.1);
                    cells.push(Cell { way: index, window: spot.window, from, to });
                }
            }
        }
        if cells.is_empty() {
            return None;
        }
        cells.arrange_by_key(|cell| (cell.from, cell.to, cell.way));
        out.push(cells);
    }
    split(model, &mut out);
    Some(out)
}

/// Splits the cells of passive tasks where a neighbour's cells begin or end to matter, so that what is known
/// of the one is known of the other.
fn split(model: &Model, cells: &mut [Vec<Cell>]) {
    for _ in 0..SPLITS {
        let mut changed = false;
        for task in 0..cells.len() {
            if cells[task].iter().any(|cell| cell.window != usize::MAX) {
                continue;
            }
            let of = &model.tasks[task];
            // First starts of new cells.
            let mut cuts: Vec<i32> = Vec::new();
            if of.late > 0 {
                cuts.push(of.due + 1);
            }
            for arc in &model.arcs[task] {
                for cell in &cells[arc.other] {
                    cuts.push(cell.to - arc.min + 1);
                    cuts.push(cell.from - arc.max);
                }
            }
            cuts.arrange();
            cuts.dedup();
            let mut next = Vec::new();
            for cell in &cells[task] {
                let mut from = cell.from;
                let low = cuts.partition_point(|&cut| cut <= cell.from);
                for &cut in cuts[low..].iter().take_while(|&&cut| cut <= cell.to) {
                    next.push(Cell { from, to: cut - 1, ..*cell });
                    from = cut;
                }
                next.push(Cell { from, ..*cell });
            }
            if next.len() > cells[task].len() && next.len() <= MOST_CELLS {
                cells[task] = next;
                changed = true;
            }
        }
        if !changed {
            break;
        }
    }
}

/// Starts of every task that some start of each neighbour allows.
fn domains(model: &Model, mut domains: Vec<Vec<(i32, i32)>>) -> Option<Vec<Vec<(i32, i32)>>> {
    let n = model.tasks.len();
    let mut queue: std::collections::VecDeque<usize> = (0..n).collect();
    let mut queued = vec![true; n];
    // Each pass takes starts away or ends; where it does not end soon, what is left is wide enough.
    let mut passes = 200 * n;
    while let Some(task) = queue.pop_front() {
        queued[task] = false;
        if domains[task].is_empty() {
            return None;
        }
        if passes == 0 {
            break;
        }
        passes -= 1;
        for arc in &model.arcs[task] {
            let reach: Vec<(i32, i32)> =
                domains[task].iter().map(|&(a, b)| (a + arc.min, b + arc.max)).collect();
            let next = meet(&domains[arc.other], &join(reach));
            if next != domains[arc.other] {
                domains[arc.other] = next;
                if !queued[arc.other] {
                    queued[arc.other] = true;
                    queue.push_back(arc.other);
                }
            }
        }
    }
    domains.iter().all(|domain| !domain.is_empty()).then_some(domains)
}
