//! Where else a segment could start, and what each start would cost.
//!
//! In: problem, plan, one segment. Out at once: the starts that are not ruled out. Then, in slices that
//! the caller chooses: each start planned for real, with its cost. Deterministic in the evaluations
//! spent, however they are sliced.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::ledger::Ledger;
use super::proof::refuted;
use super::why_here::{difference, moved};
use crate::check::{Parts, check};
use crate::{Plan, Planner, Problem, possible_starts};

/// Schedules evaluated for one start: enough to mend a plan around one moved segment.
const EVALUATIONS_A_START: u64 = 60;
/// Evaluations that looking at a start without planning counts for.
const LOOK: u64 = 1;

/// What is known of a start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Verdict {
    /// Not ruled out, not tried yet.
    #[default]
    Likely,
    /// A sound plan has the segment here. What it costs more than the present one, part by part, and how
    /// many other activities it moves. Both are upper bounds: planning longer may lower them.
    Sound {
        /// Cost compared with the present plan; negative: less.
        dearer: Parts,
        /// Other activities that start elsewhere.
        moved: usize,
    },
    /// Tried, and no sound plan was found. That is no proof.
    NotFound,
}

/// A start and what is known of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Candidate {
    /// Slot.
    pub start: i32,
    /// What is known.
    pub verdict: Verdict,
}

/// The starts of one segment, known better the longer it is refined.
#[derive(Debug, Clone)]
pub struct WhereElse {
    problem: Problem,
    plan: Plan,
    now: Parts,
    index: usize,
    segment: usize,
    /// Sorted by start.
    candidates: Vec<Candidate>,
    /// What is still to be done, the next one last.
    looks: Vec<usize>,
    tries: Vec<usize>,
    saved: u64,
    spent: u64,
}

impl WhereElse {
    /// The first answer. The activity's other segments stay where the plan has them, everything else
    /// that is not pinned may move. No candidates: nothing is possible, or there is no such segment.
    pub fn new(problem: &Problem, plan: &Plan, activity: &str, segment: usize) -> Self {
        let spans = possible_starts(problem, plan, activity, segment);
        let candidates: Vec<Candidate> = spans
            .iter()
            .flat_map(|&(from, to)| from..to)
            .map(|start| Candidate { start, verdict: Verdict::Likely })
            .collect();
        let index = problem.activities.iter().position(|of| of.id == activity).unwrap_or(0);
        let mut problem = problem.clone();
        if let Some(of) = problem.activities.get_mut(index) {
            of.pin = None;
        }
        let mut order = coarse_to_fine(&spans, &candidates);
        order.reverse();
        Self {
            now: check(&problem, plan).parts,
            plan: plan.clone(),
            problem,
            index,
            segment,
            looks: order.clone(),
            tries: order,
            candidates,
            saved: 0,
            spent: 0,
        }
    }

    /// All starts, in order of time, with what is known of them by now.
    pub fn candidates(&self) -> &[Candidate] {
        &self.candidates
    }

    /// Evaluations spent so far.
    pub fn spent(&self) -> u64 {
        self.spent
    }

    /// Spends about so many more evaluations; true when nothing is left to do. What a start needs is
    /// never cut in two: evaluations that do not suffice for the next one are saved for the next call.
    pub fn refine(&mut self, evaluations: u64) -> bool {
        self.saved = self.saved.saturating_add(evaluations);
        if !self.looks.is_empty() {
            self.look();
        }
        while self.saved >= EVALUATIONS_A_START {
            let Some(next) = self.tries.pop() else { break };
            self.try_start(next);
        }
        self.looks.is_empty() && self.tries.is_empty()
    }

    /// The plan with the segment at a start: the one that the verdict speaks of, or the best that is
    /// found now. Always checked; none when no sound one is found.
    pub fn plan_at(&self, start: i32) -> Option<Plan> {
        let alone = self.moved(start);
        let planned = self.planned(start);
        let cost = |plan: &Plan| check(&self.problem, plan).parts.total;
        [Some(alone).filter(|plan| self.sound(plan)), planned]
            .into_iter()
            .flatten()
            .min_by_key(cost)
    }

    fn spend(&mut self, evaluations: u64) {
        self.saved = self.saved.saturating_sub(evaluations);
        self.spent += evaluations;
    }

