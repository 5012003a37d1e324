//! Planning until the plan is packed: plan, stow, cut, and plan again.
//!
//! In: a problem, and what can stand where. Out: plans of which every moment was packed on the real shelves, or the
//! least bad one; and the cuts that were learned on the way, by which any checker sees what does not stand
//! together. Without anything that can stand it is the planner alone.

use crate::breakdown::{Cut, Standings};
use crate::kitchen::packing::NODE_LIMIT;
use crate::kitchen::stow::{Fit, Stower};
use crate::plan::arrange::Arrange;
use crate::plan::{Plan, Planner, Problem, ProblemError, Progress, Status};

/// Rounds of cutting and planning again in one go, so that who waits is heard.
const ROUNDS_AT_ONCE: u32 = 4;
/// Rounds in all; what is found after them only counts if it is packed.
const ROUNDS_MOST: u32 = 200;
/// Cuts in all: more than any week has shown, and few enough for the planner.
const CUTS_MOST: usize = 400;

/// A planner whose sound plans are packed. Same problem, seed and number of evaluations: same plan.
#[derive(Debug, Clone)]
pub struct PackedPlanner {
    /// With all cuts so far.
    problem: Problem,
    planner: Planner,
    seed: u64,
    packer: Option<Packer>,
    /// The best packed plan.
    packed: Option<(i64, Plan)>,
    /// The objective of the planner's plan that was looked at last, and whether it is packed.
    looked: Option<(i64, bool)>,
    /// Cuts were found that the planner does not know yet.
    stale: bool,
    /// Evaluations of planners before this one.
    evaluations: u64,
    /// Proven before by planners that knew fewer cuts, and so still true.
    bound: i64,
    spent: PackingSpent,
}

/// What packing a plan took.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct PackingSpent {
    /// Times that the week was planned again because of a cut.
    pub rounds: u32,
    /// Sets found that do not stand together.
    pub cuts: usize,
    /// Questions put to the exact packer.
    pub packings: u64,
    /// Its search nodes.
    pub nodes: u64,
}

/// Whether plans made elsewhere are packed; what was found out about a set of boxes is kept.
#[derive(Debug, Clone)]
pub struct PackedCheck {
    standings: Standings,
    stower: Stower,
}

impl PackedCheck {
    /// Nothing is known yet.
    pub fn new(standings: &Standings) -> Self {
        let stower = Stower::new(&standings.kitchen, &standings.horizon, NODE_LIMIT);
        Self { standings: standings.clone(), stower }
    }

    /// Whether everything stands at every moment of a plan. Says nothing of the problem's own requirements.
    pub fn holds(&mut self, problem: &Problem, plan: &Plan) -> bool {
        let stays = self.standings.stays(problem, plan);
        let stays: Vec<_> = stays.into_iter().map(|(_, stay)| stay).collect();
        self.stower.unfit(&stays).is_empty()
    }
}

#[derive(Debug, Clone)]
struct Packer {
    standings: Standings,
    stower: Stower,
    cuts: Vec<Cut>,
}

impl Packer {
    fn new(standings: &Standings) -> Self {
        Self {
            standings: standings.clone(),
            stower: Stower::new(&standings.kitchen, &standings.horizon, NODE_LIMIT),
            cuts: Vec::new(),
        }
    }

    /// Cuts for what stands nowhere even alone: known before the first plan, which then chooses another rest.
    fn alone(&mut self, grid: u16) -> Vec<Cut> {
        let mut cuts: Vec<Cut> = Vec::new();
        for (index, stand) in self.standings.all.iter().enumerate() {
            let known = |cut: &Cut| cut.members.contains(&index) || cut.larger.contains(&index);
            if cuts.iter().any(known) {
                continue;
            }
            let stay = stand.over(self.standings.horizon.span());
            if let Some(unfit) = self.stower.unfit(&[stay]).first() {
                let proven = matches!(unfit.fits, Fit::Impossible(_));
                cuts.extend(Cut::of(&self.standings, &[index], proven, &mut self.stower, grid));
            }
        }
        cuts
    }

    /// Cuts that a plan breaks and nobody knew yet, and whether it breaks any at all.
    fn look(&mut self, problem: &Problem, plan: &Plan, most: usize) -> (Vec<Cut>, bool) {
        let stays = self.standings.stays(problem, plan);
        let (indexes, stays): (Vec<usize>, Vec<_>) = stays.into_iter().unzip();
        let unfit = self.stower.unfit(&stays);
        let mut new = Vec::new();
        for set in &unfit {
            let mut members: Vec<usize> =
                set.stays.iter().filter_map(|&stay| indexes.get(stay).copied()).collect();
            members.arrange();
            members.dedup();
            let known = |cut: &Cut| cut.members == members;
            if self.cuts.iter().chain(&new).any(known) || self.cuts.len() + new.len() >= most {
                continue;
            }
            let proven = matches!(set.fits, Fit::Impossible(_));
            let grid = problem.grid_minutes;
            new.extend(Cut::of(&self.standings, &members, proven, &mut self.stower, grid));
        }
        (new, !unfit.is_empty())
    }
}

