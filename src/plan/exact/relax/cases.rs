//! Cases told apart: a task starts in its earlier or its later cells, a rest is in a mode or not, one of two
//! tasks for the same hands comes first.
//!
//! In: the case of least bound and the point that its relaxation reached. Out: two cases that together leave
//! nothing out; what the marks of a case leave of everybody's cells. Proves nothing by itself.

use std::cmp::Reverse;

use super::super::super::model::Model;
use super::Row;
use super::root::Root;

/// Rows added to a case.
const FEW: usize = 30;
/// Cases remembered at most.
const CASES: usize = 200_000;

/// What a case has beside its parent's.
#[derive(Debug, Clone, Copy)]
pub(super) enum Mark {
    /// The first case: nothing.
    None,
    /// A task starts in some of its cells.
    Cells(usize, u64),
    /// The first of a pair comes before the second.
    Order(usize),
    /// A rest is or is not in a mode: the mode's variable is 0 or 1.
    Mode(usize, i64),
}

/// A case: all of its parent's, and one mark more.
#[derive(Debug, Clone, Copy)]
pub(super) struct Case {
    pub(super) parent: usize,
    pub(super) mark: Mark,
    pub(super) bound: i64,
}

/// One of a pair before the other, for the same hands: a row that counts where it is marked.
#[derive(Debug, Clone, Copy)]
pub(super) struct Order {
    pub(super) first: usize,
    pub(super) second: usize,
    pub(super) row: usize,
    /// `start(second) - start(first)`, as variables, when marked and otherwise.
    pub(super) marked: i64,
    pub(super) idle: i64,
}

impl Root {
    /// Takes the case of least bound in hand; false if it fell at once or there is none.
    pub(super) fn next(&mut self, model: &Model, upper: i64) -> bool {
        let Some(Reverse((bound, case))) = self.open.pop() else {
            self.sum_up(upper);
            return false;
        };
        if bound >= upper {
            self.settled = self.settled.min(bound);
            self.sum_up(upper);
            return false;
        }
        let mut allowed = self.left.clone();
        let mut changed = Vec::new();
        let (mut marked, mut modes) = (Vec::new(), Vec::new());
        let mut at = case;
        while at != usize::MAX {
            let of = &self.cases[at];
            match of.mark {
                Mark::None => {}
                Mark::Cells(task, mask) => {
                    allowed[task] &= mask;
                    changed.push(task);
                }
                Mark::Order(order) => marked.push(order),
                Mark::Mode(variable, value) => modes.push((variable, value)),
            }
            at = of.parent;
        }
        if !self.settle(model, &mut allowed, changed, &marked) {
            self.settled = self.settled.min(self.fixed);
            self.sum_up(upper);
            return false;
        }
        self.allow(&allowed);
        for (index, order) in self.orders.iter().enumerate() {
            let least = if marked.contains(&index) { order.marked } else { order.idle };
            self.relaxation.set_least(order.row, least);
        }
        for &(variable, _) in &self.layout.modes {
            self.relaxation.set_bounds(variable, 0, 1);
        }
        for (variable, value) in modes {
            self.relaxation.set_bounds(variable, value, value);
        }
        self.current = Some(case);
        self.tried = 0;
        true
    }

    /// Takes cells away in which nothing cheaper than `upper` can lie, by what they add to the bound of the whole.
    pub(super) fn fix(&mut self, model: &Model, upper: i64) {
        let Some(whole) = &self.whole else { return };
        self.fixed = self.fixed.min(upper);
        let scale = i128::from(whole.scale);
        let reduced = self.relaxation.reduced(whole);
        let (low, high) = (&self.layout.low, &self.layout.high);
        let mut total = i128::from(whole.row.least);
        for &(x, a) in &reduced {
            total += a * i128::from(if a > 0 { low[x] } else { high[x] });
        }
        let slack =
            i128::from(upper) * scale - scale - i128::from(self.layout.constant) * scale - total;
        let mut left = self.left.clone();
        for (task, cells) in self.layout.cell.iter().enumerate() {
            if self.net.all[task] == 0 {
                continue;
            }
            for (bit, &x) in cells.iter().enumerate() {
                let Ok(at) = reduced.binary_search_by_key(&x, |entry| entry.0) else { continue };
                if low[x] == high[x] || reduced[at].1.abs() <= slack {
                    continue;
                }
                // Away from the bound that the whole counts on, the cost would be too high.
                left[task] &= if reduced[at].1 > 0 { !(1 << bit) } else { 1 << bit };
            }
        }
        let all = (0..left.len()).collect();
        if self.settle(model, &mut left, all, &[]) {
            self.left = left;
        } else {
            self.close();
        }
    }

