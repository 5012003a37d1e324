//! A linear relaxation whose answers are rows in whole numbers.
//!
//! In: rows `Σ a·x ≥ b` over whole variables between bounds, and a cost to be kept low. Out: a row that follows
//! from them, which bounds the cost or contradicts the bounds; it is a sum of whole multiples of the rows
//! that went in, so it holds whatever the arithmetic in between rounded. Bounds may move either way and rows
//! may be added; the work done so far is kept. Knows nothing of planning but in [`root`] and the rooms
//! below it, which write a planning problem as rows.

mod cases;
mod cells;
mod cuts;
mod factor;
pub(crate) mod narrow;
mod net;
mod places;
mod proof;
pub(crate) mod root;
#[cfg(test)]
mod root_tests;
mod rows;
mod simplex;
pub(crate) mod tariff;
#[cfg(test)]
mod tests;

use factor::small;
use simplex::{End, Simplex};

/// `Σ coefficient · variable ≥ least`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Row {
    /// Variables and coefficients; sorted by variable, each once, in what this room hands out.
    pub(crate) terms: Vec<(usize, i64)>,
    pub(crate) least: i64,
}

/// What a run showed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Outcome {
    /// The cost is least in the relaxation.
    Bound(Bound),
    /// This row cannot hold between the bounds.
    Conflict(Row),
    /// Out of steps, or rounding left nothing that is proven; the bound is what is known so far.
    Unfinished(Option<Bound>),
}

/// A proven bound on the cost.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Bound {
    /// Follows from the rows alone. With it, `scale · cost ≥ row.least + Σ (scale · c − a) · x` for any `x`.
    pub(crate) row: Row,
    pub(crate) scale: i64,
    /// The least cost that this leaves between the bounds as they are.
    pub(crate) least: i64,
}

/// Rows in whole numbers, one after the other.
#[derive(Debug, Clone, Default)]
struct Rows {
    columns: usize,
    ends: Vec<usize>,
    terms: Vec<(usize, i64)>,
    least: Vec<i64>,
    equal: Vec<bool>,
}

impl Rows {
    fn terms(&self, row: usize) -> &[(usize, i64)] {
        let from = if row == 0 { 0 } else { self.ends[row - 1] };
        &self.terms[from..self.ends[row]]
    }

    fn push(&mut self, terms: &[(usize, i64)], least: i64, equal: bool) {
        self.terms.extend_from_slice(terms);
        self.ends.push(self.terms.len());
        self.least.push(least);
        self.equal.push(equal);
    }
}

/// The relaxation.
#[derive(Debug, Clone)]
pub(crate) struct Relaxation {
    low: Vec<i64>,
    high: Vec<i64>,
    costs: Vec<(usize, i64)>,
    rows: Rows,
    simplex: Simplex,
    /// Variables are divided, rows multiplied by powers of two, so that numbers are near one.
    column_scale: Vec<f64>,
    row_scale: Vec<f64>,
    /// Bounds that cross contradict without any row.
    crossed: usize,
    /// The costs do not fit into whole numbers: nothing is proven.
    hopeless: bool,
}

/// Rounds where it must: the method's numbers need not be exact.
#[expect(clippy::cast_precision_loss, reason = "proofs are made in whole numbers")]
fn float(value: i64) -> f64 {
    value as f64
}

/// The power of two next to a positive number, at most two to the twelfth either way for columns.
fn power(value: f64, least: f64, most: f64) -> f64 {
    let mut power = 1.0_f64;
    while power < value && power < most {
        power *= 2.0;
    }
    while power > value && power > least {
        power *= 0.5;
    }
    power
}

