//! What leaves the basis and what enters it.

use super::super::factor::small;
use super::{LOOSE, PIVOT, Seat, Simplex, TINY};

impl Simplex {
    /// The position whose variable misses its bounds most, for its row's length; whether it lies below.
    pub(super) fn leaving(&self) -> Option<(usize, bool)> {
        let mut best = None;
        let mut most = 0.0;
        for (position, &variable) in self.basic.iter().enumerate() {
            let v = variable as usize;
            let value = self.value[v];
            let (miss, below) = if value < self.low[v] {
                (self.low[v] - value, true)
            } else {
                (value - self.high[v], false)
            };
            if miss > LOOSE {
                let score = miss * miss / self.weight[position];
                if score > most {
                    most = score;
                    best = Some((position, below));
                }
            }
        }
        best
    }

    /// Entries of a row of the inverse times the matrix, for what is not basic.
    pub(super) fn row_entries(&self, along: &[f64], entry: &mut [f64], touched: &mut Vec<u32>) {
        for (row, &part) in along.iter().enumerate() {
            if part.abs() < 1e-14 {
                continue;
            }
            for &(variable, a) in &self.by_row[row] {
                let v = variable as usize;
                if entry[v] == 0.0 {
                    touched.push(variable);
                    // So that a sum that passes through zero is not listed twice.
                    entry[v] = 1e-300;
                }
                entry[v] += part * a;
            }
            let own = self.columns + row;
            if !matches!(self.seat[own], Seat::Basic(_)) {
                touched.push(small(own));
                entry[own] = -part;
            }
        }
    }

    /// What enters: the smallest ratio after all the variables that can change sides on the way.
    pub(super) fn entering(
        &self,
        entry: &[f64],
        touched: &[u32],
        below: bool,
        gap: f64,
        candidates: &mut Vec<(f64, f64, u32)>,
    ) -> Option<usize> {
        candidates.clear();
        for &variable in touched {
            let v = variable as usize;
            let of = if below { -entry[v] } else { entry[v] };
            let fits = match self.seat[v] {
                Seat::Basic(_) => false,
                Seat::Low => of > PIVOT,
                Seat::High => of < -PIVOT,
            };
            if fits && self.low[v] < self.high[v] {
                candidates.push(((self.reduced[v] / of).max(0.0), of.abs(), variable));
            }
        }
        if candidates.is_empty() {
            return None;
        }
        candidates.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.2.cmp(&b.2)));
        let mut slope = gap;
        let mut last = candidates.len() - 1;
        for (index, &(_, size, variable)) in candidates.iter().enumerate() {
            let v = variable as usize;
            slope -= size * (self.high[v] - self.low[v]);
            if slope < 0.0 {
                last = index;
                break;
            }
        }
        // Among those that tie with it the one with the largest entry; if all are small, one further back.
        let ratio = candidates[last].0;
        let mut best = last;
        for (index, candidate) in candidates.iter().enumerate().skip(last + 1) {
            if candidate.0 > ratio + TINY {
                break;
            }
            if candidate.1 > candidates[best].1 {
                best = index;
            }
        }
        for index in (0..last).rev() {
            let near = candidates[index].0 >= ratio - TINY;
            if !near && candidates[best].1 >= 1e-4 {
                break;
            }
            if candidates[index].1 > candidates[best].1 {
                best = index;
            }
        }
        Some(candidates[best].2 as usize)
    }
}
