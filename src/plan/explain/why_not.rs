//! Why a problem has no sound plan, and what would help: each remedy tried by planning it.
//!
//! In: a problem and its least bad plan. Out at once: a smallest conflict, if one can be proven. Then, in
//! slices that the caller chooses: remedies with the plans that they give, the cheapest first.
//! Deterministic in the evaluations spent, however they are sliced.

use std::collections::{BTreeSet, VecDeque};

use super::conflict::{Conflict, conflict};
use super::ledger::Ledger;
use super::proof::refuted;
use super::remedy::{Remedy, other_modes, windows_within};
use super::requirement::Requirement;
use crate::plan::check::check;
use crate::plan::{Plan, Planner, Problem};

/// Evaluations in which a remedy must give a sound plan.
const EVALUATIONS_A_TRIAL: u64 = 240;
/// After a sound plan is found, how long it is still improved.
const POLISH: u64 = 40;
/// Slots by which time is lengthened: one, two, three hours of quarter hours.
const LONGER: [i32; 3] = [4, 8, 12];
/// By which an end is put off: from an hour to a week.
const LATER: [i32; 9] = [4, 8, 16, 24, 48, 96, 192, 384, 672];
/// By which a beginning is put forward.
const EARLIER: [i32; 5] = [4, 16, 48, 96, 192];

/// A remedy that works.
#[derive(Debug, Clone, PartialEq, Eq)]
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
            let Some(mut ladder) = self.queue.pop_front() else { break };
            let Some(remedy) = ladder.pop_front() else { continue };
            let found = self.attempt(remedy);
            if let Some(found) = found {
                self.tried.push(found);
                self.tried.sort_by(|a, b| (a.cost, &a.remedy).cmp(&(b.cost, &b.remedy)));
            } else if !ladder.is_empty() {
                // First every remedy in its smallest amount.
                self.queue.push_back(ladder);
            }
        }
        self.queue.is_empty()
    }

    fn attempt(&mut self, remedy: Remedy) -> Option<Tried> {
        let changed = remedy.given(&self.problem)?;
        self.spend(1);
        if refuted(&changed, 1) {
            return None;
        }
        let plan = self.planned(&changed)?;
        let (remedy, changed, plan) = self.tightened(remedy, changed, plan)?;
        let report = check(&changed, &plan);
        let cost = report.parts.total + remedy.price(&self.problem, &plan);
        let mut modes = other_modes(&self.plan, &plan);
        modes.retain(|(link, _)| self.concerns(link));
        report.breaches.is_empty().then_some(Tried { remedy, plan, cost, modes })
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
        while !found && spent < EVALUATIONS_A_TRIAL - POLISH {
            spent += 20;
            found = planner.improve(20).objective.is_some();
        }
        planner.improve(POLISH);
        self.spend(spent + POLISH);
        let plan = planner.plan();
        check(changed, &plan).breaches.is_empty().then_some(plan)
    }

    /// Room is asked for only as far as the plan needs it.
    fn tightened(
        &self,
        remedy: Remedy,
        changed: Problem,
        plan: Plan,
    ) -> Option<(Remedy, Problem, Plan)> {
        let Remedy::Room { resource, .. } = &remedy else { return Some((remedy, changed, plan)) };
        let over = Ledger::of(&self.problem, &plan).overfull(resource);
        let from = over.iter().map(|stretch| stretch.0).min()?;
        let to = over.iter().map(|stretch| stretch.1).max()?;
        let amount = over.iter().map(|stretch| stretch.2).max()?;
        let less = Remedy::Room { resource: resource.clone(), from, to, amount };
        let changed = less.given(&self.problem)?;
        Some((less, changed, plan))
    }
}