impl Relaxation {
    /// Variables between `low` and `high` (whole, finite), rows, and the costs of variables; costs not named
    /// are 0. To keep one variable low, name it with cost 1.
    pub(crate) fn new(low: &[i64], high: &[i64], rows: &[Row], costs: &[(usize, i64)]) -> Self {
        let column_scale: Vec<f64> = low
            .iter()
            .zip(high)
            .map(|(&low, &high)| power(float(high.saturating_sub(low)), 1.0, 4096.0))
            .collect();
        let scaled = |bounds: &[i64]| -> Vec<f64> {
            bounds.iter().zip(&column_scale).map(|(&bound, scale)| float(bound) / scale).collect()
        };
        let gathered_costs = gathered(costs);
        let hopeless = gathered_costs.is_none();
        let costs = gathered_costs.unwrap_or_default();
        let mut cost = vec![0.0; low.len()];
        for &(variable, of) in &costs {
            cost[variable] = float(of) * column_scale[variable];
        }
        let mut out = Self {
            simplex: Simplex::new(scaled(low), scaled(high), cost),
            crossed: low.iter().zip(high).filter(|(low, high)| low > high).count(),
            low: low.to_vec(),
            high: high.to_vec(),
            costs,
            hopeless,
            rows: Rows { columns: low.len(), ..Rows::default() },
            column_scale,
            row_scale: Vec::new(),
        };
        for row in rows {
            out.add(&row.terms, row.least, false);
        }
        out
    }

    /// Adds a row, which must hold for everything that is looked for. A row whose coefficients add up to
    /// more than an `i64` is left out, which makes the relaxation weaker, never wrong.
    pub(crate) fn add_row(&mut self, row: &Row) {
        self.add(&row.terms, row.least, false);
    }

    /// Adds `Σ a·x = value`.
    pub(crate) fn add_equation(&mut self, terms: &[(usize, i64)], value: i64) {
        self.add(terms, value, true);
    }

    fn add(&mut self, terms: &[(usize, i64)], least: i64, equal: bool) {
        let Some(terms) = gathered(terms) else { return };
        let largest = terms.iter().fold(0.0_f64, |most, &(variable, a)| {
            most.max(float(a).abs() * self.column_scale[variable])
        });
        let scale = 1.0 / power(largest, 1e-12, 1e30);
        let scaled: Vec<(u32, f64)> = terms
            .iter()
            .map(|&(variable, a)| (small(variable), float(a) * self.column_scale[variable] * scale))
            .collect();
        self.simplex.add_row(&scaled, float(least) * scale, equal);
        self.rows.push(&terms, least, equal);
        self.row_scale.push(scale);
    }

    /// Rows so far.
    pub(crate) fn rows(&self) -> usize {
        self.rows.least.len()
    }

    /// Moves the least value of a row, in either direction; what is proven holds with it as it is.
    pub(crate) fn set_least(&mut self, row: usize, least: i64) {
        if self.rows.least[row] != least {
            self.rows.least[row] = least;
            self.simplex.set_least(row, float(least) * self.row_scale[row]);
        }
    }

    /// The least value of a row as it is.
    pub(crate) fn least_of(&self, row: usize) -> i64 {
        self.rows.least[row]
    }

    /// Drops rows that are not to be kept and do not hold the point reached in place; says for each row
    /// whether it stayed.
    pub(crate) fn drop_idle_rows(&mut self, keep: impl Fn(usize) -> bool) -> Vec<bool> {
        let kept = self.simplex.keep_rows(keep);
        let mut rows = Rows { columns: self.rows.columns, ..Rows::default() };
        let mut scales = Vec::new();
        for row in (0..kept.len()).filter(|&row| kept[row]) {
            rows.push(self.rows.terms(row), self.rows.least[row], self.rows.equal[row]);
            scales.push(self.row_scale[row]);
        }
        self.rows = rows;
        self.row_scale = scales;
        kept
    }

    /// Moves the bounds of a variable, in either direction.
    pub(crate) fn set_bounds(&mut self, variable: usize, low: i64, high: i64) {
        let (old_low, old_high) = (self.low[variable], self.high[variable]);
        if (low, high) == (old_low, old_high) {
            return;
        }
        self.crossed += usize::from(low > high);
        self.crossed -= usize::from(old_low > old_high);
        self.low[variable] = low;
        self.high[variable] = high;
        let scale = self.column_scale[variable];
        self.simplex.set_bounds(variable, float(low) / scale, float(high) / scale);
    }

