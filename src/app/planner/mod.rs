//! The planner beside the page: the same program in a worker, asked and answered in JSON.
//!
//! [`desk`] is the page's side, [`bench`] the worker's, [`run`] what both share: planning in slices
//! that another request may cut short.

mod bench;
mod desk;
mod run;

use rackweek::plan::{Plan, Problem};
use serde::{Deserialize, Serialize};

pub(crate) use bench::{BROKEN, serve};
pub(crate) use desk::Desk;

/// A wish for a plan. A newer one makes an older one void.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Request {
    /// Counts up.
    pub(crate) token: u32,
    /// Of the search.
    pub(crate) seed: u64,
    /// What to plan; the plan shown before is in its `ref` fields.
    pub(crate) problem: Problem,
}

/// An answer: the first plan, a better one, or the last word.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Reply {
    /// Of the request.
    pub(crate) token: u32,
    /// The best plan so far; none when only `done` is news.
    pub(crate) plan: Option<Plan>,
    /// How good it is.
    pub(crate) standing: Standing,
    /// No more answers follow.
    pub(crate) done: bool,
    /// Why the problem cannot be planned at all.
    pub(crate) error: Option<String>,
}

/// [`rackweek::plan::Progress`] on its way between page and worker.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub(crate) struct Standing {
    /// Schedules evaluated.
    pub(crate) evaluations: u64,
    /// Of the best sound plan.
    pub(crate) objective: Option<i64>,
    /// No sound plan costs less.
    pub(crate) bound: i64,
    /// Nothing more to find.
    pub(crate) finished: bool,
}
