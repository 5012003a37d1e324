//! A dual simplex method for variables between bounds, in `f64`.
//!
//! In: rows `Σ a·x ≥ b` or `= b`, bounds, costs. Out: the multipliers of the rows at the least cost, or of rows
//! that contradict the bounds; the point reached. It keeps its basis, so that after a bound moved or a row came
//! in few steps are needed. It rounds: what is proven is computed from the multipliers in whole numbers by
//! [`super::proof`]. The same numbers in the same order everywhere, so the same answer.

mod choose;
mod shrink;

use super::factor::{Factors, small};

/// Bounds may be missed by this, in scaled units.
const LOOSE: f64 = 1e-7;
/// A reduced cost may have the wrong sign by this.
const TINY: f64 = 1e-9;
/// Entries of a row smaller than this are not pivoted on.
const PIVOT: f64 = 1e-7;
/// Replaced columns before the basis is taken apart anew.
const STALE: usize = 80;

/// How a run ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum End {
    /// At the least cost.
    Best,
    /// The multipliers in [`Simplex::multipliers`] combine rows into a contradiction.
    Contradiction,
    /// Out of steps.
    Unfinished,
}

/// Where a variable is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Seat {
    Low,
    High,
    Basic(u32),
}

/// The method's state. Variables `0..columns` are the caller's; the one after them belong to rows.
#[derive(Debug, Clone, Default)]
#[expect(clippy::struct_excessive_bools, reason = "each says what still has to be done anew")]
pub(super) struct Simplex {
    columns: usize,
    rows: usize,
    by_row: Vec<Vec<(u32, f64)>>,
    by_column: Vec<Vec<(u32, f64)>>,
    low: Vec<f64>,
    high: Vec<f64>,
    cost: Vec<f64>,
    /// Costs with small differences that keep ties apart.
    shaken: Vec<f64>,
    is_shaken: bool,
    /// Rows came since the last run.
    grown: bool,
    reduced: Vec<f64>,
    value: Vec<f64>,
    seat: Vec<Seat>,
    basic: Vec<u32>,
    /// Squared lengths of the rows of the inverse.
    weight: Vec<f64>,
    factors: Factors,
    /// The factors are those of the basis.
    fresh: bool,
    /// Reduced costs and values are those of the basis.
    settled: bool,
    /// Pivots made so far.
    pub(super) pivots: u64,
    /// Work done so far, about in entries touched.
    pub(super) effort: u64,
    contradiction: Vec<f64>,
}

impl Simplex {
    pub(super) fn new(low: Vec<f64>, high: Vec<f64>, cost: Vec<f64>) -> Self {
        let columns = low.len();
        Self {
            columns,
            by_column: vec![Vec::new(); columns],
            seat: cost.iter().map(|&c| if c >= 0.0 { Seat::Low } else { Seat::High }).collect(),
            shaken: cost.clone(),
            reduced: cost.clone(),
            value: vec![0.0; columns],
            low,
            high,
            cost,
            ..Self::default()
        }
    }

    /// Adds `Σ a·x ≥ least` (or `=`). Each variable occurs once.
    pub(super) fn add_row(&mut self, terms: &[(u32, f64)], least: f64, equal: bool) {
        let row = small(self.rows);
        for &(variable, a) in terms {
            self.by_column[variable as usize].push((row, a));
        }
        self.by_row.push(terms.to_vec());
        // The row's own variable: Σ a·x − s = 0.
        self.by_column.push(vec![(row, -1.0)]);
        self.low.push(least);
        self.high.push(if equal { least } else { f64::INFINITY });
        self.cost.push(0.0);
        self.shaken.push(0.0);
        self.reduced.push(0.0);
        self.value.push(0.0);
        self.seat.push(Seat::Basic(row));
        self.basic.push(small(self.columns + self.rows));
        self.weight.push(1.0);
        self.rows += 1;
        self.grown = true;
        self.fresh = false;
        self.settled = false;
    }

    pub(super) fn set_bounds(&mut self, variable: usize, low: f64, high: f64) {
        self.low[variable] = low;
        self.high[variable] = high;
        self.settled = false;
    }

    pub(super) fn set_least(&mut self, row: usize, least: f64) {
        let own = self.columns + row;
        if self.high[own].is_finite() {
            self.high[own] = least;
        }
        self.low[own] = least;
        self.settled = false;
    }

    /// The point reached.
    pub(super) fn values(&self) -> &[f64] {
        &self.value[..self.columns]
    }

    /// Multipliers of the rows: of the cost, or of the contradiction last found.
    pub(super) fn multipliers(&self, contradiction: bool) -> &[f64] {
        if contradiction { &self.contradiction } else { &self.reduced[self.columns..] }
    }

