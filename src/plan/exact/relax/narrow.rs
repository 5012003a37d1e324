//! Cells in which nothing cheaper than the best plan known can lie, tried one by one.
//!
//! In: a relaxation whose rows are in place, and the cost of the best plan known. Out: fewer cells, and where that is
//! much, a relaxation written anew for what is left of them: closer cells make closer rows. What is proven with
//! fewer cells holds for plans cheaper than that one, which is all that is left to look for.

use std::cmp::Reverse;

use super::super::super::model::Model;
use super::Outcome;
use super::cells::{Cell, narrowed};
use super::root::{Root, State};
use super::tariff::Tariff;

/// Cells tried before it is asked whether that is worth while,
const GLANCE: u32 = 48;
/// which it is if one in so many has gone.
const FRUIT: u32 = 12;
/// Rows are written anew when one cell in so many has gone.
const ANEW: u32 = 8;

/// The cell being tried.
#[derive(Debug, Clone, Copy)]
pub(super) struct Trial {
    task: usize,
    bit: usize,
    /// The relaxation is set up for it.
    ready: bool,
    /// Cells before, and how many have been tried.
    before: u32,
    tried: u32,
}

/// What is known of plans that cost less than `upper`.
#[derive(Debug, Clone)]
pub(crate) struct News {
    pub(crate) upper: i64,
    /// For each task ways, first and last starts; no other one can be.
    pub(crate) starts: Vec<Vec<(usize, i32, i32)>>,
    pub(crate) tariff: Tariff,
}

impl Root {
    /// Whether cells should be tried for a plan of this cost: once the rows are in place, for no more than a part
    /// of the effort.
    pub(super) fn wants_trials(&self, upper: i64) -> bool {
        !self.cases.is_empty() && upper < self.trials.1 && 2 * self.trials.0 <= self.effort()
    }

    /// What is left and the tariff of the best bound, once after cells were tried.
    pub(crate) fn news(&mut self) -> Option<News> {
        if !std::mem::take(&mut self.news) || self.state != State::Open {
            return None;
        }
        Some(self.as_known(self.tariff()?))
    }

    fn as_known(&self, tariff: Tariff) -> News {
        let of =
            |cells: &Vec<Cell>| cells.iter().map(|cell| (cell.way, cell.from, cell.to)).collect();
        let starts = self.kept().iter().map(of).collect();
        News { upper: self.fixed, starts, tariff }
    }

    /// Tells what is known already, without trials.
    #[cfg(test)]
    pub(crate) fn tell(&mut self, model: &Model, upper: i64) -> Option<News> {
        self.fix(model, upper);
        Some(self.as_known(self.tariff()?))
    }

    /// The cells that are left of each task.
    fn kept(&self) -> Vec<Vec<Cell>> {
        let of = |(task, cells): (usize, &Vec<Cell>)| {
            let all = self.net.all[task] == 0;
            let kept = |bit: &usize| all || self.left[task] >> bit & 1 == 1;
            (0..cells.len()).filter(kept).map(|bit| cells[bit]).collect()
        };
        self.layout.cells.iter().enumerate().map(of).collect()
    }

    fn count(&self) -> u32 {
        self.left.iter().map(|mask| mask.count_ones()).sum()
    }

    /// Tries one cell.
    pub(super) fn narrow(&mut self, model: &Model, end: u64, upper: i64) {
        let before = self.effort();
        let trial = self.trial.unwrap_or_else(|| self.begin(model, upper));
        self.trial = (self.state == State::Open).then_some(trial);
        if self.trial.is_some() {
            self.own_effort += 8 * self.layout.cells.len() as u64;
            self.attempt(model, end, upper);
        }
        self.trials.0 += self.effort() - before;
    }

    fn begin(&mut self, model: &Model, upper: i64) -> Trial {
        let before = self.count();
        if let Some(case) = self.current.take() {
            self.open.push(Reverse((self.cases[case].bound, case)));
        }
        self.fix(model, upper);
        Trial { task: 0, bit: 0, ready: false, before, tried: 0 }
    }

    fn attempt(&mut self, model: &Model, end: u64, upper: i64) {
        let Some(mut trial) = self.trial else { return };
        if !trial.ready {
            let fruitless = trial.tried >= GLANCE
                && (trial.before - self.count().min(trial.before)) * FRUIT < trial.tried;
            if fruitless || !self.seek(&mut trial) {
                self.conclude(model, trial, upper);
                return;
            }
            let mut allowed = self.left.clone();
            allowed[trial.task] = 1 << trial.bit;
            trial.ready = true;
            trial.tried += 1;
            self.trial = Some(trial);
            if !self.settle(model, &mut allowed, vec![trial.task], &[]) {
                self.take_away(model, upper);
                return;
            }
            self.allow(&allowed);
            for order in &self.orders {
                self.relaxation.set_least(order.row, order.idle);
            }
            for &(variable, _) in &self.layout.modes {
                self.relaxation.set_bounds(variable, 0, 1);
            }
        }
        match self.relaxation.solve_within(end.saturating_sub(self.effort())) {
            Outcome::Bound(bound) => {
                if bound.least.saturating_add(self.layout.constant) >= upper {
                    self.take_away(model, upper);
                } else {
                    self.go_on();
                }
            }
            Outcome::Conflict(_) => self.take_away(model, upper),
            Outcome::Unfinished(_) if self.effort() < end => self.go_on(),
            Outcome::Unfinished(_) => {}
        }
    }

    fn go_on(&mut self) {
        if let Some(trial) = &mut self.trial {
            trial.bit += 1;
            trial.ready = false;
        }
    }

    /// The next cell of a task that has several.
    fn seek(&self, trial: &mut Trial) -> bool {
        while let Some(&left) = self.left.get(trial.task) {
            let ahead = if trial.bit < 64 { left >> trial.bit } else { 0 };
            if ahead != 0 && left.count_ones() > 1 {
                trial.bit += ahead.trailing_zeros() as usize;
                return true;
            }
            trial.task += 1;
            trial.bit = 0;
        }
        false
    }

    /// Nothing cheaper lies in the cell tried.
    fn take_away(&mut self, model: &Model, upper: i64) {
        let Some(trial) = self.trial else { return };
        self.fixed = self.fixed.min(upper);
        let mut left = self.left.clone();
        left[trial.task] &= !(1 << trial.bit);
        if self.settle(model, &mut left, vec![trial.task], &[]) {
            self.left = left;
            self.go_on();
        } else {
            self.close();
        }
    }

    /// Nothing cheaper than the best plan known is left at all.
    pub(super) fn close(&mut self) {
        self.trial = None;
        self.open.clear();
        self.current = None;
        self.settled = self.settled.min(self.fixed);
        self.sum_up(self.fixed);
    }

    /// All cells were tried, or enough of them.
    fn conclude(&mut self, model: &Model, trial: Trial, upper: i64) {
        self.trial = None;
        if (trial.before - self.count().min(trial.before)) * ANEW < trial.before {
            self.trials.1 = upper;
            self.news = self.fixed < i64::MAX;
            return;
        }
        let left = self.kept();
        let Some(anew) = narrowed(model, &left).and_then(|cells| Self::of(model, cells)) else {
            self.close();
            return;
        };
        let effort = self.effort();
        let (least, fixed, trials) = (self.least, self.fixed, self.trials);
        *self = Self { least, fixed, trials, own_effort: effort, ..anew };
    }
}
