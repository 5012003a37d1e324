//! A sparse matrix taken apart so that systems with it are solved quickly.
//!
//! In: the columns of a square matrix. Out: solutions of `B x = b` and `Bᵀ y = c`, also after single columns
//! were replaced. Rounds like any arithmetic in `f64`; nothing that is proven rests on it.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Anything smaller is taken for zero.
const DUST: f64 = 1e-14;
/// A pivot smaller than this is none.
const WEAK: f64 = 1e-9;
/// A pivot is at least this part of the largest entry of its column.
const STEADY: f64 = 0.1;

/// Lists of (index, value), one after the other.
#[derive(Debug, Clone, Default)]
struct Lists {
    ends: Vec<usize>,
    entries: Vec<(u32, f64)>,
}

impl Lists {
    fn clear(&mut self) {
        self.ends.clear();
        self.entries.clear();
    }

    fn close(&mut self) {
        self.ends.push(self.entries.len());
    }

    fn of(&self, list: usize) -> &[(u32, f64)] {
        let from = if list == 0 { 0 } else { self.ends[list - 1] };
        &self.entries[from..self.ends[list]]
    }

    /// The same entries, listed by index.
    fn turned(&self, size: usize) -> Self {
        let mut ends = vec![0_usize; size + 1];
        for &(index, _) in &self.entries {
            ends[index as usize + 1] += 1;
        }
        for index in 0..size {
            ends[index + 1] += ends[index];
        }
        let mut next = ends.clone();
        let mut entries = vec![(0_u32, 0.0); self.entries.len()];
        for list in 0..self.ends.len() {
            for &(index, value) in self.of(list) {
                entries[next[index as usize]] = (small(list), value);
                next[index as usize] += 1;
            }
        }
        ends.remove(0);
        Self { ends, entries }
    }
}

/// Indices of a matrix that fits into memory fit into 32 bits.
pub(super) fn small(index: usize) -> u32 {
    u32::try_from(index).unwrap_or(u32::MAX)
}

/// A column that could not be told apart from the others, and a row left without one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Loose {
    pub(super) position: usize,
    pub(super) row: usize,
}

/// A square matrix as a product of triangular ones and of single replaced columns.
#[derive(Debug, Clone, Default)]
pub(super) struct Factors {
    size: usize,
    /// Row and position (column) of each step.
    row: Vec<u32>,
    position: Vec<u32>,
    /// Below the diagonal: rows; steps without entries are left out.
    lower: Lists,
    lower_steps: Vec<u32>,
    /// Above the diagonal, in steps: by column and by row.
    upper: Lists,
    upper_rows: Lists,
    diagonal: Vec<f64>,
    /// Replaced columns: position, pivot, the rest.
    changes: Vec<(u32, f64)>,
    changed: Lists,
    work: Vec<f64>,
}

impl Factors {
    /// Replaced columns since the last [`Self::take_apart`], and their entries.
    pub(super) fn age(&self) -> (usize, usize) {
        (self.changes.len(), self.changed.entries.len())
    }

    /// Entries of the triangular parts.
    pub(super) fn entries(&self) -> usize {
        self.lower.entries.len() + self.upper.entries.len() + self.size
    }