    fn take_apart(&mut self) {
        loop {
            let (by_column, basic) = (&self.by_column, &self.basic);
            let loose = self
                .factors
                .take_apart(self.rows, |position| by_column[basic[position] as usize].as_slice());
            self.effort += 4 * self.factors.entries() as u64;
            if loose.is_empty() {
                break;
            }
            for loose in loose {
                let out = self.basic[loose.position] as usize;
                let seat = if self.high[out].is_infinite()
                    || (self.value[out] - self.low[out]).abs()
                        <= (self.value[out] - self.high[out]).abs()
                {
                    Seat::Low
                } else {
                    Seat::High
                };
                self.seat[out] = seat;
                let own = self.columns + loose.row;
                self.basic[loose.position] = small(own);
                self.seat[own] = Seat::Basic(small(loose.position));
                self.weight[loose.position] = 1.0;
            }
        }
        self.fresh = true;
    }

    /// Reduced costs from the basis; what they show to be at the wrong bound goes to the other.
    fn price(&mut self) {
        let mut multipliers = vec![0.0; self.rows];
        for (position, &variable) in self.basic.iter().enumerate() {
            multipliers[position] = self.shaken[variable as usize];
        }
        self.factors.backward(&mut multipliers);
        for variable in 0..self.columns + self.rows {
            let mut reduced = self.shaken[variable];
            if matches!(self.seat[variable], Seat::Basic(_)) {
                reduced = 0.0;
            } else {
                for &(row, a) in &self.by_column[variable] {
                    reduced -= multipliers[row as usize] * a;
                }
            }
            self.reduced[variable] = reduced;
            self.seat_rightly(variable);
        }
        self.effort += 3 * (self.columns + self.rows) as u64;
    }

    /// Seats a variable at the bound that its reduced cost asks for, or bends its cost if it has only one.
    fn seat_rightly(&mut self, variable: usize) {
        let reduced = self.reduced[variable];
        match self.seat[variable] {
            Seat::Low if reduced < -TINY => {
                if self.high[variable].is_finite() {
                    self.seat[variable] = Seat::High;
                } else {
                    self.shaken[variable] -= reduced;
                    self.reduced[variable] = 0.0;
                    self.is_shaken = true;
                }
            }
            Seat::High if reduced > TINY => self.seat[variable] = Seat::Low,
            Seat::High if self.high[variable].is_infinite() => self.seat[variable] = Seat::Low,
            _ => {}
        }
    }

    fn bound(&self, variable: usize) -> f64 {
        if self.seat[variable] == Seat::High { self.high[variable] } else { self.low[variable] }
    }

    /// Values from the basis.
    fn place(&mut self) {
        let mut right = vec![0.0; self.rows];
        for variable in 0..self.columns + self.rows {
            if matches!(self.seat[variable], Seat::Basic(_)) {
                continue;
            }
            let value = self.bound(variable);
            self.value[variable] = value;
            if value != 0.0 {
                for &(row, a) in &self.by_column[variable] {
                    right[row as usize] -= a * value;
                }
            }
        }
        self.factors.forward(&mut right);
        for (position, &variable) in self.basic.iter().enumerate() {
            self.value[variable as usize] = right[position];
        }
        self.effort += 3 * (self.columns + self.rows) as u64;
    }

    /// Small costs that differ from variable to variable, in the direction that keeps signs right.
    fn shake(&mut self) {
        let largest = self.cost.iter().fold(1.0_f64, |most, &cost| most.max(cost.abs()));
        let unit = largest.min(1000.0) * 1e-6;
        for variable in 0..self.columns {
            if self.low[variable] >= self.high[variable] {
                continue;
            }
            let mut part = small(variable).wrapping_mul(2_654_435_761);
            part ^= part >> 15;
            let size = unit * (0.5 + f64::from(part >> 8) / 16_777_216.0);
            self.shaken[variable] += if self.seat[variable] == Seat::High { -size } else { size };
        }
        self.is_shaken = true;
        self.settled = false;
    }

    fn calm(&mut self) {
        self.shaken.copy_from_slice(&self.cost);
        self.is_shaken = false;
        self.settled = false;
    }

    fn settle(&mut self) {
        if !self.fresh {
            self.take_apart();
        }
        self.price();
        self.place();
        self.settled = true;
    }