    /// Starts at which everything else can simply stay.
    fn look(&mut self) {
        let (problem, plan) = (self.problem.clone(), self.plan.clone());
        let mut ledger = Ledger::of(&problem, &plan);
        let placed = ledger.span(self.index, self.segment).is_some();
        ledger.lift(self.index, self.segment, true);
        while self.saved >= LOOK {
            let Some(next) = self.looks.pop() else { break };
            self.spend(LOOK);
            let Some(start) = self.candidates.get(next).map(|candidate| candidate.start) else {
                continue;
            };
            if !placed || !ledger.against(self.index, self.segment, start).is_empty() {
                continue;
            }
            let alone = self.moved(start);
            if self.sound(&alone) {
                self.learn(next, &alone);
            }
        }
    }

    fn try_start(&mut self, next: usize) {
        self.spend(EVALUATIONS_A_START);
        let Some(start) = self.candidates.get(next).map(|candidate| candidate.start) else {
            return;
        };
        match self.planned(start) {
            Some(plan) => self.learn(next, &plan),
            None => {
                if let Some(of) = self.candidates.get_mut(next)
                    && of.verdict == Verdict::Likely
                {
                    of.verdict = Verdict::NotFound;
                }
            }
        }
    }

    fn moved(&self, start: i32) -> Plan {
        match self.problem.activities.get(self.index) {
            Some(of) => moved(&self.plan, &of.id, self.segment, start),
            None => self.plan.clone(),
        }
    }

    /// Plans anew with the activity pinned, from the present plan on.
    fn planned(&self, start: i32) -> Option<Plan> {
        let warm = self.moved(start);
        let mut problem = self.problem.clone();
        let of = problem.activities.get_mut(self.index)?;
        let pin = warm.starts.get(&of.id)?.clone();
        if pin.len() != of.segments.len() || pin.get(self.segment) != Some(&start) {
            return None;
        }
        of.pin = Some(pin);
        if refuted(&problem, 1) {
            return None;
        }
        let mut planner = Planner::warm(&problem, 0, &warm).ok()?;
        planner.improve(EVALUATIONS_A_START).objective?;
        let plan = planner.plan();
        check(&problem, &plan).breaches.is_empty().then_some(plan)
    }

    fn sound(&self, plan: &Plan) -> bool {
        check(&self.problem, plan).breaches.is_empty()
    }

    fn learn(&mut self, candidate: usize, plan: &Plan) {
        let dearer = difference(check(&self.problem, plan).parts, self.now);
        let own = self.problem.activities.get(self.index).map(|of| &of.id);
        let elsewhere = |(id, starts): &(&String, &Vec<i32>)| {
            Some(*id) != own && self.plan.starts.get(*id) != Some(*starts)
        };
        let moved = plan.starts.iter().filter(elsewhere).count();
        if let Some(of) = self.candidates.get_mut(candidate) {
            let better = match of.verdict {
                Verdict::Sound { dearer: known, .. } => dearer.total < known.total,
                _ => true,
            };
            if better {
                of.verdict = Verdict::Sound { dearer, moved };
            }
        }
    }
}

/// Ends of every stretch first, then middles of what lies between those known: soon an outline
/// everywhere, later every start.
fn coarse_to_fine(spans: &[(i32, i32)], candidates: &[Candidate]) -> Vec<usize> {
    let mut order = Vec::with_capacity(candidates.len());
    let mut gaps: Vec<(usize, usize)> = Vec::new();
    let mut first = 0;
    for &(from, to) in spans {
        let count = usize::try_from(to - from).unwrap_or(0);
        let Some(last) = count.checked_sub(1).map(|more| first + more) else { continue };
        order.extend([first, last]);
        gaps.push((first, last));
        first += count;
    }
    while !gaps.is_empty() {
        let mut finer = Vec::with_capacity(gaps.len() * 2);
        for (low, high) in gaps {
            if high - low > 1 {
                let middle = low.midpoint(high);
                order.push(middle);
                finer.extend([(low, middle), (middle, high)]);
            }
        }
        gaps = finer;
    }
    let mut seen = BTreeSet::new();
    order.retain(|&index| index < candidates.len() && seen.insert(index));
    order
}