/// What the conflict, or the least bad plan's breaches, suggest.
fn candidates(
    problem: &Problem,
    plan: &Plan,
    conflict: &Conflict,
    not_before: i32,
) -> VecDeque<VecDeque<Remedy>> {
    let members = match conflict {
        Conflict::Proven { members, .. } => members.clone(),
        Conflict::NotProven => suspects(problem, plan),
    };
    let mut queue: VecDeque<VecDeque<Remedy>> = VecDeque::new();
    for member in &members {
        match member {
            Requirement::Pin(id) => {
                queue.push_back([Remedy::Unpin { activity: id.clone() }].into());
            }
            Requirement::Latest(id) => {
                let put_off = |slots| Remedy::LaterEnd { activity: id.clone(), slots };
                queue.push_back(LATER.map(put_off).into());
            }
            Requirement::Earliest(id) => {
                let earliest = problem.activities.iter().find(|of| &of.id == id);
                let room = earliest.map_or(0, |of| of.earliest.unwrap_or(0) - not_before);
                let put = |slots| Remedy::EarlierStart { activity: id.clone(), slots };
                // What is to happen at one moment only is a handover: it is put off, not put forward.
                let moment = earliest.is_some_and(|of| of.earliest == of.latest);
                let amounts = EARLIER.into_iter().filter(|&slots| slots <= room && !moment);
                queue.push_back(amounts.map(put).collect());
            }
            Requirement::Capacity(id) => {
                let room = |amount| Remedy::Room {
                    resource: id.clone(),
                    from: 0,
                    to: problem.horizon,
                    amount,
                };
                queue.push_back(amounts(problem, id).into_iter().map(room).collect());
            }
            _ => {}
        }
    }
    let (from, to) = stretch(problem, plan, &members, not_before);
    for worker in &problem.workers {
        let windows = windows_within(problem, &worker.id, from, to);
        let time = |windows: Vec<usize>, slots| Remedy::MoreTime {
            worker: worker.id.clone(),
            windows,
            slots,
        };
        for &window in &windows {
            queue.push_back(LONGER.map(|slots| time(vec![window], slots)).into());
        }
        for &window in &windows {
            queue.push_back([Remedy::Helper { worker: worker.id.clone(), window }].into());
        }
        if windows.len() > 1 {
            queue.push_back(LONGER.map(|slots| time(windows.clone(), slots)).into());
        }
    }
    queue.retain(|ladder| !ladder.is_empty());
    queue
}

/// Requirements that the least bad plan breaks, where nothing is proven.
fn suspects(problem: &Problem, plan: &Plan) -> Vec<Requirement> {
    let mut out = BTreeSet::new();
    for breach in check(problem, plan).breaches {
        let order = |id: &str| {
            let of = problem.activities.iter().find(|of| of.id == id)?;
            of.order.clone()
        };
        if problem.resources.iter().any(|of| of.id == breach.id) {
            out.insert(Requirement::Capacity(breach.id.clone()));
        }
        let link = problem.links.iter().find(|of| of.id == breach.id);
        let id = link.map_or(breach.id.as_str(), |link| link.to.as_str());
        for activity in &problem.activities {
            if activity.id != id && (activity.order.is_none() || activity.order != order(id)) {
                continue;
            }
            if activity.pin.is_some() {
                out.insert(Requirement::Pin(activity.id.clone()));
            }
            if activity.latest.is_some() {
                out.insert(Requirement::Latest(activity.id.clone()));
            }
            if activity.earliest.is_some() {
                out.insert(Requirement::Earliest(activity.id.clone()));
            }
        }
    }
    out.into_iter().collect()
}

/// Growing amounts of room that stores and uses of a resource may lack.
fn amounts(problem: &Problem, resource: &str) -> Vec<i64> {
    let stores = problem.links.iter().flat_map(|link| {
        let modes = link.modes.iter().flat_map(|mode| {
            mode.store.iter().chain(mode.tail.iter().flat_map(|tail| &tail.store))
        });
        link.store.iter().chain(modes)
    });
    let uses = problem.activities.iter().flat_map(|of| of.uses.iter().chain(&of.hold));
    let own: Vec<i64> =
        stores.chain(uses).filter(|(id, _)| id == resource).map(|(_, amount)| *amount).collect();
    let (most, sum) = (own.iter().copied().max().unwrap_or(0), own.iter().sum());
    let mut out: Vec<i64> = [most, most * 2, sum].into_iter().filter(|&n| n > 0).collect();
    out.dedup();
    out
}

/// From when to when the conflict plays: the whole order of whatever it names.
fn stretch(problem: &Problem, plan: &Plan, members: &[Requirement], not_before: i32) -> (i32, i32) {
    let mut named: BTreeSet<&str> = BTreeSet::new();
    for member in members {
        match member {
            Requirement::Earliest(id)
            | Requirement::Latest(id)
            | Requirement::Gap(id)
            | Requirement::Calendar(id)
            | Requirement::Work(id)
            | Requirement::Pin(id) => {
                named.insert(id);
            }
            Requirement::Min(id) | Requirement::Max(id) => {
                let link = problem.links.iter().find(|link| &link.id == id);
                named.extend(link.iter().flat_map(|link| [link.from.as_str(), link.to.as_str()]));
            }
            Requirement::Limit(..) | Requirement::Capacity(_) => {}
        }
    }
    let named: Vec<_> =
        problem.activities.iter().filter(|of| named.contains(of.id.as_str())).collect();
    let orders: BTreeSet<_> = named.iter().filter_map(|of| of.order.as_ref()).collect();
    let concerned = |of: &&crate::plan::Activity| {
        named.iter().any(|other| other.id == of.id)
            || of.order.as_ref().is_some_and(|order| orders.contains(order))
    };
    let ends = problem.activities.iter().filter(concerned).filter_map(|of| {
        let planned = plan.starts.get(&of.id).and_then(|starts| starts.last().copied());
        of.latest.or(of.due.max(planned))
    });
    let to = ends.max().unwrap_or(problem.horizon);
    (not_before.max(0), to.clamp(0, problem.horizon))
}
