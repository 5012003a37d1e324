//! Which variable to decide next: the one that took part in most of the recent conflicts.
//!
//! Activities are integers, so that every machine takes the same decisions.

use super::literal::{ix, no};

const ABSENT: u32 = u32::MAX;

/// A heap of variables by activity, ties by number.
#[derive(Debug, Clone)]
pub(super) struct Order {
    activity: Vec<u64>,
    heap: Vec<u32>,
    place: Vec<u32>,
    bump: u64,
}

impl Default for Order {
    fn default() -> Self {
        Self { activity: Vec::new(), heap: Vec::new(), place: Vec::new(), bump: 1 << 10 }
    }
}

impl Order {
    pub(super) fn push(&mut self, variable: u32) {
        self.activity.push(0);
        self.place.push(ABSENT);
        self.insert(variable);
    }

    fn before(&self, a: u32, b: u32) -> bool {
        (self.activity[ix(a)], b) > (self.activity[ix(b)], a)
    }

    fn up(&mut self, mut at: usize) {
        while at > 0 {
            let parent = (at - 1) / 2;
            if !self.before(self.heap[at], self.heap[parent]) {
                break;
            }
            self.swap(at, parent);
            at = parent;
        }
    }

    fn down(&mut self, mut at: usize) {
        loop {
            let mut best = at;
            for child in [2 * at + 1, 2 * at + 2] {
                if child < self.heap.len() && self.before(self.heap[child], self.heap[best]) {
                    best = child;
                }
            }
            if best == at {
                return;
            }
            self.swap(at, best);
            at = best;
        }
    }

    fn swap(&mut self, a: usize, b: usize) {
        self.heap.swap(a, b);
        self.place[ix(self.heap[a])] = no(a);
        self.place[ix(self.heap[b])] = no(b);
    }

    #[inline]
    pub(super) fn insert(&mut self, variable: u32) {
        if self.place[ix(variable)] == ABSENT {
            self.place[ix(variable)] = no(self.heap.len());
            self.heap.push(variable);
            self.up(self.heap.len() - 1);
        }
    }

    pub(super) fn pop(&mut self) -> Option<u32> {
        let first = *self.heap.first()?;
        self.swap(0, self.heap.len() - 1);
        self.heap.pop();
        self.place[ix(first)] = ABSENT;
        if !self.heap.is_empty() {
            self.down(0);
        }
        Some(first)
    }

    /// Took part in a conflict.
    pub(super) fn bump(&mut self, variable: u32) {
        self.activity[ix(variable)] += self.bump;
        let place = self.place[ix(variable)];
        if place != ABSENT {
            self.up(ix(place));
        }
    }

    /// Sets an activity to begin with.
    pub(super) fn prefer(&mut self, variable: u32, activity: u64) {
        self.activity[ix(variable)] = activity;
        let place = self.place[ix(variable)];
        if place != ABSENT {
            self.up(ix(place));
        }
    }

    /// Makes what comes count more than what was.
    pub(super) fn decay(&mut self) {
        self.bump += self.bump / 16;
        if self.bump > 1 << 48 {
            self.bump >>= 36;
            for activity in &mut self.activity {
                *activity >>= 36;
            }
            // Equal activities may now be in another order.
            for at in (0..self.heap.len() / 2).rev() {
                self.down(at);
            }
        }
    }
}