    /// Takes cells away that nothing marked leaves; false if a task is left with none.
    pub(super) fn settle(
        &self,
        model: &Model,
        allowed: &mut [u64],
        changed: Vec<usize>,
        marked: &[usize],
    ) -> bool {
        if !self.net.settle(allowed, changed) || none_left(allowed, &self.net.all) {
            return false;
        }
        loop {
            let mut changed = Vec::new();
            for &order in marked {
                let Order { first, second, .. } = self.orders[order];
                if self.net.all[first] == 0 || self.net.all[second] == 0 {
                    continue;
                }
                let length = model.tasks[first].length;
                let (early, late) = (&self.layout.cells[first], &self.layout.cells[second]);
                let from = bits(allowed[first]).map(|bit| early[bit].from).min().unwrap_or(0);
                let to = bits(allowed[second]).map(|bit| late[bit].to).max().unwrap_or(0);
                for (task, cells) in [(first, early), (second, late)] {
                    let before = allowed[task];
                    for bit in bits(before) {
                        let fits = if task == first {
                            cells[bit].from + length <= to
                        } else {
                            cells[bit].to >= from + length
                        };
                        if !fits {
                            allowed[task] &= !(1 << bit);
                        }
                    }
                    if allowed[task] == 0 {
                        return false;
                    }
                    if allowed[task] != before {
                        changed.push(task);
                    }
                }
            }
            if changed.is_empty() {
                return true;
            }
            if !self.net.settle(allowed, changed) || none_left(allowed, &self.net.all) {
                return false;
            }
        }
    }

    /// Moves the bounds of the relaxation to what the cells leave.
    pub(super) fn allow(&mut self, allowed: &[u64]) {
        let starts = self.layout.low.len();
        let mut bounds: Vec<Option<(i64, i64)>> = vec![None; starts];
        for (task, &mask) in allowed.iter().enumerate() {
            let (variable, offset) = self.layout.start[task];
            let mut range = (i64::MAX, i64::MIN);
            for (bit, (cell, &x)) in
                self.layout.cells[task].iter().zip(&self.layout.cell[task]).enumerate()
            {
                let here = self.net.all[task] == 0 || mask >> bit & 1 == 1;
                if here {
                    range.0 = range.0.min(i64::from(cell.from) - offset);
                    range.1 = range.1.max(i64::from(cell.to) - offset);
                }
                let low = i64::from(here && mask.is_power_of_two() && self.net.all[task] != 0);
                self.relaxation.set_bounds(
                    x,
                    low.max(self.layout.low[x]),
                    i64::from(here).min(self.layout.high[x]),
                );
            }
            let whole = (self.layout.low[variable], self.layout.high[variable]);
            let old = bounds[variable].unwrap_or(whole);
            bounds[variable] = Some((old.0.max(range.0), old.1.min(range.1)));
        }
        for (variable, bounds) in bounds.into_iter().enumerate() {
            if let Some((low, high)) = bounds {
                self.relaxation.set_bounds(variable, low, high);
            }
        }
        self.allowed = allowed.to_vec();
    }

    /// What to do with the case in hand, whose bound is known.
    pub(super) fn judge(&mut self, model: &Model, proven: i64, upper: i64) {
        let Some(case) = self.current else { return };
        let before = self.cases[case].bound;
        let bound = before.max(proven);
        self.cases[case].bound = bound;
        if bound >= upper {
            self.settled = self.settled.min(bound);
            self.current = None;
            return;
        }
        let point = self.relaxation.point();
        if self.tried < 2 {
            self.tried += 1;
            let cuts = self.broken(model, &point, FEW);
            if !cuts.is_empty() {
                if self.relaxation.rows() > self.base + self.base / 2 {
                    self.drop_idle_rows();
                }
                for cut in &cuts {
                    self.relaxation.add_row(&cut.row);
                }
                return;
            }
        }
        self.current = None;
        self.branch(model, case, bound, &point);
    }

