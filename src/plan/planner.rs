//! The planner's face: construct at once, improve as long as wanted, say how good it is.

use super::{Plan, Problem, ProblemError};

/// An anytime planner. Same problem, seed and number of evaluations: same plan, on every machine.
#[derive(Debug, Clone)]
pub struct Planner {
    problem: Problem,
}

/// Where the planner stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Progress {
    /// Schedules evaluated so far.
    pub evaluations: u64,
    /// Objective of the best sound plan; none while there is none.
    pub objective: Option<i64>,
    /// No sound plan costs less.
    pub bound: i64,
    /// Nothing more to find: optimal or proven impossible.
    pub finished: bool,
}

impl Planner {
    /// Reads and checks the problem, and constructs a first plan.
    pub fn new(problem: &Problem, seed: u64) -> Result<Self, ProblemError> {
        let _ = seed;
        Ok(Self { problem: problem.clone() })
    }

    /// Evaluates up to `evaluations` more schedules.
    pub fn improve(&mut self, evaluations: u64) -> Progress {
        let _ = (evaluations, &self.problem);
        Progress::default()
    }

    /// The best plan so far: a sound one if any was found, else the least bad one.
    pub fn plan(&self) -> Plan {
        Plan::default()
    }
}
