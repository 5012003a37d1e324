//! The planner beside the page: the same program in a worker, asked and answered in JSON.
//!
//! [`desk`] is the page's side, [`bench`] the worker's; the page works at a bench of its own where the
//! browser gives no worker. [`run`] plans in slices that another request may cut short, [`questions`]
//! answers what is asked about a plan.

mod bench;
mod desk;
mod questions;
mod run;

use rackweek::breakdown::{Cut, Standings};
use rackweek::plan::explain::{Candidate, Conflict, HandTimes, Risk, Tried};
use rackweek::plan::{Plan, Problem, Progress};
use serde::{Deserialize, Serialize};

pub(crate) use bench::{BROKEN, READY, serve};
pub(crate) use desk::{Desk, script};

/// What the page sends. Of each kind a newer one makes an older one void.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) enum Ask {
    /// A wish for a plan.
    Plan(Request),
    /// A question about a plan.
    About {
        /// Counts up, for each kind of question by itself.
        number: u32,
        /// What was planned.
        problem: Problem,
        /// The plan that is asked about.
        plan: Plan,
        /// What is asked.
        question: Question,
    },
    /// The plan with the sitting of the question "where else" at a start.
    At {
        /// Of that question.
        number: u32,
        /// Slot.
        start: i32,
    },
    /// Nobody waits any more for answers to this kind of question up to this number.
    Leave(Kind, u32),
}

/// A question about a plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) enum Question {
    /// Where else a sitting could start.
    Elsewhere {
        /// Whose.
        activity: String,
        /// Which of its segments.
        segment: usize,
    },
    /// Why there is no sound plan, and what would help.
    WhyNot {
        /// Nothing can begin before this slot.
        not_before: i32,
    },
    /// How likely it ends in time.
    Risk(HandTimes),
    /// A sound and packed plan near this one, which may be sound or not.
    Mend {
        /// What can stand where.
        standings: Option<Box<Standings>>,
        /// Somebody waits for this one answer: it is looked for longer before it is given up.
        patient: bool,
    },
}

/// Which kind of question.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub(crate) enum Kind {
    /// [`Question::Elsewhere`].
    Elsewhere,
    /// [`Question::WhyNot`].
    WhyNot,
    /// [`Question::Risk`].
    Risk,
    /// [`Question::Mend`].
    Mend,
}

impl Question {
    /// Its kind.
    pub(crate) fn kind(&self) -> Kind {
        match self {
            Self::Elsewhere { .. } => Kind::Elsewhere,
            Self::WhyNot { .. } => Kind::WhyNot,
            Self::Risk(_) => Kind::Risk,
            Self::Mend { .. } => Kind::Mend,
        }
    }
}

/// What the worker sends.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) enum Heard {
    /// An answer to a wish for a plan.
    Plan(Reply),
    /// An answer to a question.
    About {
        /// Which question.
        number: u32,
        /// What is known by now.
        answer: Answer,
    },
}

/// What is known by now.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) enum Answer {
    /// Starts of which something new is known.
    Elsewhere {
        /// They replace what was known of the same starts.
        news: Vec<Candidate>,
        /// Nothing is left to try.
        done: bool,
    },
    /// The plan with the sitting at a start; none when no sound one was found.
    At {
        /// Slot.
        start: i32,
        /// It.
        plan: Option<Plan>,
    },
    /// What cannot hold together, and all remedies found by now.
    WhyNot {
        /// Proven or not.
        conflict: Conflict,
        /// The cheapest first.
        remedies: Vec<Tried>,
        /// Nothing is left to try.
        done: bool,
    },
    /// What the runs showed.
    Risk(Risk),
    /// A sound and packed plan; none when none was found.
    Mended(Option<Plan>),
}

impl Answer {
    /// Of which kind of question.
    pub(crate) fn kind(&self) -> Kind {
        match self {
            Self::Elsewhere { .. } | Self::At { .. } => Kind::Elsewhere,
            Self::WhyNot { .. } => Kind::WhyNot,
            Self::Risk(_) => Kind::Risk,
            Self::Mended(_) => Kind::Mend,
        }
    }
}

/// A wish for a plan. A newer one makes an older one void.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Request {
    /// Counts up.
    pub(crate) token: u32,
    /// Of the search.
    pub(crate) seed: u64,
    /// What to plan; the plan shown before is in its `ref` fields.
    pub(crate) problem: Problem,
    /// What can stand where; none: the plan is not packed.
    pub(crate) standings: Option<Standings>,
}

/// An answer: the first plan, a better one, or the last word.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Reply {
    /// Of the request.
    pub(crate) token: u32,
    /// The best plan so far; none when only `done` is news.
    pub(crate) plan: Option<Plan>,
    /// What was found not to stand together: part of the problem that the plan is for.
    pub(crate) cuts: Vec<Cut>,
    /// How good it is.
    pub(crate) progress: Progress,
    /// No more answers follow.
    pub(crate) done: bool,
    /// Why the problem cannot be planned at all.
    pub(crate) error: Option<String>,
}
