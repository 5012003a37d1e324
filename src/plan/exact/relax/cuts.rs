//! Rows that every sound plan keeps and the point reached breaks.
//!
//! In: the model, the layout of the relaxation, its point. Out: broken rows, the worst first. Each kind says in
//! its own words why it holds.

use super::super::super::model::Model;
use super::Row;
use super::rows::Layout;
use crate::arrange::Arrange;

/// A row is broken by at least this part of the length of its coefficients.
const BROKEN: f64 = 0.02;

/// A broken row and how far it is broken.
#[derive(Debug, Clone)]
pub(super) struct Cut {
    pub(super) row: Row,
    pub(super) depth: f64,
}

/// Rounds where it must: what is looked for need not be exact, what is found is whole.
#[expect(clippy::cast_precision_loss, reason = "only for looking")]
fn float(value: i64) -> f64 {
    value as f64
}

pub(super) fn offer(cuts: &mut Vec<Cut>, point: &[f64], terms: Vec<(usize, i64)>, least: i64) {
    let mut sum = 0.0;
    let mut length = 0.0;
    for &(variable, a) in &terms {
        sum += float(a) * point[variable];
        length += float(a) * float(a);
    }
    let depth = (float(least) - sum) / f64::sqrt(length.max(1.0));
    if depth > BROKEN {
        cuts.push(Cut { row: Row { terms, least }, depth });
    }
}

/// If a task starts so early that another, which has to come some time before it, cannot lie in its later
/// cells: at most one of the two holds.
pub(super) fn orders(model: &Model, layout: &Layout, point: &[f64], cuts: &mut Vec<Cut>) {
    for (task, arcs) in model.arcs.iter().enumerate() {
        for arc in arcs {
            order(layout, point, task, arc.other, arc.min, cuts);
        }
    }
}

/// `start(second) - start(first) >= least`.
fn order(
    layout: &Layout,
    point: &[f64],
    first: usize,
    second: usize,
    least: i32,
    cuts: &mut Vec<Cut>,
) {
    let (early, late) = (&layout.cells[second], &layout.cells[first]);
    if early.len() < 2 && late.len() < 2 {
        return;
    }
    // Cells of the second by their end; cells of the first by their start.
    let mut by_end: Vec<(i32, usize)> =
        early.iter().zip(&layout.cell[second]).map(|(cell, &x)| (cell.to, x)).collect();
    by_end.arrange();
    let by_start: Vec<(i32, usize)> =
        late.iter().zip(&layout.cell[first]).map(|(cell, &x)| (cell.from, x)).collect();
    let mut sum = 0.0;
    let mut rest: f64 = by_start.iter().map(|&(_, x)| point[x]).sum();
    let mut gone = 0;
    let mut best: Option<(f64, usize, usize)> = None;
    for (index, &(end, variable)) in by_end.iter().enumerate() {
        sum += point[variable];
        while by_start.get(gone).is_some_and(|&(from, _)| from <= end - least) {
            rest -= point[by_start[gone].1];
            gone += 1;
        }
        if gone == by_start.len() {
            break;
        }
        // Only the longest list for the same right side says anything new.
        let next_same =
            by_end.get(index + 1).is_some_and(|&(next, _)| by_start[gone].0 > next - least);
        if !next_same && sum + rest > 1.0 + BROKEN {
            let over = sum + rest;
            if best.is_none_or(|(most, _, _)| over > most + 1e-9) {
                best = Some((over, index, gone));
            }
        }
    }
    if let Some((_, index, gone)) = best {
        let mut terms: Vec<(usize, i64)> = by_end[..=index].iter().map(|&(_, x)| (x, -1)).collect();
        terms.extend(by_start[gone..].iter().map(|&(_, x)| (x, -1)));
        offer(cuts, point, terms, -1);
    }
}

/// Work in a window, or counted by a limit: pieces of whole lengths in a whole room. Rounding lengths down to
/// multiples of a unit, and the room too, keeps every row true (Chvátal & Gomory).
pub(super) fn pieces(layout: &Layout, point: &[f64], cuts: &mut Vec<Cut>) {
    for room in &layout.rooms {
        let mut used = 0.0;
        for &(variable, length) in &room.pieces {
            used += float(length) * point[variable];
        }
        if used < 0.5 * float(room.most) {
            continue;
        }
        let longest = room.pieces.iter().map(|&(_, length)| length).max().unwrap_or(0);
        let mut best: Option<(f64, i64)> = None;
        for unit in 2..=longest {
            let most = room.most / unit;
            let mut sum = 0.0;
            let mut size = 0.0;
            for &(variable, length) in &room.pieces {
                let part = float(length / unit);
                sum += part * point[variable];
                size += part * part;
            }
            let depth = (sum - float(most)) / f64::sqrt(f64::max(size, 1.0));
            if depth > BROKEN && best.is_none_or(|(deepest, _)| depth > deepest) {
                best = Some((depth, unit));
            }
        }
        if let Some((_, unit)) = best {
            let terms = room
                .pieces
                .iter()
                .filter(|&&(_, length)| length >= unit)
                .map(|&(variable, length)| (variable, -(length / unit)))
                .collect();
            offer(cuts, point, terms, -(room.most / unit));
        }
    }
}

