//! Rows that no longer matter are dropped; the basis stays.

use super::super::factor::small;
use super::{Seat, Simplex};

impl Simplex {
    /// Drops the rows that are not to be kept; those whose variable is not basic stay all the same.
    pub(in super::super) fn keep_rows(&mut self, keep: impl Fn(usize) -> bool) -> Vec<bool> {
        let kept: Vec<bool> = (0..self.rows)
            .map(|row| keep(row) || !matches!(self.seat[self.columns + row], Seat::Basic(_)))
            .collect();
        let mut number = vec![u32::MAX; self.rows];
        let mut next = 0;
        for (row, &kept) in kept.iter().enumerate() {
            if kept {
                number[row] = next;
                next += 1;
            }
        }
        let columns = self.columns;
        let stays = |variable: usize| variable < columns || kept[variable - columns];
        let all = columns + self.rows;
        let filter = |list: &mut Vec<f64>| {
            let mut variable = 0;
            list.retain(|_| {
                variable += 1;
                stays(variable - 1)
            });
        };
        for list in [
            &mut self.low,
            &mut self.high,
            &mut self.cost,
            &mut self.shaken,
            &mut self.reduced,
            &mut self.value,
        ] {
            filter(list);
        }
        let mut row = 0;
        self.by_row.retain(|_| {
            row += 1;
            kept[row - 1]
        });
        let mut by_column = std::mem::take(&mut self.by_column);
        let mut variable = 0;
        by_column.retain(|_| {
            variable += 1;
            stays(variable - 1)
        });
        for column in &mut by_column {
            column.retain(|&(row, _)| kept[row as usize]);
            for entry in column {
                entry.0 = number[entry.0 as usize];
            }
        }
        self.by_column = by_column;
        let (mut basic, mut weight) = (Vec::new(), Vec::new());
        for (&variable, &of) in self.basic.iter().zip(&self.weight) {
            let v = variable as usize;
            if !stays(v) {
                continue;
            }
            weight.push(of);
            basic.push(if v < columns { variable } else { small(columns) + number[v - columns] });
        }
        let mut seats = Vec::with_capacity(columns + basic.len());
        for variable in (0..all).filter(|&variable| stays(variable)) {
            seats.push(self.seat[variable]);
        }
        for (position, &variable) in basic.iter().enumerate() {
            seats[variable as usize] = Seat::Basic(small(position));
        }
        self.seat = seats;
        self.basic = basic;
        self.weight = weight;
        self.rows = next as usize;
        self.fresh = false;
        self.settled = false;
        kept
    }
}
