//! What a bound says of each start by itself: a tariff.
//!
//! In: a proven bound and the layout of the relaxation. Out: for each start, mode and evening a price, linear in
//! pieces, such that the prices of any sound plan add up to no more than `scale` times its cost and `most`.

use super::Bound;
use super::root::Root;
use super::rows::Layout;
use crate::arrange::Arrange;

/// What has a price.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Of {
    /// The start of a task.
    Start(usize),
    /// What goes beyond a decent evening in a window.
    Over(usize),
    /// Whether a rest is in a mode.
    Mode(usize, usize),
}

/// `base + slope * (x - from)` for `x` in `from..=to`; what no piece says cannot be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Piece {
    pub(crate) from: i64,
    pub(crate) to: i64,
    pub(crate) base: i128,
    pub(crate) slope: i128,
}

impl Piece {
    /// The least price that it says.
    pub(crate) fn least(&self) -> i128 {
        self.base.min(self.base + self.slope * i128::from(self.to - self.from))
    }
}

/// See the module.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Tariff {
    pub(crate) parts: Vec<(Of, Vec<Piece>)>,
    pub(crate) scale: i64,
    pub(crate) most: i128,
}

impl Root {
    /// The tariff of the best bound without any case; for plans in the cells that are left.
    pub(crate) fn tariff(&self) -> Option<Tariff> {
        Some(self.tariff_of(self.whole.as_ref()?))
    }

    fn tariff_of(&self, bound: &Bound) -> Tariff {
        let layout = &self.layout;
        let mut price = vec![0_i128; layout.low.len()];
        for (x, a) in self.relaxation.reduced(bound) {
            price[x] = a;
        }
        let mut parts = Vec::new();
        let mut told = vec![false; price.len()];
        let mut tasks: Vec<Vec<usize>> = vec![Vec::new(); price.len()];
        for (task, &(variable, _)) in layout.start.iter().enumerate() {
            tasks[variable].push(task);
        }
        for (variable, tasks) in tasks.iter().enumerate() {
            if let Some(&first) = tasks.first() {
                let pieces = pieces(layout, &price, variable, tasks);
                let flat = pieces.iter().all(|piece| piece.base == 0 && piece.slope == 0);
                if !flat {
                    parts.push((Of::Start(first), pieces));
                }
                told[variable] = true;
                for &task in tasks {
                    for &cell in &layout.cell[task] {
                        told[cell] = true;
                    }
                }
            }
        }
        for &(variable, _, _) in &layout.beyond {
            told[variable] = true;
        }
        let mut alone = |variable: usize, of: Of| {
            told[variable] = true;
            if price[variable] != 0 {
                let (from, to) = (layout.low[variable], layout.high[variable]);
                let base = price[variable] * i128::from(from);
                parts.push((of, vec![Piece { from, to, base, slope: price[variable] }]));
            }
        };
        for &(variable, window) in &layout.overs {
            alone(variable, Of::Over(window));
        }
        for (rest, modes) in layout.chosen.iter().enumerate() {
            for (mode, variable) in modes.iter().enumerate() {
                if let &Some(variable) = variable {
                    alone(variable, Of::Mode(rest, mode));
                }
            }
        }
        let constant = i128::from(bound.scale) * i128::from(layout.constant);
        let mut most = -i128::from(bound.row.least) - constant;
        for (x, &a) in price.iter().enumerate().filter(|&(x, _)| !told[x]) {
            // Of these only the least is known.
            most -= a * i128::from(if a > 0 { layout.low[x] } else { layout.high[x] });
        }
        Tariff { parts, scale: bound.scale, most }
    }
}

/// The price of a start shared by some tasks, as a function of the first one's.
fn pieces(layout: &Layout, price: &[i128], variable: usize, tasks: &[usize]) -> Vec<Piece> {
    let shift = layout.start[tasks[0]].1;
    let (low, high) = (layout.low[variable], layout.high[variable]);
    let mut cuts = vec![low, high + 1];
    for &task in tasks {
        let offset = layout.start[task].1;
        for cell in &layout.cells[task] {
            cuts.extend([i64::from(cell.from) - offset, i64::from(cell.to) + 1 - offset]);
        }
    }
    let beyond: Vec<(i64, i128)> = layout
        .beyond
        .iter()
        .filter(|of| tasks.contains(&of.1))
        .map(|&(over, task, due)| (due - layout.start[task].1, price[over]))
        .collect();
    cuts.extend(beyond.iter().map(|of| of.0));
    cuts.retain(|&cut| low <= cut && cut <= high + 1);
    cuts.arrange();
    cuts.dedup();
    let mut out = Vec::new();
    for cut in cuts.windows(2) {
        let (from, to) = (cut[0], cut[1] - 1);
        let mut base = price[variable] * i128::from(from);
        let mut slope = price[variable];
        let all = tasks.iter().all(|&task| {
            let start = from + layout.start[task].1;
            let here = layout.cells[task].iter().zip(&layout.cell[task]);
            // Whose hands it is in is left open.
            let least = here
                .filter(|(cell, _)| (i64::from(cell.from)..=i64::from(cell.to)).contains(&start))
                .map(|(_, &x)| price[x])
                .min();
            base += least.unwrap_or(0);
            least.is_some()
        });
        for &(due, price) in beyond.iter().filter(|of| of.0 <= from) {
            base += price * i128::from(from - due);
            slope += price;
        }
        if all {
            out.push(Piece { from: from + shift, to: to + shift, base, slope });
        }
    }
    out
}
