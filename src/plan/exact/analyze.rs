//! Learns from a contradiction: one clause that would have avoided it, and how far back it reaches.
//!
//! First unique implication point over semantic literals: of all demands on one view only the strongest
//! counts, and demands are explained by the step that met them, no more strongly than needed.

use super::engine::{Engine, NONE, NOTHING, Reason};
use super::literal::{Lit, ix};

/// Nested explanations that are tried to leave a literal out.
const DEEPEST: u32 = 24;

/// Working memory.
#[derive(Debug, Clone, Default)]
pub(super) struct Analysis {
    /// What the conflict demands of each view.
    pub(super) need: Vec<i32>,
    /// Views with a demand, now or before.
    seen: Vec<u32>,
    /// Demands met on the current level.
    open: u32,
    /// The clause: first what it asserts, then the literal of the highest level below.
    pub(super) learnt: Vec<Lit>,
    /// By step: the strongest demand that is known to follow, and the weakest known not to.
    follows: Vec<i32>,
    stays: Vec<i32>,
    asked: Vec<u32>,
    /// By level: number of the last count it was seen in.
    counted: Vec<u64>,
    counts: u64,
}

impl Engine {
    /// The level of a literal that holds.
    pub(super) fn level_of(&self, lit: Lit) -> usize {
        let step = self.step_of(lit);
        if step == NONE { 0 } else { self.levels.partition_point(|&start| start <= step) }
    }

    /// Turns `conflict` into a clause in `analysis.learnt`. Returns the level to go back to and how many
    /// levels the clause joins; nothing if there is no way out. Takes back steps of the current level.
    pub(super) fn analyze(&mut self) -> Option<(usize, u32)> {
        let conflict = std::mem::take(&mut self.conflict);
        let level = conflict.iter().map(|&lit| self.level_of(lit)).max().unwrap_or(0);
        self.cancel(level);
        if level == 0 {
            self.conflict = conflict;
            return None;
        }
        self.analysis.open = 0;
        for &lit in &conflict {
            self.demand(lit);
        }
        self.conflict = conflict;
        let first = self.first_point();
        let mut learnt = std::mem::take(&mut self.analysis.learnt);
        learnt.clear();
        learnt.push(first.not());
        let mut kept = 1;
        for k in 0..self.analysis.seen.len() {
            let view = self.analysis.seen[k];
            let need = self.analysis.need[ix(view)];
            if need != NOTHING && view != first.view {
                learnt.push(Lit { view, least: need });
            }
        }
        for k in 1..learnt.len() {
            if !self.superfluous(learnt[k], 0) {
                learnt[kept] = learnt[k];
                kept += 1;
            }
        }
        learnt.truncate(kept);
        let back = self.order_by_level(&mut learnt);
        let levels = self.count_levels(&learnt);
        for lit in &mut learnt[1..] {
            *lit = lit.not();
        }
        for lit in &mut learnt {
            lit.least = self.snap(lit.view, lit.least);
        }
        self.analysis.learnt = learnt;
        self.forget();
        Some((back, levels))
    }

    /// Demands that the literal hold.
    fn demand(&mut self, lit: Lit) {
        if self.granted(lit) {
            return;
        }
        let view = ix(lit.view);
        let least = self.snap(lit.view, lit.least);
        let had = self.analysis.need[view];
        if had >= least {
            return;
        }
        if had == NOTHING {
            self.analysis.seen.push(lit.view);
        }
        let before = self.low_at(lit.view, self.levels.last().map_or(0, |&start| ix(start)));
        if least > before && (had == NOTHING || had <= before) {
            self.analysis.open += 1;
        }
        self.analysis.need[view] = least;
    }

    /// Explains demands of the current level until a single one is left.
    fn first_point(&mut self) -> Lit {
        let mut reasons = std::mem::take(&mut self.scratch);
        let point = loop {
            let Some(&step) = self.trail.last() else { break Lit::TRUE };
            let need = self.analysis.need[ix(step.view)];
            if need == NOTHING || need <= step.old {
                self.undo();
                continue;
            }
            if self.analysis.open <= 1 {
                break Lit { view: step.view, least: need };
            }
            debug_assert!(step.reason != Reason::Free, "an open demand below a decision");
            self.undo();
            self.analysis.need[ix(step.view)] = NOTHING;
            self.analysis.open -= 1;
            let lit = Lit { view: step.view, least: self.weakest(step.view, need) };
            reasons.clear();
            self.explain(lit, step.reason, self.trail.len(), &mut reasons);
            for &reason in &reasons {
                self.demand(reason);
            }
        };
        self.scratch = reasons;
        point
    }

