//! Bounds on starts: lags passed from task to task, alternating with the places where each fits.
//!
//! In: the model, what is placed, and which tasks are open. Out: least and greatest starts, or a
//! contradiction. Remembers its steps, so that a search can take them back. Knows no costs.

use super::board::Board;
use super::model::{FAR, Model};

/// Bounds of every task; a placed task has both equal.
#[derive(Debug, Clone)]
pub(super) struct Spread {
    pub(super) low: Vec<i32>,
    pub(super) high: Vec<i32>,
    /// Given up for now: takes no part.
    pub(super) ignored: Vec<bool>,
    /// Starts are kept at or before these, beside what the model says.
    pub(super) ceiling: Vec<i32>,
    /// Bounds of each task when nothing is placed.
    pub(super) root: Vec<(i32, i32)>,
    trail: Vec<(usize, i32, i32)>,
    queue: Vec<usize>,
    queued: Vec<bool>,
    /// The task at which the last contradiction showed.
    pub(super) failed: usize,
}

impl Spread {
    pub(super) fn new(model: &Model) -> Self {
        let n = model.tasks.len();
        let mut spread = Self {
            low: vec![0; n],
            high: vec![0; n],
            ignored: vec![false; n],
            ceiling: vec![FAR; n],
            root: Vec::with_capacity(n),
            trail: Vec::new(),
            queue: Vec::with_capacity(n),
            queued: vec![false; n],
            failed: 0,
        };
        for (task, of) in model.tasks.iter().enumerate() {
            let low = of.domain.first().map_or(FAR, |spot| spot.0);
            let high = of.domain.last().map_or(-FAR, |spot| spot.1);
            spread.root.push((low, high));
            spread.open(task);
        }
        spread
    }

    /// Narrows the bounds that tasks have when nothing is placed; false if they contradict.
    pub(super) fn settle_root(&mut self, model: &Model) -> bool {
        let n = self.root.len();
        for task in 0..n {
            self.open(task);
        }
        let good = (0..n).all(|task| {
            self.push(task);
            self.fit(model, None, task)
        }) && self.run(model, None);
        self.reset();
        self.keep();
        if good {
            for task in 0..n {
                self.root[task] = (self.low[task], self.high[task]);
            }
        }
        for task in 0..n {
            self.open(task);
        }
        good
    }

    /// Widest bounds of a task.
    pub(super) fn open(&mut self, task: usize) {
        let (low, high) = self.root[task];
        self.low[task] = low;
        self.high[task] = high.min(self.ceiling[task]);
    }

    /// How far back [`Self::back`] can go.
    pub(super) fn here(&self) -> usize {
        self.trail.len()
    }

    /// Takes everything since `here` back.
    pub(super) fn back(&mut self, here: usize) {
        while self.trail.len() > here {
            if let Some((task, low, high)) = self.trail.pop() {
                self.low[task] = low;
                self.high[task] = high;
            }
        }
    }

    /// Forgets how to go back.
    pub(super) fn keep(&mut self) {
        self.trail.clear();
    }

    pub(super) fn push(&mut self, task: usize) {
        if !self.queued[task] {
            self.queued[task] = true;
            self.queue.push(task);
        }
    }

    fn clear(&mut self) -> bool {
        for &task in &self.queue {
            self.queued[task] = false;
        }
        self.queue.clear();
        false
    }

    /// Narrows a task to `low..=high` and remembers its neighbours.
    pub(super) fn narrow(
        &mut self,
        model: &Model,
        board: Option<&Board>,
        task: usize,
        low: i32,
        high: i32,
    ) -> bool {
        let (old_low, old_high) = (self.low[task], self.high[task]);
        let (mut new_low, mut new_high) = (old_low.max(low), old_high.min(high));
        if new_low > new_high {
            self.failed = task;
            return false;
        }
        if new_low > old_low {
            new_low = snap_up(model, board, task, new_low, new_high);
        }
        if new_high < old_high {
            new_high = snap_down(model, board, task, new_low, new_high);
        }
        if new_low > new_high {
            self.failed = task;
            return false;
        }
        if new_low != old_low || new_high != old_high {
            self.trail.push((task, old_low, old_high));
            self.low[task] = new_low;
            self.high[task] = new_high;
            self.push(task);
        }
        true
    }

    /// Passes bounds on until nothing changes; false at a contradiction.
    pub(super) fn run(&mut self, model: &Model, board: Option<&Board>) -> bool {
        while let Some(task) = self.queue.pop() {
            self.queued[task] = false;
            if self.ignored[task] {
                continue;
            }
            for arc in &model.arcs[task] {
                let other = arc.other;
                if self.ignored[other] {
                    continue;
                }
                let (low, high) = (self.low[task] + arc.min, self.high[task] + arc.max);
                if (low > self.low[other] || high < self.high[other])
                    && !self.narrow(model, board, other, low, high)
                {
                    return self.clear();
                }
            }
        }
        true
    }

    /// Snaps a task's own bounds into the places where it fits.
    pub(super) fn fit(&mut self, model: &Model, board: Option<&Board>, task: usize) -> bool {
        let (low, high) = (self.low[task], self.high[task]);
        if low > high {
            self.failed = task;
            return false;
        }
        let new_low = snap_up(model, board, task, low, high);
        let new_high = snap_down(model, board, task, new_low.min(high), high);
        if new_low > new_high {
            self.failed = task;
            return false;
        }
        if (new_low, new_high) != (low, high) {
            self.trail.push((task, low, high));
            self.low[task] = new_low;
            self.high[task] = new_high;
            self.push(task);
        }
        true
    }

    /// Drops what is still to be passed on.
    pub(super) fn reset(&mut self) {
        self.clear();
    }
}

/// The only worker of a task, if there is one that can be busy.
fn worker_of(model: &Model, task: usize) -> Option<usize> {
    let of = &model.tasks[task];
    match of.ways.as_slice() {
        [way] if way.worker != usize::MAX && of.length > 0 && !of.fixed => Some(way.worker),
        _ => None,
    }
}

/// First start from `low` on that fits; above `high` if there is none.
fn snap_up(model: &Model, board: Option<&Board>, task: usize, mut low: i32, high: i32) -> i32 {
    let of = &model.tasks[task];
    let busy = board.and_then(|board| worker_of(model, task).map(|worker| (board, worker)));
    let mut index = of.domain.partition_point(|spot| spot.1 < low);
    while let Some(&(from, to)) = of.domain.get(index) {
        low = low.max(from);
        if low > high {
            return low;
        }
        let Some((board, worker)) = busy else { return low };
        match board.blocked(worker, low, of.length) {
            None => return low,
            Some(slot) => {
                low = slot + 1;
                while of.domain.get(index).is_some_and(|spot| spot.1 < low) {
                    index += 1;
                }
                let _ = to;
            }
        }
    }
    FAR
}

/// Last start up to `high` that fits; below `low` if there is none.
fn snap_down(model: &Model, board: Option<&Board>, task: usize, low: i32, mut high: i32) -> i32 {
    let of = &model.tasks[task];
    let busy = board.and_then(|board| worker_of(model, task).map(|worker| (board, worker)));
    let mut index = of.domain.partition_point(|spot| spot.0 <= high);
    while index > 0 {
        let (_, to) = of.domain[index - 1];
        high = high.min(to);
        if high < low {
            return high;
        }
        let Some((board, worker)) = busy else { return high };
        match board.blocked_first(worker, high, of.length) {
            None => return high,
            Some(slot) => {
                high = slot - of.length;
                while index > 0 && of.domain[index - 1].0 > high {
                    index -= 1;
                }
            }
        }
    }
    -FAR
}