/// Work that lies in part of a window for certain: no more than that part holds.
pub(super) fn spans(model: &Model, layout: &Layout, point: &[f64], cuts: &mut Vec<Cut>) {
    for work in &layout.work {
        let live: f64 = work.iter().map(|&(_, _, variable)| point[variable]).sum();
        if live < 1.2 {
            continue;
        }
        let of = |&(task, cell, variable): &(usize, usize, usize)| {
            let (cell, length) = (layout.cells[task][cell], model.tasks[task].length);
            (cell.from, cell.to, length, variable)
        };
        let mut starts: Vec<i32> = work.iter().map(|piece| of(piece).0).collect();
        let mut ends: Vec<i32> = work.iter().map(|piece| of(piece).1 + of(piece).2).collect();
        starts.extend(work.iter().map(|piece| of(piece).1));
        ends.extend(work.iter().map(|piece| of(piece).0 + of(piece).2));
        for list in [&mut starts, &mut ends] {
            list.arrange();
            list.dedup();
        }
        let mut best: Option<(f64, i32, i32)> = None;
        let inside = |piece: &(usize, usize, usize), a: i32, b: i32| {
            let (from, to, length, variable) = of(piece);
            let least = length.min(b - a).min(from + length - a).min(b - to);
            (variable, i64::from(least.max(0)))
        };
        for &a in &starts {
            for &b in ends.iter().filter(|&&b| b > a) {
                let (mut sum, mut size) = (0.0, 0.0);
                for piece in work {
                    let (variable, least) = inside(piece, a, b);
                    sum += float(least) * point[variable];
                    size += float(least * least);
                }
                let depth = (sum - f64::from(b - a)) / f64::sqrt(f64::max(size, 1.0));
                if depth > BROKEN && best.is_none_or(|(deepest, _, _)| depth > deepest) {
                    best = Some((depth, a, b));
                }
            }
        }
        if let Some((_, a, b)) = best {
            let terms = work
                .iter()
                .map(|piece| inside(piece, a, b))
                .filter(|&(_, least)| least > 0)
                .map(|(variable, least)| (variable, -least))
                .collect();
            offer(cuts, point, terms, -i64::from(b - a));
        }
    }
}

/// The lag between two tasks is at least what the cell of the one leaves to the other's cells.
pub(super) fn lags(model: &Model, layout: &Layout, point: &[f64], cuts: &mut Vec<Cut>) {
    for (task, arcs) in model.arcs.iter().enumerate() {
        for arc in arcs {
            let (first, second) = (task, arc.other);
            let ((a, a_offset), (b, b_offset)) = (layout.start[first], layout.start[second]);
            if a == b {
                continue;
            }
            let lag = point[b] - point[a] + float(b_offset - a_offset);
            if lag > f64::from(arc.max) - 0.01 {
                continue;
            }
            for given in [first, second] {
                let other = first + second - given;
                let mut right = 0.0;
                let mut terms = vec![(b, 1), (a, -1)];
                for (cell, &variable) in layout.cells[given].iter().zip(&layout.cell[given]) {
                    let mut least = i32::MAX;
                    for end in &layout.cells[other] {
                        let (from, to) = if given == first { (cell, end) } else { (end, cell) };
                        // Lags that the two cells allow.
                        let (low, high) = (to.from - from.to, to.to - from.from);
                        if low <= arc.max && high >= arc.min {
                            least = least.min(low.max(arc.min));
                        }
                    }
                    if least == i32::MAX {
                        // No end fits: this cell is impossible, which other rows say.
                        least = arc.min;
                    }
                    right += f64::from(least) * point[variable];
                    terms.push((variable, -i64::from(least)));
                }
                if right > lag + 0.01 {
                    offer(cuts, point, terms, a_offset - b_offset);
                }
            }
        }
    }
}
