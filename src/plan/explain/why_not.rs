//! Why a problem has no sound plan, and what would help: each remedy tried by planning it.
//!
//! In: a problem and its least bad plan. Out at once: a smallest conflict, if one can be proven. Then, in
//! slices that the caller chooses: remedies with the plans that they give, the cheapest first.
//! Deterministic in the evaluations spent, however they are sliced.

use std::collections::{BTreeSet, VecDeque};

use serde::{Deserialize, Serialize};

use super::conflict::{Conflict, conflict, proven_impossible};
use super::proof::refuted;
use super::remedy::{Remedy, other_modes};
use super::requirement::Requirement;
use super::suggest::candidates;
use super::tighten::tightened;
use crate::arrange::Arrange;
use crate::check::check;
use crate::{Plan, Planner, Problem};

/// Evaluations in which a remedy must give a sound plan.
const EVALUATIONS_A_TRIAL: u64 = 240;
/// What mending the earlier plan counts for.
const MENDING: u64 = 60;
/// After a sound plan is found, how long it is still improved.
const POLISH: u64 = 40;
/// Cases in which what cannot work is ruled out before it is planned.
const GLANCE: u64 = 16;
/// So many ways out are enough: only for fewer are several remedies given together.
const ENOUGH: usize = 3;
/// Remedies that are not enough alone, to each of which others are added.
const ADDED_TO_MOST: usize = 8;
/// Most remedies given together.
const TOGETHER_MOST: usize = 3;
/// What is tried beside one that is not enough alone.
const BESIDE_MOST: usize = 12;
/// What looking for others beside it counts for.
const LOOK: u64 = 60;

/// A remedy that works.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tried {
    /// What is given.
    pub remedy: Remedy,
    /// The plan that it gives: sound for [`Remedy::given`].
    pub plan: Plan,
    /// The plan's objective in the changed problem and the price of the remedy.
    pub cost: i64,
    /// Rests of what the conflict names that go another way than in the least bad plan: link and mode.
    pub modes: Vec<(String, String)>,
}

/// Why not, known better the longer it is refined.
#[derive(Debug, Clone)]
pub struct WhyNot {
    problem: Problem,
    plan: Plan,
    conflict: Conflict,
    /// Remedies still to be tried: of each, growing amounts; the first that works ends it.
    queue: VecDeque<VecDeque<Remedy>>,
    /// What solves this conflict and leaves another, with what each aims at.
    partial: VecDeque<Remedy>,
    aims: BTreeSet<(u8, String)>,
    added_to: usize,
    not_before: i32,
    budget: u64,
    tried: Vec<Tried>,
    saved: u64,
    spent: u64,
}

impl WhyNot {
    /// Seeks the conflict and lists what might help. Nothing can begin before `not_before`; the budget is
    /// in cases of proofs.
    pub fn new(problem: &Problem, plan: &Plan, not_before: i32, budget: u64) -> Self {
        let conflict = conflict(problem, budget);
        let queue = candidates(problem, plan, &conflict, not_before);
        Self {
            problem: problem.clone(),
            plan: plan.clone(),
            conflict,
            queue,
            partial: VecDeque::new(),
            aims: BTreeSet::new(),
            added_to: 0,
            not_before,
            budget,
            tried: Vec::new(),
            saved: 0,
            spent: 0,
        }
    }

    /// What cannot hold together.
    pub fn conflict(&self) -> &Conflict {
        &self.conflict
    }

    /// What was found to help so far, the cheapest first.
    pub fn remedies(&self) -> &[Tried] {
        &self.tried
    }

    /// Evaluations spent so far.
    pub fn spent(&self) -> u64 {
        self.spent
    }

    /// Spends about so many more evaluations; true when nothing is left to try. A trial is never cut in
    /// two: evaluations that do not suffice for one are saved for the next call.
    pub fn refine(&mut self, evaluations: u64) -> bool {
        self.saved = self.saved.saturating_add(evaluations);
        while self.saved >= EVALUATIONS_A_TRIAL {
            let Some(mut ladder) = self.queue.pop_front() else {
                if self.add_to_partial() {
                    continue;
                }
                break;
            };
            let Some(remedy) = ladder.pop_front() else { continue };
            let found = self.attempt(remedy);
            if let Some(found) = found {
                let no_better = |known: &Tried| {
                    known.remedy.aim() == found.remedy.aim() && known.cost <= found.cost
                };
                // What works alone needs nothing beside it.
                let within = |known: &Tried| {
                    let parts = found.remedy.parts();
                    parts.len() > 1 && parts.contains(&known.remedy)
                };
                if !self.tried.iter().any(|known| no_better(known) || within(known)) {
                    self.tried.retain(|known| known.remedy.aim() != found.remedy.aim());
                    self.tried.push(found);
                }
                self.tried.arrange_by(|a, b| (a.cost, &a.remedy).cmp(&(b.cost, &b.remedy)));
            } else if !ladder.is_empty() {
                // First every remedy in its smallest amount.
                self.queue.push_back(ladder);
            }
        }
        self.queue.is_empty() && !self.can_add()
    }