    /// Lowers the cost as far as the rows let it, in at most `most_pivots` steps.
    pub(crate) fn solve(&mut self, most_pivots: u64) -> Outcome {
        if self.crossed > 0 {
            // A row of no terms that asks for more than nothing: the bounds alone contradict.
            return Outcome::Conflict(Row { terms: Vec::new(), least: 1 });
        }
        if self.hopeless {
            return Outcome::Unfinished(None);
        }
        match self.simplex.run(most_pivots, u64::MAX) {
            End::Unfinished => Outcome::Unfinished(self.bound()),
            end => self.outcome(end),
        }
    }

    /// As [`Self::solve`], for about so much of [`Self::effort`]. Says nothing of the cost when unfinished.
    pub(crate) fn solve_within(&mut self, effort: u64) -> Outcome {
        if self.crossed > 0 || self.hopeless {
            return self.solve(0);
        }
        let end = self.simplex.run(u64::MAX, effort);
        self.outcome(end)
    }

    fn outcome(&self, end: End) -> Outcome {
        match end {
            End::Best => match self.bound() {
                Some(bound) => Outcome::Bound(bound),
                None => Outcome::Unfinished(None),
            },
            End::Contradiction => match self.conflict() {
                Some(row) => Outcome::Conflict(row),
                None => Outcome::Unfinished(None),
            },
            End::Unfinished => Outcome::Unfinished(None),
        }
    }

    /// Work done so far, about in numbers touched; the same on every machine.
    pub(crate) fn effort(&self) -> u64 {
        self.simplex.effort
    }

    /// The point reached; for looking for rows that it breaks, not for proofs.
    pub(crate) fn point(&self) -> Vec<f64> {
        self.simplex.values().iter().zip(&self.column_scale).map(|(x, scale)| x * scale).collect()
    }

    fn multipliers(&self, contradiction: bool) -> Vec<f64> {
        let of = self.simplex.multipliers(contradiction);
        of.iter().zip(&self.row_scale).map(|(value, scale)| value * scale).collect()
    }

    fn bound(&self) -> Option<Bound> {
        let sum = proof::combine(&self.rows, &self.multipliers(false))
            .unwrap_or(proof::Sum { row: Row::default(), scale: 1 });
        let least = proof::least_cost(&sum, &self.costs, &self.low, &self.high)?;
        Some(Bound { row: sum.row, scale: sum.scale, least })
    }

    /// What each variable adds to `scale · cost` beyond a bound's row, sorted by variable.
    fn reduced(&self, bound: &Bound) -> Vec<(usize, i128)> {
        let sum = proof::Sum { row: bound.row.clone(), scale: bound.scale };
        proof::reduced(&sum, &self.costs)
    }

    fn conflict(&self) -> Option<Row> {
        let multipliers = self.multipliers(true);
        let largest = multipliers.iter().fold(0.0_f64, |most, value| most.max(value.abs()));
        if largest <= 0.0 {
            return None;
        }
        // Only their proportions count.
        let scaled: Vec<f64> = multipliers.iter().map(|value| value / largest).collect();
        let sum = proof::combine(&self.rows, &scaled)?;
        let most = proof::most(&sum.row.terms, &self.low, &self.high);
        (most < i128::from(sum.row.least)).then_some(sum.row)
    }
}

/// Sorted by variable, each once, none with coefficient 0; none if a sum does not fit.
fn gathered(terms: &[(usize, i64)]) -> Option<Vec<(usize, i64)>> {
    let mut out: Vec<(usize, i64)> = Vec::with_capacity(terms.len());
    let mut sorted = terms.to_vec();
    sorted.sort_unstable_by_key(|&(variable, _)| variable);
    for (variable, a) in sorted {
        match out.last_mut() {
            Some((last, sum)) if *last == variable => *sum = sum.checked_add(a)?,
            _ => out.push((variable, a)),
        }
    }
    out.retain(|&(_, a)| a != 0);
    Some(out)
}
