//! The search itself: decide, propagate, learn, start over.

use super::clause::Clauses;
use super::engine::{Engine, NONE};
use super::literal::{Lit, ix, no};
use crate::arrange::Arrange;

/// How a run ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum End {
    /// All variables are fixed; the values.
    Solution(Vec<i32>),
    /// Impossible.
    Refuted,
    /// Effort used up.
    Stopped,
}

/// What is kept between runs.
#[derive(Debug, Clone)]
pub(super) struct Search {
    /// Value to try first for each variable.
    pub(super) phase: Vec<i32>,
    restarts: u64,
    /// Conflicts until the next restart.
    left: u64,
    /// Learnt clauses until the next clearing.
    most: usize,
}

/// Conflicts in the shortest run between two restarts.
const UNIT: u64 = 60;

/// 1, 1, 2, 1, 1, 2, 4, ... (Luby, Sinclair & Zuckerman 1993).
fn luby(mut n: u64) -> u64 {
    loop {
        let size = (n + 1).next_power_of_two();
        if size == n + 1 {
            return size / 2;
        }
        n -= size / 2 - 1;
    }
}

impl Search {
    pub(super) fn new(phase: Vec<i32>) -> Self {
        Self { phase, restarts: 0, left: UNIT, most: 2_000 }
    }

    /// Runs until something is found or `work` is done in all. A run that was stopped goes on from where it
    /// was; otherwise nothing is decided afterwards.
    pub(super) fn run(&mut self, engine: &mut Engine, work: u64) -> End {
        let end = self.until(engine, work);
        if end != End::Stopped {
            engine.cancel(0);
        }
        end
    }

    fn until(&mut self, engine: &mut Engine, work: u64) -> End {
        loop {
            if !engine.propagate() {
                engine.conflicts += 1;
                self.left = self.left.saturating_sub(1);
                let Some((back, levels)) = engine.analyze() else {
                    return End::Refuted;
                };
                if !engine.learn(back, levels) {
                    // Only what was learnt alone can fail, at the root.
                    return End::Refuted;
                }
                continue;
            }
            if engine.work >= work {
                return End::Stopped;
            }
            if self.left == 0 {
                self.restarts += 1;
                self.left = luby(self.restarts + 1) * UNIT;
                engine.cancel(0);
                if engine.clauses.learnt > self.most {
                    engine.clear();
                    self.most += 200;
                }
                continue;
            }
            match self.next(engine) {
                Some(lit) => {
                    debug_assert!(!engine.holds(lit));
                    engine.decide(lit);
                    engine.work += 1;
                }
                None => return End::Solution(engine.low.iter().step_by(2).copied().collect()),
            }
        }
    }

    fn next(&self, engine: &mut Engine) -> Option<Lit> {
        while let Some(variable) = engine.order.pop() {
            let (low, high) = (engine.lower(variable * 2), engine.upper(variable * 2));
            if low == high {
                continue;
            }
            let phase = self.phase[ix(variable)];
            if low < phase && phase < high {
                // Still open when it is this low.
                engine.order.insert(variable);
            }
            return Some(if phase <= low {
                Lit::at_most(variable, low)
            } else {
                Lit::at_least(variable, phase.min(high))
            });
        }
        None
    }
}

impl Engine {
    /// At the root: throws away the worse half of what was learnt, and all that is true for ever.
    pub(super) fn clear(&mut self) {
        debug_assert!(self.levels.is_empty());
        let mut worst: Vec<(u32, u64, u32)> = Vec::new();
        for (index, clause) in self.clauses.list.iter().enumerate() {
            if clause.levels > 3 {
                worst.push((clause.levels, u64::MAX - clause.used, no(index)));
            }
        }
        worst.arrange();
        let mut gone = vec![false; self.clauses.list.len()];
        for &(_, _, index) in &worst[worst.len() / 2..] {
            gone[ix(index)] = true;
        }
        let old = std::mem::take(&mut self.clauses);
        let mut kept = Clauses::default();
        let mut left: Vec<Lit> = Vec::new();
        for index in 0..no(old.list.len()) {
            let lits = old.lits(index);
            if gone[ix(index)] || lits.iter().any(|&lit| self.holds(lit)) {
                continue;
            }
            left.clear();
            left.extend(lits.iter().filter(|&&lit| !self.fails(lit)));
            let clause = old.list[ix(index)];
            // Propagation has seen to it that two are left.
            debug_assert!(left.len() >= 2);
            kept.push(&left, clause.levels, clause.used);
        }
        self.clauses = kept;
        for list in &mut self.watches {
            list.clear();
        }
        for clause in 0..no(self.clauses.list.len()) {
            self.watch(clause);
        }
        debug_assert!(self.head.iter().all(|&head| head == NONE));
    }
}

#[cfg(test)]
mod tests {
    use super::luby;

    #[test]
    fn restarts_follow_the_known_sequence() {
        let first: Vec<u64> = (1..=15).map(luby).collect();
        assert_eq!(first, [1, 1, 2, 1, 1, 2, 4, 1, 1, 2, 1, 1, 2, 4, 8]);
    }
}