    /// Tells two cases apart.
    pub(super) fn branch(&mut self, model: &Model, parent: usize, bound: i64, point: &[f64]) {
        let mut best: Option<(f64, [Mark; 2])> = None;
        for &(variable, price) in &self.layout.modes {
            let least = f64::min(point[variable], 1.0 - point[variable]);
            let score = least * f64::from(i32::try_from(price).unwrap_or(i32::MAX));
            if least > 0.01 && best.is_none_or(|(most, _)| score > most) {
                best = Some((score, [Mark::Mode(variable, 0), Mark::Mode(variable, 1)]));
            }
        }
        for task in 0..self.layout.cells.len() {
            let allowed = self.allowed[task];
            if self.net.all[task] == 0 || allowed.count_ones() < 2 {
                continue;
            }
            let of: Vec<(usize, f64)> = (0..self.layout.cells[task].len())
                .filter(|&bit| allowed >> bit & 1 == 1)
                .map(|bit| (bit, point[self.layout.cell[task][bit]]))
                .collect();
            let mut sum = 0.0;
            let mut mask = 0_u64;
            for pair in of.windows(2) {
                let ((bit, here), (next, _)) = (pair[0], pair[1]);
                sum += here;
                mask |= 1 << bit;
                let least = f64::min(sum, 1.0 - sum);
                if least < 0.01 {
                    continue;
                }
                let cells = &self.layout.cells[task];
                let gap = f64::from((cells[next].from - cells[bit].to).max(1));
                let weight = f64::from(i32::try_from(self.weight[task]).unwrap_or(i32::MAX));
                let score = least * gap * weight;
                if best.is_none_or(|(most, _)| score > most) {
                    best = Some((score, [Mark::Cells(task, mask), Mark::Cells(task, !mask)]));
                }
            }
        }
        let marks = match best {
            Some((_, marks)) => Some(marks),
            None => self.overlapping(model, point),
        };
        let Some(marks) = marks.filter(|_| self.cases.len() < CASES) else {
            self.settled = self.settled.min(bound);
            return;
        };
        for mark in marks {
            self.cases.push(Case { parent, mark, bound });
            self.open.push(Reverse((bound, self.cases.len() - 1)));
        }
    }

    /// Two tasks of the same hands that overlap at the point: one comes first, or they are told apart by cells.
    fn overlapping(&mut self, model: &Model, point: &[f64]) -> Option<[Mark; 2]> {
        let start = |task: usize| {
            let (variable, offset) = self.layout.start[task];
            point[variable] + f64::from(i32::try_from(offset).unwrap_or(0))
        };
        let mut best: Option<(f64, usize, usize)> = None;
        for work in &self.layout.work {
            let here: Vec<usize> =
                work.iter().filter(|piece| point[piece.2] > 0.99).map(|piece| piece.0).collect();
            for (index, &a) in here.iter().enumerate() {
                for &b in &here[index + 1..] {
                    let (from, to) = (start(a).max(start(b)), {
                        let end = |task: usize| start(task) + f64::from(model.tasks[task].length);
                        end(a).min(end(b))
                    });
                    let over = to - from;
                    let known = self.orders.iter().any(|order| {
                        (order.first, order.second) == (a, b) && self.is_marked(order)
                            || (order.first, order.second) == (b, a) && self.is_marked(order)
                    });
                    if over > 0.01 && !known && best.is_none_or(|(most, _, _)| over > most) {
                        best = Some((over, a, b));
                    }
                }
            }
        }
        let (_, a, b) = best?;
        // For the same hands in any case, or only in these cells?
        let hands = |task: usize| {
            let cells = &self.layout.cells[task];
            let way = cells[bits(self.allowed[task]).next()?].way;
            bits(self.allowed[task])
                .all(|bit| cells[bit].way == way)
                .then(|| model.tasks[task].ways[way].worker)
        };
        let (one, other) = (hands(a), hands(b));
        if one.is_some() && one == other {
            return Some([
                Mark::Order(self.order(model, a, b)),
                Mark::Order(self.order(model, b, a)),
            ]);
        }
        let task = if one.is_none() { a } else { b };
        let cells = &self.layout.cell[task];
        let bit = bits(self.allowed[task]).find(|&bit| point[cells[bit]] > 0.99)?;
        Some([Mark::Cells(task, 1 << bit), Mark::Cells(task, !(1 << bit))])
    }

    fn is_marked(&self, order: &Order) -> bool {
        order.marked != order.idle && self.relaxation.least_of(order.row) == order.marked
    }

    /// The order of a pair, with its row.
    fn order(&mut self, model: &Model, first: usize, second: usize) -> usize {
        let known = |order: &Order| (order.first, order.second) == (first, second);
        if let Some(order) = self.orders.iter().position(known) {
            return order;
        }
        let ((a, a_offset), (b, b_offset)) = (self.layout.start[first], self.layout.start[second]);
        let marked = i64::from(model.tasks[first].length) + a_offset - b_offset;
        let idle = (self.layout.low[b] - self.layout.high[a]).min(marked);
        let row = self.relaxation.rows();
        self.relaxation.add_row(&Row { terms: vec![(b, 1), (a, -1)], least: idle });
        self.orders.push(Order { first, second, row, marked, idle });
        self.orders.len() - 1
    }
}

/// Whether some task that takes part is left without a cell.
fn none_left(allowed: &[u64], all: &[u64]) -> bool {
    allowed.iter().zip(all).any(|(&left, &all)| all != 0 && left == 0)
}

/// Set bits, lowest first.
fn bits(mut mask: u64) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let bit = mask.trailing_zeros() as usize;
        mask &= mask.wrapping_sub(1);
        (bit < 64).then_some(bit)
    })
}
