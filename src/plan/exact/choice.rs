//! The cheapest of several ways to rest: a lower bound on a cost before the way is chosen.

use super::engine::{Engine, Reason, Task};
use super::literal::{Lit, ix, no};

/// One way: costs `base + slope * lag`, and the lag is then at least `min`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Way {
    pub(super) chosen: Lit,
    pub(super) base: i64,
    pub(super) slope: i64,
    pub(super) min: i32,
}

impl Way {
    fn cost(&self, lag: i32) -> i64 {
        self.base + self.slope * i64::from(lag.max(self.min))
    }
}

/// A cost that is at least that of one of the ways.
#[derive(Debug, Clone)]
pub(super) struct Choice {
    /// Variables.
    pub(super) cost: u32,
    pub(super) lag: u32,
    pub(super) ways: Vec<Way>,
}

impl Engine {
    /// Adds a choice. Slopes are not negative.
    pub(super) fn choice(&mut self, choice: Choice) {
        let task = Task::Choice(no(self.choices.len()));
        self.wake(choice.lag * 2, task);
        for way in &choice.ways {
            self.wake(way.chosen.view ^ 1, task);
        }
        self.choices.push(choice);
    }

    pub(super) fn follow_choice(&mut self, index: u32) -> bool {
        let choice = &self.choices[ix(index)];
        let lag = self.lower(choice.lag * 2);
        let open = choice.ways.iter().filter(|way| !self.fails(way.chosen));
        let Some(least) = open.map(|way| way.cost(lag)).min() else { return true };
        let cost = choice.cost * 2;
        // A cost beyond the variable's range cannot be afforded.
        let least = i32::try_from(least).unwrap_or(i32::MAX / 2);
        self.raise(cost, least, Reason::Choice(index))
    }

    pub(super) fn explain_choice(&self, index: u32, lit: Lit, at: usize, out: &mut Vec<Lit>) {
        let choice = &self.choices[ix(index)];
        let goal = i64::from(lit.least);
        let mut lag = i32::MIN;
        for way in &choice.ways {
            if way.cost(i32::MIN / 2) >= goal {
                continue;
            }
            if self.low_at(way.chosen.view ^ 1, at) > -way.chosen.least {
                out.push(way.chosen.not());
                continue;
            }
            // Rounded up; the slope is positive, or the cost would not depend on the lag.
            let rise = goal - way.base;
            let needed = (rise + way.slope - 1).div_euclid(way.slope.max(1));
            lag = lag.max(i32::try_from(needed).unwrap_or(i32::MAX));
        }
        if lag > i32::MIN {
            out.push(Lit { view: choice.lag * 2, least: lag });
        }
    }
}