    /// Whether a literal below the current level follows from the other demands.
    fn superfluous(&mut self, lit: Lit, depth: u32) -> bool {
        let index = self.step_of(lit);
        if index == NONE {
            return true;
        }
        let step = self.trail[ix(index)];
        if step.reason == Reason::Free || depth > DEEPEST {
            return false;
        }
        if self.analysis.follows.len() <= ix(index) {
            self.analysis.follows.resize(ix(index) + 64, NOTHING);
            self.analysis.stays.resize(ix(index) + 64, i32::MAX);
        }
        if lit.least <= self.analysis.follows[ix(index)] {
            return true;
        }
        if lit.least >= self.analysis.stays[ix(index)] {
            return false;
        }
        self.analysis.asked.push(index);
        let mark = self.scratch.len();
        let mut reasons = std::mem::take(&mut self.scratch);
        let weak = Lit { view: lit.view, least: self.weakest(lit.view, lit.least) };
        self.explain(weak, step.reason, ix(index), &mut reasons);
        self.scratch = reasons;
        let end = self.scratch.len();
        self.work += 1;
        let follows = (mark..end).all(|k| {
            let reason = self.scratch[k];
            self.granted(reason)
                || self.demanded(reason, ix(index))
                || self.superfluous(reason, depth + 1)
        });
        self.scratch.truncate(mark);
        let known = if follows { &mut self.analysis.follows } else { &mut self.analysis.stays };
        known[ix(index)] = lit.least;
        follows
    }

    /// Whether a demand that was met within the first `steps` says so. One met later may rest on this one.
    fn demanded(&self, lit: Lit, steps: usize) -> bool {
        let need = self.analysis.need[ix(lit.view)];
        need >= lit.least && self.low_at(lit.view, steps) >= need
    }

    /// Brings a literal of the highest level to the second place; returns that level.
    fn order_by_level(&self, learnt: &mut [Lit]) -> usize {
        let mut back = 0;
        for k in 1..learnt.len() {
            let level = self.level_of(learnt[k]);
            if k == 1 || level > back {
                back = level;
                learnt.swap(1, k);
            }
        }
        back
    }

    fn count_levels(&mut self, learnt: &[Lit]) -> u32 {
        self.analysis.counts += 1;
        let mut levels = 1;
        for &lit in &learnt[1..] {
            let level = self.level_of(lit);
            if self.analysis.counted.len() <= level {
                self.analysis.counted.resize(level + 1, 0);
            }
            if self.analysis.counted[level] != self.analysis.counts {
                self.analysis.counted[level] = self.analysis.counts;
                levels += 1;
            }
        }
        levels
    }

    /// Credits the variables that took part, and clears the working memory.
    fn forget(&mut self) {
        for k in 0..self.analysis.seen.len() {
            let view = self.analysis.seen[k];
            self.analysis.need[ix(view)] = NOTHING;
            self.order.bump(view / 2);
        }
        self.analysis.seen.clear();
        for k in 0..self.analysis.asked.len() {
            let index = ix(self.analysis.asked[k]);
            self.analysis.follows[index] = NOTHING;
            self.analysis.stays[index] = i32::MAX;
        }
        self.analysis.asked.clear();
        self.order.decay();
    }

    /// Adds what was learnt and draws its first consequence. Says no if nothing can be true any more.
    pub(super) fn learn(&mut self, back: usize, levels: u32) -> bool {
        self.cancel(back);
        let learnt = std::mem::take(&mut self.analysis.learnt);
        #[cfg(test)]
        self.test_learnt(&learnt);
        let asserted = learnt[0];
        let reason = if learnt.len() == 1 {
            Reason::Free
        } else {
            Reason::Clause(self.attach(&learnt, levels))
        };
        self.analysis.learnt = learnt;
        self.raise(asserted.view, asserted.least, reason)
    }

    #[cfg(test)]
    fn test_learnt(&self, learnt: &[Lit]) {
        let Some(witness) = &self.witness else { return };
        let holds = learnt.iter().any(|&lit| {
            let value = witness[ix(lit.variable())];
            if lit.view & 1 == 0 { value >= lit.least } else { -value >= lit.least }
        });
        assert!(holds, "the clause {learnt:?} forbids a solution");
    }
}