    fn can_add(&self) -> bool {
        self.tried.len() < ENOUGH && self.added_to < ADDED_TO_MOST && !self.partial.is_empty()
    }

    /// Takes a remedy that is not enough alone and queues others beside it; false when that is all.
    fn add_to_partial(&mut self) -> bool {
        if !self.can_add() {
            return false;
        }
        let Some(first) = self.partial.pop_front() else { return false };
        self.added_to += 1;
        self.spend(LOOK);
        let Some(changed) = first.given(&self.problem) else { return true };
        let other = conflict(&changed, self.budget);
        if other == Conflict::NotProven {
            return true;
        }
        let beside = candidates(&changed, &self.plan, &other, self.not_before);
        for ladder in beside.into_iter().take(BESIDE_MOST) {
            let with = |remedy: Remedy| [first.parts(), remedy.parts()].concat();
            // More of the same is on its own ladder.
            let other = ladder.into_iter().filter(|r| r.aim() != first.aim());
            self.queue.push_back(other.filter_map(|r| Remedy::all(with(r))).collect());
        }
        true
    }

    fn attempt(&mut self, remedy: Remedy) -> Option<Tried> {
        let changed = remedy.given(&self.problem)?;
        self.spend(1);
        let plan = if refuted(&changed, GLANCE) { None } else { self.planned(&changed) };
        let Some(plan) = plan else {
            self.note_partial(remedy, &changed);
            return None;
        };
        let remedy = tightened(&self.problem, &remedy, &plan);
        let changed = remedy.given(&self.problem)?;
        let report = check(&changed, &plan);
        let cost = report.parts.total + remedy.price(&self.problem, &plan);
        let mut modes = other_modes(&self.plan, &plan);
        modes.retain(|(link, _)| self.concerns(link));
        report.breaches.is_empty().then_some(Tried { remedy, plan, cost, modes })
    }

    /// Remembers a remedy that solves what it was proposed for, in its smallest amount.
    fn note_partial(&mut self, remedy: Remedy, changed: &Problem) {
        let Conflict::Proven { members, .. } = &self.conflict else { return };
        if remedy.parts().len() < TOGETHER_MOST
            && !self.aims.contains(&remedy.aim())
            && !proven_impossible(changed, members, GLANCE)
        {
            self.aims.insert(remedy.aim());
            self.partial.push_back(remedy);
        }
    }

    /// Whether a link touches what the conflict names.
    fn concerns(&self, link: &str) -> bool {
        let Conflict::Proven { members, .. } = &self.conflict else { return false };
        let link = self.problem.links.iter().find(|of| of.id == link);
        link.is_some_and(|link| {
            members.iter().any(|member| match member {
                Requirement::Work(id) | Requirement::Latest(id) | Requirement::Pin(id) => {
                    *id == link.from || *id == link.to
                }
                Requirement::Max(id) | Requirement::Min(id) => *id == link.id,
                _ => false,
            })
        })
    }

    fn spend(&mut self, evaluations: u64) {
        self.saved = self.saved.saturating_sub(evaluations);
        self.spent += evaluations;
    }

    /// A sound plan of the changed problem, from the least bad one on.
    fn planned(&mut self, changed: &Problem) -> Option<Plan> {
        let mut planner = Planner::warm(changed, 0, &self.plan).ok()?;
        let mut spent = 0;
        let mut found = planner.improve(0).objective.is_some();
        while !found && spent < EVALUATIONS_A_TRIAL - POLISH - MENDING {
            spent += 20;
            found = planner.improve(20).objective.is_some();
        }
        let progress = planner.improve(POLISH);
        self.spend(MENDING + spent + POLISH);
        progress.objective?;
        let plan = planner.plan();
        check(changed, &plan).breaches.is_empty().then_some(plan)
    }
}
