//! A problem as a net of starts and lags, for proofs that no plan exists.
//!
//! In: a problem. Out: tasks (one for each segment) with all starts that windows, calendars and pins
//! leave, lags between them, and what they take. Unlike the planner's own model a pin is a requirement
//! like any other here, so that it can be found in contradiction.

use super::supply::Supply;

/// A lag without an end.
pub(super) const FAR: i32 = 400_000_000;

/// Inclusive stretches of starts, sorted, disjoint.
pub(super) type Domain = Vec<(i32, i32)>;

/// One segment.
#[derive(Debug, Clone)]
pub(super) struct Task {
    pub(super) length: i32,
    pub(super) domain: Domain,
    /// The only worker who may do it.
    pub(super) worker: Option<usize>,
    /// All who may, each with the starts in their own windows; empty for what needs no hands or no time.
    pub(super) who: Vec<(usize, Domain)>,
    pub(super) uses: Vec<(usize, i64)>,
}

/// Starts of two tasks lie apart by `least..=most`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lag {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) least: i32,
    pub(super) most: i32,
}

/// One way to rest, in lags from end to start.
#[derive(Debug, Clone)]
pub(super) struct Way {
    pub(super) least: i32,
    pub(super) most: i32,
    pub(super) tail: i32,
    pub(super) store: Vec<(usize, i64)>,
    pub(super) tail_store: Vec<(usize, i64)>,
}

/// What stands somewhere from the end of one task to the start of another.
#[derive(Debug, Clone)]
pub(super) struct Stand {
    pub(super) from: usize,
    pub(super) to: usize,
    /// What to add to the starts of `from` and `to` to have the lag's two ends.
    pub(super) offsets: (i32, i32),
    pub(super) ways: Vec<Way>,
}

/// A worker's limits that count the same kinds and do not overlap, with the tasks that they count.
#[derive(Debug, Clone)]
pub(super) struct Limits {
    pub(super) tasks: Vec<usize>,
    /// From, to, most.
    pub(super) spans: Vec<(i32, i32, i64)>,
    /// How much work fits when.
    pub(super) supply: Supply,
}

/// The whole net.
#[derive(Debug, Clone)]
pub(super) struct Net {
    pub(super) tasks: Vec<Task>,
    pub(super) lags: Vec<Lag>,
    /// Lags at each task.
    pub(super) lags_of: Vec<Vec<usize>>,
    pub(super) stands: Vec<Stand>,
    /// For each worker the tasks that only they may do.
    pub(super) own: Vec<Vec<usize>>,
    pub(super) limits: Vec<Limits>,
    /// All hands-on tasks, and the time of all workers together.
    pub(super) pool: (Vec<usize>, Vec<Supply>),
    /// Capacity of each resource.
    pub(super) capacity: Vec<i64>,
    /// For each resource the tasks that use it, and the stands that may take of it.
    pub(super) takers: Vec<(Vec<usize>, Vec<usize>)>,
    /// What is taken of each at each slot from the beginning.
    pub(super) busy: Vec<Vec<i64>>,
    /// Of each resource what is free before each slot, and in all.
    pub(super) free: Vec<Vec<i64>>,
    /// A lag from a task to itself that cannot be.
    pub(super) broken: bool,
}
