//! The planner: a neutral problem in, a plan out, with its breaches and a bound.
//!
//! Knows nothing of baking, dates or screens; all times are slots ([`Problem`]).
//! [`check`] re-verifies any plan and shares no code with the planner.

pub mod arrange;
mod board;
pub mod check;
mod dive;
mod exact;
pub mod explain;
pub mod json;
mod model;
mod part;
mod planner;
mod problem;
mod prove;
mod random;
mod search;
mod spread;
mod starts;
mod tree;
mod validate;

pub use planner::{Planner, Progress};
pub use problem::{
    Activity, At, Limit, Link, Mode, Plan, Problem, ProblemError, Resource, Status, Tail, Weights,
    Worker,
};
pub use starts::possible_starts;
