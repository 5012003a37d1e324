//! What stands in a place at one moment: no more than it holds.
//!
//! In: the model, the layout of the relaxation, its point. Out: broken rows, one for each stretch of time in which a
//! place is too full at the point. Counts what is there for certain: a task that has started and cannot have
//! ended, a rest whose producer has ended and whose consumer cannot have started.

use super::super::super::model::{Model, at};
use super::cells::Cell;
use super::cuts::{Cut, offer};
use super::rows::Layout;
use crate::arrange::Arrange;

/// Something that takes room when all of `base` and the steps up to a moment add up to one, and none
/// when they do not.
#[derive(Debug, Clone)]
pub(super) struct Stay {
    resource: usize,
    amount: i64,
    /// A mode that has to be chosen for it.
    mode: Option<usize>,
    /// From this slot on the variable counts for 1 more or less; sorted.
    steps: Vec<(i32, i64, usize)>,
}

/// All stays of a problem.
pub(super) fn stays(model: &Model, layout: &Layout) -> Vec<Stay> {
    let mut out = Vec::new();
    let mut add = |resource: usize, amount: i32, mode: Option<usize>, mut steps: Vec<_>| {
        steps.arrange();
        if !steps.is_empty() && amount > 0 {
            out.push(Stay { resource, amount: i64::from(amount), mode, steps });
        }
    };
    let cells = |task: usize| layout.cells[task].iter().zip(&layout.cell[task]);
    // Between two moments that both depend on one cell.
    let span = |task: usize, from: &dyn Fn(&Cell) -> i32, to: &dyn Fn(&Cell) -> i32| {
        let mut steps = Vec::new();
        for (cell, &variable) in cells(task).filter(|(cell, _)| from(cell) < to(cell)) {
            steps.push((from(cell), 1, variable));
            steps.push((to(cell), -1, variable));
        }
        steps
    };
    for (task, of) in model.tasks.iter().enumerate() {
        for &(resource, amount) in &of.uses {
            let steps = span(task, &|cell| cell.to, &|cell| cell.from + of.length);
            add(resource, amount, None, steps);
        }
    }
    for (rest, of) in model.rests.iter().enumerate() {
        let length = model.tasks[of.from].length;
        for (index, mode) in of.modes.iter().enumerate() {
            let chosen = match (of.modes.len(), layout.chosen[rest].get(index)) {
                (1, _) => None,
                (_, Some(&Some(variable))) => Some(variable),
                // A mode that cannot be, or the only one that can, which is not told apart here.
                _ => continue,
            };
            for &(resource, amount) in &mode.store {
                let mut steps: Vec<(i32, i64, usize)> =
                    cells(of.from).map(|(cell, &x)| (cell.to + length, 1, x)).collect();
                steps.extend(cells(of.to).map(|(cell, &x)| (cell.from - mode.tail, -1, x)));
                add(resource, amount, chosen, steps);
            }
            for &(resource, amount) in &mode.tail_store {
                let steps = span(of.to, &|cell| cell.to - mode.tail, &|cell| cell.from);
                add(resource, amount, chosen, steps);
            }
        }
    }
    out
}

/// Moments at which a place is too full.
pub(super) fn places(model: &Model, layout: &Layout, point: &[f64], cuts: &mut Vec<Cut>) {
    let slots = at(model.horizon);
    let resources = model.room.len() / slots.max(1);
    let mut change = vec![0.0; resources * (slots + 1)];
    for stay in &layout.stays {
        let base = stay.mode.map_or(0.0, |mode| point[mode] - 1.0);
        let mut sum = base;
        let amount = f64::from(i32::try_from(stay.amount).unwrap_or(i32::MAX));
        for (index, &(slot, sign, variable)) in stay.steps.iter().enumerate() {
            sum += if sign > 0 { point[variable] } else { -point[variable] };
            let next = stay.steps.get(index + 1).map_or(model.horizon, |step| step.0);
            let (from, to) = (slot.clamp(0, model.horizon), next.clamp(0, model.horizon));
            if sum > 1e-6 && from < to {
                change[stay.resource * (slots + 1) + at(from)] += sum * amount;
                change[stay.resource * (slots + 1) + at(to)] -= sum * amount;
            }
        }
    }
    for resource in 0..resources {
        let mut load = 0.0;
        // The worst slot of the stretch that is too full.
        let mut worst: Option<(f64, usize)> = None;
        for slot in 0..slots {
            load += change[resource * (slots + 1) + slot];
            let over = load - f64::from(model.room[resource * slots + slot].max(0));
            if over > 0.02 {
                if worst.is_none_or(|(most, _)| over > most) {
                    worst = Some((over, slot));
                }
            } else if let Some((_, slot)) = worst.take() {
                moment(model, layout, point, resource, slot, cuts);
            }
        }
        if let Some((_, slot)) = worst {
            moment(model, layout, point, resource, slot, cuts);
        }
    }
}

/// Everything that is in a place at a slot for certain.
fn moment(
    model: &Model,
    layout: &Layout,
    point: &[f64],
    resource: usize,
    slot: usize,
    cuts: &mut Vec<Cut>,
) {
    let mut most = i64::from(model.room[resource * at(model.horizon) + slot].max(0));
    let mut terms = Vec::new();
    for stay in layout.stays.iter().filter(|stay| stay.resource == resource) {
        let here = || stay.steps.iter().take_while(|step| step.0 <= 0 || at(step.0) <= slot);
        let mut sum = stay.mode.map_or(0.0, |mode| point[mode] - 1.0);
        for &(_, sign, variable) in here() {
            sum += if sign > 0 { point[variable] } else { -point[variable] };
        }
        // Each stay takes at least this and at least nothing: only what says something is added.
        if sum > 1e-6 {
            terms.extend(here().map(|&(_, sign, x)| (x, -sign * stay.amount)));
            if let Some(mode) = stay.mode {
                terms.push((mode, -stay.amount));
                most += stay.amount;
            }
        }
    }
    terms.arrange();
    let mut row: Vec<(usize, i64)> = Vec::with_capacity(terms.len());
    for (variable, a) in terms {
        match row.last_mut() {
            Some((last, sum)) if *last == variable => *sum += a,
            _ => row.push((variable, a)),
        }
    }
    row.retain(|&(_, a)| a != 0);
    offer(cuts, point, row, -most);
}
