//! Draws all consequences of what was decided.

use super::clause::Watch;
use super::engine::{Engine, Reason, Task};
use super::literal::{Lit, ix};

/// Constraints to look at, cheap ones first.
#[derive(Debug, Clone, Default)]
pub(super) struct Queue {
    tasks: [Vec<Task>; 3],
    queued: [Vec<bool>; 5],
}

impl Queue {
    fn kind(task: Task) -> (usize, usize) {
        match task {
            Task::Row(n) => (0, ix(n)),
            Task::Hand(n) => (1, ix(n)),
            Task::Place(n) => (2, ix(n)),
            Task::Choice(n) => (3, ix(n)),
            Task::Price(n) => (4, ix(n)),
        }
    }

    #[inline]
    pub(super) fn push(&mut self, task: Task, long: bool) {
        let (kind, n) = Self::kind(task);
        let queued = &mut self.queued[kind];
        if queued.len() <= n {
            queued.resize(n + 1, false);
        }
        if queued[n] {
            return;
        }
        queued[n] = true;
        let rank = match task {
            Task::Row(_) if long => 2,
            Task::Row(_) | Task::Choice(_) => 0,
            Task::Hand(_) => 1,
            Task::Place(_) | Task::Price(_) => 2,
        };
        self.tasks[rank].push(task);
    }

    fn pop(&mut self) -> Option<Task> {
        let task = self.tasks.iter_mut().find_map(Vec::pop)?;
        let (kind, n) = Self::kind(task);
        self.queued[kind][n] = false;
        Some(task)
    }

    pub(super) fn clear(&mut self) {
        while self.pop().is_some() {}
    }
}

impl Engine {
    /// Everything that follows. Says no on a contradiction, which is then in `conflict`.
    pub(super) fn propagate(&mut self) -> bool {
        loop {
            while let Some(&step) = self.trail.get(self.next) {
                self.next += 1;
                self.work += 1;
                if !self.follow_arcs(step.view, step.new)
                    || !self.follow_clauses(step.view, step.old, step.new)
                {
                    return false;
                }
                for k in 0..self.wakes[ix(step.view)].len() {
                    let task = self.wakes[ix(step.view)][k];
                    let long = matches!(task, Task::Row(row) if self.rows.long(row));
                    self.queue.push(task, long);
                }
            }
            let Some(task) = self.queue.pop() else { return true };
            let sound = match task {
                Task::Row(row) => self.follow_row(row),
                Task::Hand(hand) => self.follow_hand(hand),
                Task::Place(place) => self.follow_place(place),
                Task::Choice(choice) => self.follow_choice(choice),
                Task::Price(price) => self.follow_price(price),
            };
            if !sound {
                return false;
            }
        }
    }

    /// Has every constraint looked at once, at the root.
    pub(super) fn awaken(&mut self) {
        for view in 0..self.wakes.len() {
            for &task in &self.wakes[view] {
                let long = matches!(task, Task::Row(row) if self.rows.long(row));
                self.queue.push(task, long);
            }
        }
    }

    fn follow_arcs(&mut self, view: u32, low: i32) -> bool {
        for k in 0..self.arcs_of[ix(view)].len() {
            let index = self.arcs_of[ix(view)][k];
            let arc = self.arcs[ix(index)];
            if low + arc.by > self.low[ix(arc.to)]
                && !self.raise(arc.to, low + arc.by, Reason::Arc(index))
            {
                return false;
            }
        }
        true
    }

    /// Looks at the clauses of which a watched literal got false as the view rose from `old` to `new`.
    fn follow_clauses(&mut self, view: u32, old: i32, new: i32) -> bool {
        let mut list = std::mem::take(&mut self.watches[ix(view)]);
        let (mut kept, mut sound) = (0, true);
        self.work += list.len() as u64 / 8;
        for at in 0..list.len() {
            let watch = list[at];
            if watch.mark <= old || watch.mark > new || !sound || self.holds(watch.hint) {
                list[kept] = watch;
                kept += 1;
                continue;
            }
            if let Some(watch) = self.follow_clause(view, watch, &mut sound) {
                list[kept] = watch;
                kept += 1;
            }
        }
        list.truncate(kept);
        self.watches[ix(view)] = list;
        sound
    }

    /// What to watch at this view from now on, if anything.
    fn follow_clause(&mut self, view: u32, watch: Watch, sound: &mut bool) -> Option<Watch> {
        let clause = watch.clause;
        let gone = Lit { view: view ^ 1, least: 1 - watch.mark };
        if self.clauses.lits(clause)[0] == gone {
            self.clauses.lits_mut(clause).swap(0, 1);
        }
        let first = self.clauses.lits(clause)[0];
        if self.holds(first) {
            return Some(Watch { hint: first, ..watch });
        }
        let lits = self.clauses.lits(clause);
        if let Some(k) = (2..lits.len()).find(|&k| !self.fails(lits[k])) {
            let other = lits[k];
            self.clauses.lits_mut(clause).swap(1, k);
            self.watches[ix(other.view ^ 1)].push(Watch {
                mark: 1 - other.least,
                clause,
                hint: first,
            });
            return None;
        }
        *sound = self.raise(first.view, first.least, Reason::Clause(clause));
        Some(Watch { hint: first, ..watch })
    }
}
