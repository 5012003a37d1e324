//! Rows combined in whole numbers: what rounding multipliers prove without rounding.
//!
//! In: rows that hold, and multipliers that need not be exact. Out: a row that holds because it is a sum of whole
//! multiples of rows that hold. Knows nothing of where the multipliers come from.

use super::{Row, Rows};
use crate::arrange::Arrange;

/// A row's coefficients and its least value stay below this.
const LARGEST: i128 = 1 << 52;
/// Multipliers are scaled by at most two to this power.
const FINEST: u32 = 30;

/// A sum of rows, and the whole number by which all multipliers were scaled.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Sum {
    pub(super) row: Row,
    pub(super) scale: i64,
}

/// The nearest whole number of a modest float.
#[expect(clippy::cast_possible_truncation, reason = "callers stay far inside i64")]
fn whole(value: f64) -> i64 {
    if value.abs() < 1e17 { value.round() as i64 } else { 0 }
}

/// Sums rows with multipliers scaled to whole numbers. Rows that are no equations take no negative
/// multiplier: rounding may bring one about, and it counts as zero.
pub(super) fn combine(rows: &Rows, multipliers: &[f64]) -> Option<Sum> {
    let used: Vec<(usize, f64)> = multipliers
        .iter()
        .enumerate()
        .filter(|&(row, &value)| value.abs() > 1e-9 && (value > 0.0 || rows.equal[row]))
        .map(|(row, &value)| (row, value))
        .collect();
    let largest = used.iter().fold(0.0_f64, |most, &(_, value)| most.max(value.abs()));
    if used.is_empty() || !largest.is_finite() || largest > 1e12 {
        return None;
    }
    // A small number that makes all of them whole keeps the row readable and exact.
    let exact = (1..=24_i64).find(|&scale| {
        used.iter().all(|&(_, value)| {
            let scaled = value * whole_to_float(scale);
            (scaled - scaled.round()).abs() < 1e-6
        })
    });
    if let Some(sum) = exact.and_then(|scale| scaled(rows, &used, scale)) {
        return Some(sum);
    }
    let mut power = FINEST;
    loop {
        if let Some(sum) = scaled(rows, &used, 1 << power) {
            return Some(sum);
        }
        power = power.checked_sub(6)?;
    }
}

/// Exact for what is passed: scales are powers of two or tiny.
#[expect(clippy::cast_precision_loss, reason = "scales are at most two to the thirtieth")]
fn whole_to_float(value: i64) -> f64 {
    value as f64
}

fn scaled(rows: &Rows, used: &[(usize, f64)], scale: i64) -> Option<Sum> {
    let mut terms: Vec<i128> = vec![0; rows.columns];
    let mut least = 0_i128;
    for &(row, value) in used {
        let times = i128::from(whole(value * whole_to_float(scale)));
        if times == 0 {
            continue;
        }
        for &(variable, a) in rows.terms(row) {
            terms[variable] = terms[variable].checked_add(times.checked_mul(i128::from(a))?)?;
        }
        least = least.checked_add(times.checked_mul(i128::from(rows.least[row]))?)?;
    }
    if least.abs() >= LARGEST || terms.iter().any(|a| a.abs() >= LARGEST) {
        return None;
    }
    let terms = terms
        .into_iter()
        .enumerate()
        .filter(|&(_, a)| a != 0)
        .map(|(variable, a)| Some((variable, i64::try_from(a).ok()?)))
        .collect::<Option<Vec<_>>>()?;
    Some(Sum { row: Row { terms, least: i64::try_from(least).ok()? }, scale })
}

/// The most that `Σ a·x` can be between the bounds.
pub(super) fn most(terms: &[(usize, i64)], low: &[i64], high: &[i64]) -> i128 {
    terms
        .iter()
        .map(|&(x, a)| i128::from(a) * i128::from(if a > 0 { high[x] } else { low[x] }))
        .sum()
}

/// What each variable adds to `scale · cost` beyond the sum: `scale·c − a`, sorted by variable.
pub(super) fn reduced(sum: &Sum, costs: &[(usize, i64)]) -> Vec<(usize, i128)> {
    let scale = i128::from(sum.scale);
    let mut out: Vec<(usize, i128)> =
        costs.iter().map(|&(x, cost)| (x, i128::from(cost) * scale)).collect();
    out.extend(sum.row.terms.iter().map(|&(x, a)| (x, -i128::from(a))));
    out.arrange_by_key(|&(x, _)| x);
    out.dedup_by(|later, earlier| {
        let same = later.0 == earlier.0;
        if same {
            earlier.1 += later.1;
        }
        same
    });
    out
}

/// The least cost that the sum allows between the bounds: `scale · cost ≥ least + Σ (scale·c − a)·x`.
pub(super) fn least_cost(
    sum: &Sum,
    costs: &[(usize, i64)],
    low: &[i64],
    high: &[i64],
) -> Option<i64> {
    let mut total = i128::from(sum.row.least);
    for (variable, a) in reduced(sum, costs) {
        total += a * i128::from(if a > 0 { low[variable] } else { high[variable] });
    }
    // Rounded up: costs are whole.
    let scale = i128::from(sum.scale);
    i64::try_from(total.div_euclid(scale) + i128::from(total.rem_euclid(scale) > 0)).ok()
}