    /// Takes the matrix apart; columns that depend on others are named, and the factors then are of no use.
    pub(super) fn take_apart<'a>(
        &mut self,
        size: usize,
        column: impl Fn(usize) -> &'a [(u32, f64)],
    ) -> Vec<Loose> {
        self.size = size;
        self.row.clear();
        self.position.clear();
        self.lower.clear();
        self.lower_steps.clear();
        self.upper.clear();
        self.diagonal.clear();
        self.changes.clear();
        self.changed.clear();
        self.work.clear();
        self.work.resize(size, 0.0);
        let mut rows: Vec<Vec<u32>> = vec![Vec::new(); size];
        let mut in_column = vec![0_usize; size];
        for (position, count) in in_column.iter_mut().enumerate() {
            let entries = column(position);
            *count = entries.len();
            for &(row, _) in entries {
                rows[row as usize].push(small(position));
            }
        }
        let mut in_row: Vec<usize> = rows.iter().map(Vec::len).collect();
        let none = u32::MAX;
        let mut step_of_row = vec![none; size];
        let mut taken = vec![false; size];
        // Columns with one entry left, then rows with one column left, until neither is to be had.
        let mut columns: Vec<u32> =
            (0..size).filter(|&p| in_column[p] == 1).map(small).rev().collect();
        let mut single: Vec<u32> = (0..size).filter(|&r| in_row[r] == 1).map(small).rev().collect();
        loop {
            let (row, position) = if let Some(position) = columns.pop() {
                let position = position as usize;
                if taken[position] || in_column[position] != 1 {
                    continue;
                }
                let found =
                    column(position).iter().find(|&&(row, _)| step_of_row[row as usize] == none);
                let Some(&(row, value)) = found else { continue };
                if value.abs() < WEAK {
                    continue;
                }
                (row as usize, position)
            } else if let Some(row) = single.pop() {
                let row = row as usize;
                if step_of_row[row] != none || in_row[row] != 1 {
                    continue;
                }
                let found = rows[row].iter().find(|&&position| !taken[position as usize]);
                let Some(&position) = found else { continue };
                let position = position as usize;
                let open = |r: u32| step_of_row[r as usize] == none;
                let largest = column(position)
                    .iter()
                    .filter(|&&(r, _)| open(r))
                    .fold(0.0_f64, |most, &(_, value)| most.max(value.abs()));
                let own = column(position).iter().find(|&&(r, _)| r as usize == row);
                let own = own.map_or(0.0, |&(_, value)| value.abs());
                if own < WEAK || own < STEADY * STEADY * largest {
                    continue;
                }
                (row, position)
            } else {
                break;
            };
            let step = small(self.row.len());
            let mut pivot = 1.0;
            for &(r, value) in column(position) {
                if r as usize == row {
                    pivot = value;
                }
            }
            for &(r, value) in column(position) {
                let other = step_of_row[r as usize];
                if other != none {
                    self.upper.entries.push((other, value));
                } else if r as usize != row {
                    self.lower.entries.push((r, value / pivot));
                    in_row[r as usize] -= 1;
                    if in_row[r as usize] == 1 {
                        single.push(r);
                    }
                }
            }
            for &other in &rows[row] {
                in_column[other as usize] -= 1;
                if in_column[other as usize] == 1 && !taken[other as usize] {
                    columns.push(other);
                }
            }
            taken[position] = true;
            step_of_row[row] = step;
            self.finish_step(row, position, pivot);
        }
        self.kernel(&column, &mut step_of_row, &mut taken, &in_column, &mut in_row)
    }

    fn finish_step(&mut self, row: usize, position: usize, pivot: f64) {
        let before = self.lower.ends.last().copied().unwrap_or(0);
        if self.lower.entries.len() > before {
            self.lower_steps.push(small(self.row.len()));
            self.lower.close();
        }
        self.upper.close();
        self.diagonal.push(pivot);
        self.row.push(small(row));
        self.position.push(small(position));
    }

    /// What is left after the triangular part: column by column, sparse ones first.
    fn kernel<'a>(
        &mut self,
        column: &impl Fn(usize) -> &'a [(u32, f64)],
        step_of_row: &mut [u32],
        taken: &mut [bool],
        in_column: &[usize],
        in_row: &mut [usize],
    ) -> Vec<Loose> {
        let none = u32::MAX;
        let mut order: Vec<usize> = (0..self.size).filter(|&p| !taken[p]).collect();
        order.sort_unstable_by_key(|&position| (in_column[position], position));
        let mut list_of_step = vec![none; self.size];
        for (list, &step) in self.lower_steps.iter().enumerate() {
            list_of_step[step as usize] = small(list);
        }
        let mut loose = Vec::new();
        let mut heap: BinaryHeap<Reverse<u32>> = BinaryHeap::new();
        let mut seen = vec![false; self.size];
        let mut touched: Vec<u32> = Vec::new();
        let mut work = std::mem::take(&mut self.work);
        for position in order {
            touched.clear();
            for &(row, value) in column(position) {
                let r = row as usize;
                if !seen[r] {
                    seen[r] = true;
                    touched.push(row);
                    if step_of_row[r] != none {
                        heap.push(Reverse(step_of_row[r]));
                    }
                }
                work[r] += value;
            }
            while let Some(Reverse(step)) = heap.pop() {
                let list = list_of_step[step as usize];
                let value = work[self.row[step as usize] as usize];
                if list == none || value.abs() < DUST {
                    continue;
                }
                for &(row, part) in self.lower.of(list as usize) {
                    let r = row as usize;
                    if !seen[r] {
                        seen[r] = true;
                        touched.push(row);
                        if step_of_row[r] != none {
                            heap.push(Reverse(step_of_row[r]));
                        }
                    }
                    work[r] -= part * value;
                }
            }
            let mut largest = 0.0_f64;
            for &row in &touched {
                if step_of_row[row as usize] == none {
                    largest = largest.max(work[row as usize].abs());
                }
            }
            let mut best: Option<(usize, u32)> = None;
            if largest >= WEAK {
                for &row in &touched {
                    let r = row as usize;
                    if step_of_row[r] == none && work[r].abs() >= STEADY * largest {
                        let key = (in_row[r], row);
                        if best.is_none_or(|old| key < old) {
                            best = Some(key);
                        }
                    }
                }
            }
            for &(row, _) in column(position) {
                in_row[row as usize] = in_row[row as usize].saturating_sub(1);
            }
            if let Some((_, row)) = best {
                let pivot = work[row as usize];
                touched.sort_unstable();
                for &other in &touched {
                    let o = other as usize;
                    if work[o].abs() < DUST || other == row {
                        continue;
                    }
                    if step_of_row[o] == none {
                        self.lower.entries.push((other, work[o] / pivot));
                    } else {
                        self.upper.entries.push((step_of_row[o], work[o]));
                    }
                }
                let step = self.row.len();
                let lists = self.lower_steps.len();
                self.finish_step(row as usize, position, pivot);
                if self.lower_steps.len() > lists {
                    list_of_step[step] = small(lists);
                }
                step_of_row[row as usize] = small(step);
                taken[position] = true;
            } else {
                loose.push(Loose { position, row: 0 });
            }
            for &row in &touched {
                work[row as usize] = 0.0;
                seen[row as usize] = false;
            }
        }
        self.work = work;
        if loose.is_empty() {
            self.upper_rows = self.upper.turned(self.size);
        } else {
            let free = (0..self.size).filter(|&row| step_of_row[row] == none);
            for (loose, row) in loose.iter_mut().zip(free) {
                loose.row = row;
            }
        }
        loose
    }

    /// Solves `B x = b`: `b` by row in, `x` by position out.
    pub(super) fn forward(&mut self, b: &mut [f64]) {
        for (list, &step) in self.lower_steps.iter().enumerate() {
            let value = b[self.row[step as usize] as usize];
            if value != 0.0 {
                for &(row, part) in self.lower.of(list) {
                    b[row as usize] -= part * value;
                }
            }
        }
        let work = &mut self.work;
        for (step, &row) in self.row.iter().enumerate() {
            work[step] = b[row as usize];
        }
        for step in (0..self.size).rev() {
            let mut value = work[step];
            if value == 0.0 {
                continue;
            }
            if value.abs() < DUST {
                work[step] = 0.0;
                continue;
            }
            value /= self.diagonal[step];
            work[step] = value;
            for &(other, part) in self.upper.of(step) {
                work[other as usize] -= part * value;
            }
        }
        for (step, &position) in self.position.iter().enumerate() {
            b[position as usize] = work[step];
        }
        for (change, &(position, pivot)) in self.changes.iter().enumerate() {
            let p = position as usize;
            if b[p] == 0.0 {
                continue;
            }
            let value = b[p] / pivot;
            b[p] = value;
            for &(other, part) in self.changed.of(change) {
                b[other as usize] -= part * value;
            }
        }
    }

    /// Solves `Bᵀ y = c`: `c` by position in, `y` by row out.
    pub(super) fn backward(&mut self, c: &mut [f64]) {
        for (change, &(position, pivot)) in self.changes.iter().enumerate().rev() {
            let p = position as usize;
            let mut value = c[p];
            for &(other, part) in self.changed.of(change) {
                value -= part * c[other as usize];
            }
            c[p] = value / pivot;
        }
        let work = &mut self.work;
        for (step, &position) in self.position.iter().enumerate() {
            work[step] = c[position as usize];
        }
        for step in 0..self.size {
            let mut value = work[step];
            if value == 0.0 {
                continue;
            }
            if value.abs() < DUST {
                work[step] = 0.0;
                continue;
            }
            value /= self.diagonal[step];
            work[step] = value;
            for &(other, part) in self.upper_rows.of(step) {
                work[other as usize] -= part * value;
            }
        }
        for (step, &row) in self.row.iter().enumerate() {
            c[row as usize] = work[step];
        }
        for (list, &step) in self.lower_steps.iter().enumerate().rev() {
            let row = self.row[step as usize] as usize;
            let mut value = c[row];
            for &(other, part) in self.lower.of(list) {
                value -= part * c[other as usize];
            }
            c[row] = value;
        }
    }

    /// Replaces the column at a position by one whose solution (from [`Self::forward`]) is `solved`.
    pub(super) fn replace(&mut self, position: usize, solved: &[f64]) {
        for (other, &value) in solved.iter().enumerate() {
            if other != position && value.abs() >= DUST {
                self.changed.entries.push((small(other), value));
            }
        }
        self.changed.close();
        self.changes.push((small(position), solved[position]));
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::super::random::Random;
    use super::*;

    fn number(random: &mut Random, below: usize) -> f64 {
        f64::from(small(random.below(below)))
    }

    /// A product with the matrix, by columns.
    fn product(columns: &[Vec<(u32, f64)>], x: &[f64]) -> Vec<f64> {
        let mut out = vec![0.0; x.len()];
        for (column, &x) in columns.iter().zip(x) {
            for &(row, value) in column {
                out[row as usize] += value * x;
            }
        }
        out
    }

    fn close(a: &[f64], b: &[f64]) -> bool {
        a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-6 * (1.0 + b.abs()))
    }

    #[test]
    fn solutions_solve_also_after_columns_were_replaced() {
        let mut random = Random::new(5);
        for round in 0..60_usize {
            let size = 1 + round;
            let some = |random: &mut Random, own: usize| {
                let mut column = vec![(small(own), 3.0 + number(random, 4))];
                for _ in 0..random.below(4) {
                    let row = small(random.below(size));
                    if column.iter().all(|&(known, _)| known != row) {
                        column.push((row, number(random, 9) - 4.5));
                    }
                }
                column
            };
            let mut columns: Vec<_> = (0..size).map(|own| some(&mut random, own)).collect();
            let mut factors = Factors::default();
            let loose = factors.take_apart(size, |position| columns[position].as_slice());
            if !loose.is_empty() {
                continue;
            }
            for _ in 0..4 {
                let x: Vec<f64> = (0..size).map(|_| number(&mut random, 20) - 9.0).collect();
                let mut solved = product(&columns, &x);
                factors.forward(&mut solved);
                assert!(close(&solved, &x), "{solved:?} {x:?}");
                // yᵀB = c
                let mut c: Vec<f64> = columns
                    .iter()
                    .map(|column| column.iter().map(|&(row, v)| v * x[row as usize]).sum())
                    .collect();
                factors.backward(&mut c);
                assert!(close(&c, &x), "{c:?} {x:?}");
                let position = random.below(size);
                let next = some(&mut random, position);
                let mut solved = vec![0.0; size];
                for &(row, value) in &next {
                    solved[row as usize] = value;
                }
                factors.forward(&mut solved);
                if solved[position].abs() > 0.1 {
                    factors.replace(position, &solved);
                    columns[position] = next;
                }
            }
        }
    }

    #[test]
    fn columns_that_depend_on_others_are_named() {
        let columns = [vec![(0, 1.0), (1, 2.0)], vec![(0, 2.0), (1, 4.0)], vec![(2, 1.0)]];
        let mut factors = Factors::default();
        let loose = factors.take_apart(3, |position| columns[position].as_slice());
        assert_eq!(loose.len(), 1);
        assert!(loose[0].position < 2 && loose[0].row < 2);
    }
}