impl PackedPlanner {
    /// Starts from an earlier plan if there is one. `standings` says what can stand where.
    pub fn new(
        problem: &Problem,
        seed: u64,
        standings: Option<&Standings>,
        near: Option<&Plan>,
    ) -> Result<Self, ProblemError> {
        let mut problem = problem.clone();
        let mut packer = standings.map(Packer::new);
        if let Some(packer) = &mut packer {
            for cut in packer.alone(problem.grid_minutes) {
                cut.add_to(&mut problem, &packer.standings, packer.cuts.len());
                packer.cuts.push(cut);
            }
        }
        let planner = match near {
            Some(near) => Planner::warm(&problem, seed, near),
            None => Planner::new(&problem, seed),
        }?;
        Ok(Self {
            problem,
            planner,
            seed,
            packer,
            packed: None,
            looked: None,
            stale: false,
            evaluations: 0,
            bound: 0,
            spent: PackingSpent::default(),
        })
    }

    /// Evaluates up to `evaluations` more schedules; what is found is packed, or cut and planned again.
    pub fn improve(&mut self, evaluations: u64) -> Progress {
        if self.stale {
            self.plan_again(None);
        }
        let mut progress = self.planner.improve(evaluations);
        for _ in 0..ROUNDS_AT_ONCE {
            if !self.look(progress) {
                break;
            }
            progress = self.planner.improve(0);
        }
        self.progress(progress)
    }

    /// Packs the planner's plan if it is news. True when it was cut away and planned again.
    fn look(&mut self, progress: Progress) -> bool {
        let Some(objective) = progress.objective else { return false };
        if self.looked.is_some_and(|(known, _)| known == objective)
            || self.packed.as_ref().is_some_and(|(known, _)| *known <= objective)
        {
            return false;
        }
        let plan = self.planner.plan();
        let Some(packer) = &mut self.packer else {
            self.packed = Some((objective, plan));
            return false;
        };
        let (new, over) = packer.look(&self.problem, &plan, CUTS_MOST);
        self.looked = Some((objective, !over));
        if !over {
            self.packed = Some((objective, plan));
            return false;
        }
        if new.is_empty() || self.spent.rounds >= ROUNDS_MOST {
            return false;
        }
        self.learn(new);
        self.plan_again(Some(&plan));
        true
    }

    fn learn(&mut self, new: Vec<Cut>) {
        let Some(packer) = &mut self.packer else { return };
        for cut in new {
            cut.add_to(&mut self.problem, &packer.standings, packer.cuts.len());
            packer.cuts.push(cut);
        }
        self.stale = true;
    }

    /// Plans the problem with all cuts, from the best packed plan or from one near it.
    fn plan_again(&mut self, near: Option<&Plan>) {
        self.stale = false;
        let before = self.planner.improve(0);
        self.evaluations += before.evaluations;
        self.bound = self.bound.max(before.bound);
        let near = match (&self.packed, near) {
            (Some((_, packed)), _) => packed.clone(),
            (None, Some(near)) => near.clone(),
            (None, None) => self.planner.plan(),
        };
        // The problem was sound before, and a cut is.
        if let Ok(planner) = Planner::warm(&self.problem, self.seed, &near) {
            self.planner = planner;
            self.looked = None;
            self.spent.rounds += 1;
        }
    }

    fn progress(&self, of: Progress) -> Progress {
        let objective = self.packed.as_ref().map(|(objective, _)| *objective);
        let bound = self.bound.max(of.bound);
        // The planner is done, and what it has is packed or known to be none.
        let settled = of.objective.is_none_or(|known| {
            objective.is_some_and(|packed| packed <= known)
                || self.looked.is_some_and(|(looked, _)| looked == known)
        });
        Progress {
            evaluations: self.evaluations + of.evaluations,
            objective,
            bound,
            finished: objective.is_some_and(|objective| objective <= bound)
                || (of.finished && settled && !self.stale),
        }
    }

    /// The best packed plan; else the least bad one, with cuts for all in it that does not stand together, and no
    /// objective.
    pub fn plan(&mut self) -> Plan {
        if let Some((objective, packed)) = &self.packed {
            let bound = self.bound.max(self.planner.improve(0).bound);
            let status = if *objective <= bound { Status::Optimal } else { Status::Feasible };
            return Plan { bound: Some(bound), status, ..packed.clone() };
        }
        let mut plan = self.planner.plan();
        if let Some(packer) = &mut self.packer {
            // What is shown with breaches is shown with all of them.
            let (new, over) = packer.look(&self.problem, &plan, usize::MAX);
            self.learn(new);
            if over {
                plan.objective = None;
                if plan.status != Status::Infeasible {
                    plan.status = Status::Unknown;
                }
            }
        }
        plan
    }

    /// The problem with all cuts so far: what a checker holds the plan against.
    pub fn problem(&self) -> &Problem {
        &self.problem
    }

    /// The cuts so far, in the order of their resources' numbers.
    pub fn cuts(&self) -> &[Cut] {
        self.packer.as_ref().map_or(&[], |packer| &packer.cuts)
    }

    /// What packing took so far.
    pub fn spent(&self) -> PackingSpent {
        let stower = self.packer.as_ref().map(|packer| packer.stower.spent()).unwrap_or_default();
        PackingSpent {
            cuts: self.cuts().len(),
            packings: stower.packings,
            nodes: stower.nodes,
            ..self.spent
        }
    }
}
