//! Weighted sums: `sum of weight * view >= least`, with positive weights.

use super::engine::{Engine, Reason, Task};
use super::literal::{Lit, ix, no};

/// A weight and a view.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Term {
    pub(super) weight: i64,
    pub(super) view: u32,
}

#[derive(Debug, Clone, Copy)]
struct Row {
    start: u32,
    length: u32,
    least: i64,
}

/// All rows.
#[derive(Debug, Clone, Default)]
pub(super) struct Rows {
    list: Vec<Row>,
    terms: Vec<Term>,
}

impl Rows {
    pub(super) fn len(&self) -> u32 {
        no(self.list.len())
    }

    pub(super) fn terms(&self, row: u32) -> &[Term] {
        let Row { start, length, .. } = self.list[ix(row)];
        &self.terms[ix(start)..ix(start + length)]
    }

    pub(super) fn least(&self, row: u32) -> i64 {
        self.list[ix(row)].least
    }

    /// Looked at late.
    pub(super) fn long(&self, row: u32) -> bool {
        self.list[ix(row)].length > 12
    }
}

fn floor(value: i64) -> i32 {
    i32::try_from(value).unwrap_or(i32::MAX / 2)
}

impl Engine {
    /// Adds `sum of weight * variable >= least`; weights of any sign, each variable at most once.
    pub(super) fn row(&mut self, terms: &[(i64, u32)], least: i64) -> u32 {
        let row = self.rows.len();
        let start = no(self.rows.terms.len());
        for &(weight, variable) in terms.iter().filter(|term| term.0 != 0) {
            let view = 2 * variable + u32::from(weight < 0);
            self.rows.terms.push(Term { weight: weight.abs(), view });
            self.wake(view ^ 1, Task::Row(row));
        }
        let length = no(self.rows.terms.len()) - start;
        self.rows.list.push(Row { start, length, least });
        row
    }

    pub(super) fn follow_row(&mut self, row: u32) -> bool {
        let Row { start, length, least } = self.rows.list[ix(row)];
        self.work += u64::from(length) / 8 + 1;
        let span = ix(start)..ix(start + length);
        let mut slack = -least;
        let mut widest = 0;
        for term in &self.rows.terms[span.clone()] {
            let high = self.upper(term.view);
            slack += term.weight * i64::from(high);
            widest = widest.max(term.weight * i64::from(high - self.lower(term.view)));
        }
        if slack < 0 {
            let mut conflict = std::mem::take(&mut self.conflict);
            conflict.clear();
            self.explain_sum(row, None, -slack - 1, self.trail.len(), &mut conflict);
            self.conflict = conflict;
            return false;
        }
        if widest <= slack {
            return true;
        }
        for k in span {
            let Term { weight, view } = self.rows.terms[k];
            let high = self.upper(view);
            if weight * i64::from(high - self.lower(view)) > slack
                && !self.raise(view, high - floor(slack / weight), Reason::Row(row))
            {
                return false;
            }
        }
        true
    }

    pub(super) fn explain_row(&self, row: u32, lit: Lit, at: usize, out: &mut Vec<Lit>) {
        // If the term were less than the literal says, the others could not make up for it: by how much?
        let mut spare = self.rows.least(row) - 1;
        for term in self.rows.terms(row) {
            let high = if term.view == lit.view {
                i64::from(lit.least) - 1
            } else {
                -i64::from(self.low_at(term.view ^ 1, at))
            };
            spare -= term.weight * high;
        }
        self.explain_sum(row, Some(lit.view), spare, at, out);
    }

    /// Upper bounds of all terms but one, weakened by what there is to spare.
    fn explain_sum(
        &self,
        row: u32,
        but: Option<u32>,
        mut spare: i64,
        at: usize,
        out: &mut Vec<Lit>,
    ) {
        debug_assert!(spare >= 0);
        let first = out.len();
        // What can be left out altogether goes first.
        for &Term { weight, view } in self.rows.terms(row) {
            if Some(view) == but {
                continue;
            }
            let (now, ever) = (self.low_at(view ^ 1, at), self.root[ix(view ^ 1)]);
            let cost = weight * i64::from(now - ever);
            if cost > spare {
                out.push(Lit { view: view ^ 1, least: now });
            } else {
                spare -= cost;
            }
        }
        if spare == 0 {
            return;
        }
        for lit in &mut out[first..] {
            let term = self.rows.terms(row).iter().find(|term| term.view == lit.view ^ 1);
            let weight = term.map_or(1, |term| term.weight);
            let less = spare / weight;
            spare -= less * weight;
            lit.least -= floor(less);
        }
    }
}