    /// Pivots until the cost is least, a contradiction shows, or `most` pivots or so much effort was spent.
    pub(super) fn run(&mut self, most: u64, effort: u64) -> End {
        let limit = self.pivots.saturating_add(most);
        let effort = self.effort.saturating_add(effort);
        if self.grown {
            self.grown = false;
            self.shake();
        }
        // Pivots without shaken costs may turn in circles; then the shaken optimum has to do.
        let patience = 200 + self.rows as u64 / 2;
        let mut calm_until = u64::MAX;
        let mut content = false;
        let mut doubts = 0;
        let (mut along, mut solved, mut steep, mut flips) =
            (vec![0.0; self.rows], Vec::new(), Vec::new(), Vec::new());
        let mut entry = vec![0.0; self.columns + self.rows];
        let mut touched: Vec<u32> = Vec::new();
        let mut candidates: Vec<(f64, f64, u32)> = Vec::new();
        loop {
            if !self.settled {
                self.settle();
            }
            let Some((leaving, below)) = self.leaving() else {
                if self.is_shaken && !content && doubts < 8 {
                    doubts += 1;
                    self.calm();
                    calm_until = self.pivots + patience;
                    continue;
                }
                return End::Best;
            };
            if self.pivots >= calm_until {
                calm_until = u64::MAX;
                content = true;
                self.shake();
                continue;
            }
            if self.pivots >= limit || self.effort >= effort {
                return End::Unfinished;
            }
            self.pivots += 1;
            along.clear();
            along.resize(self.rows, 0.0);
            along[leaving] = 1.0;
            self.factors.backward(&mut along);
            self.row_entries(&along, &mut entry, &mut touched);
            let out = self.basic[leaving] as usize;
            let goal = if below { self.low[out] } else { self.high[out] };
            let gap = (self.value[out] - goal).abs();
            let entering = self.entering(&entry, &touched, below, gap, &mut candidates);
            let Some(entering) = entering else {
                clear(&mut entry, &mut touched);
                if self.factors.age().0 > 0 && doubts < 8 {
                    doubts += 1;
                    self.fresh = false;
                    self.settled = false;
                    continue;
                }
                let sign = if below { -1.0 } else { 1.0 };
                self.contradiction.clear();
                self.contradiction.extend(along.iter().map(|&value| sign * value));
                return End::Contradiction;
            };
            let pivot_in_row = entry[entering];
            // The entering column.
            solved.clear();
            solved.resize(self.rows, 0.0);
            for &(row, a) in &self.by_column[entering] {
                solved[row as usize] += a;
            }
            self.factors.forward(&mut solved);
            let pivot = solved[leaving];
            let differs = (pivot - pivot_in_row).abs() > 1e-6 * (1.0 + pivot.abs());
            if (differs || pivot.abs() < PIVOT) && self.factors.age().0 > 0 && doubts < 50 {
                doubts += 1;
                clear(&mut entry, &mut touched);
                self.fresh = false;
                self.settled = false;
                continue;
            }
            if pivot.abs() < 1e-12 {
                return End::Unfinished;
            }
            // Reduced costs; what changes sides.
            let step = self.reduced[entering] / pivot_in_row;
            flips.clear();
            flips.resize(self.rows, 0.0);
            let mut flipped = false;
            for &variable in &touched {
                let v = variable as usize;
                let of = entry[v];
                entry[v] = 0.0;
                if v == entering || matches!(self.seat[v], Seat::Basic(_)) {
                    continue;
                }
                self.reduced[v] -= step * of;
                let before = self.seat[v];
                self.seat_rightly(v);
                if self.seat[v] != before && self.low[v] < self.high[v] {
                    let next = self.bound(v);
                    let change = next - self.value[v];
                    self.value[v] = next;
                    flipped = true;
                    for &(row, a) in &self.by_column[v] {
                        flips[row as usize] += a * change;
                    }
                }
            }
            touched.clear();
            if flipped {
                self.factors.forward(&mut flips);
                for (position, &change) in flips.iter().enumerate() {
                    if change != 0.0 {
                        self.value[self.basic[position] as usize] -= change;
                    }
                }
            }
            self.reduced[entering] = 0.0;
            self.reduced[out] = -step;
            let length = (self.value[out] - goal) / pivot;
            for (position, &part) in solved.iter().enumerate() {
                if part != 0.0 {
                    self.value[self.basic[position] as usize] -= length * part;
                }
            }
            self.value[entering] += length;
            self.value[out] = goal;
            // Lengths of the rows of the inverse.
            let own: f64 = along.iter().map(|value| value * value).sum();
            steep.clear();
            steep.extend_from_slice(&along);
            self.factors.forward(&mut steep);
            for (position, &part) in solved.iter().enumerate() {
                if part != 0.0 && position != leaving {
                    let ratio = part / pivot;
                    let next =
                        self.weight[position] - 2.0 * ratio * steep[position] + ratio * ratio * own;
                    self.weight[position] = next.max(1e-4);
                }
            }
            self.weight[leaving] = (own / (pivot * pivot)).max(1e-4);
            self.seat[out] = if below { Seat::Low } else { Seat::High };
            if self.low[out] >= self.high[out] {
                self.seat[out] = Seat::Low;
            }
            self.seat[entering] = Seat::Basic(small(leaving));
            self.basic[leaving] = small(entering);
            self.factors.replace(leaving, &solved);
            let (age, entries) = self.factors.age();
            self.effort += (6 * self.rows + entries + self.factors.entries()) as u64;
            if age >= STALE || entries > 3 * (self.factors.entries() + self.rows) {
                self.fresh = false;
                self.settled = false;
            }
        }
    }
}

fn clear(entry: &mut [f64], touched: &mut Vec<u32>) {
    for &variable in touched.iter() {
        entry[variable as usize] = 0.0;
    }
    touched.clear();
}
