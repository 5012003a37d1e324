//! The planner's face: construct at once, improve as long as wanted, say how good it is.

use std::cell::OnceCell;

use serde::{Deserialize, Serialize};

use super::board::{NO_MODE, NOWHERE, Place, UNPLACED};
use super::check::check;
use super::exact::{Exact, Finished};
use super::explain::{Conflict, conflict, impossible};
use super::model::{Bounds, Model};
use super::part::Parts;
use super::prove::{Growing, least_cost};
use super::search::{Search, Snapshot};
use super::{Plan, Problem, ProblemError, Status};

/// Neighbourhoods tried before the planner also looks for the least bad plan.
const PATIENCE: u64 = 200;

/// Neighbourhoods tried on an earlier plan before everything is placed anew.
const REPAIRS: u64 = 300;

/// Neighbourhoods spent on the least bad plan of a problem that is proven impossible.
const ENOUGH: u64 = 6_000;

/// Cases in which impossibility is looked for when the first plan is not sound, and when none was found for a while.
const GLANCE: u64 = 60;
const PROOF: u64 = 600;

/// Cases spent on naming what cannot hold together.
const NAMING: u64 = 2_000;

/// After so many steps of the search the bound is worked on,
const TURN: u64 = 64;
/// with so much effort, which takes about a third of the time that the steps took;
const SHARE: u64 = 100_000;
/// with more once the search has found nothing better for so many steps.
const STUCK: u64 = 10_000;
/// The exact search gets more once the other one has found nothing better for so many steps.
const SETTLED: u64 = 3_000;
/// Small steps of exact search for each schedule evaluated while no sound plan is known: on large and tight weeks
/// it finds one where placing and mending does not, so it has most of the time.
const SEEKING: u64 = 2_000;
/// So many at first,
const EAGER: u64 = 10_000;
/// until that many are done: later the relaxation, which may refute the problem, has its turns more often again.
const SOON: u64 = 10_000_000;
/// Otherwise so many: about as much time for both searches.
const SHARED: u64 = 100;
/// With more tasks than this the exact search mostly works on parts of the plan,
const LARGE: usize = 120;
/// but for every so many turns.
const WHOLE: u64 = 8;
/// Without a sound plan the exact search by turns follows the most complete placement and its own mind for so many turns.
const MIND: u64 = 32;
/// Small steps of exact search in one go.
const SLICE: u64 = 20_000;

/// An anytime planner. Same problem, seed and number of evaluations: same plan, on every machine.
#[derive(Debug, Clone)]
pub struct Planner {
    problem: Problem,
    /// Keeps every requirement.
    search: Search,
    /// May exceed `latest`, greatest lags and limits at a price; only while no sound plan is known.
    lenient: Option<Search>,
    /// Schedules evaluated by such searches that were let go.
    past: u64,
    seed: u64,
    bound: i64,
    /// Makes the bound grow; from the first turn on, so that the first plan does not wait for it.
    growing: Option<Growing>,
    steps: u64,
    /// The best objective known, and the step at which it became known.
    latest: (Option<i64>, u64),
    impossible: bool,
    /// Begun once the first plan is there.
    exact: Option<Exact>,
    /// Turns of exact search so far.
    turns: u64,
    /// Begun with the first turn of a large week.
    parts: Option<Parts>,
    /// Small steps that the exact search has coming to it.
    credit: u64,
    /// Why it is impossible, once asked for.
    conflict: OnceCell<Vec<String>>,
}

/// Where the planner stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
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
        Self::start(problem, seed, None)
    }

    /// Starts from an earlier plan, perhaps for an earlier version of the problem: what still holds stays
    /// where it is, the rest is placed around it.
    pub fn warm(problem: &Problem, seed: u64, plan: &Plan) -> Result<Self, ProblemError> {
        Self::start(problem, seed, Some(plan))
    }

    fn start(problem: &Problem, seed: u64, plan: Option<&Plan>) -> Result<Self, ProblemError> {
        problem.validate()?;
        let model = Model::compile(problem, Bounds::Hard);
        let bound = least_cost(&Model::compile(problem, Bounds::Proof));
        let mut search = Search::new(model, seed);
        let places = plan.map(|plan| places_of(problem, &search.model, plan));
        if let Some(places) = &places {
            search.adopt(places);
            for _ in 0..REPAIRS {
                if search.best.left == 0 {
                    break;
                }
                search.improve();
            }
        }
        if search.best.left > 0 {
            search.construct();
        }
        if let Some(places) = &places {
            search.go_home(places);
        }
        let found = search.best.left == 0 && search.can_be_sound();
        let mut planner = Self {
            problem: problem.clone(),
            search,
            lenient: None,
            past: 0,
            seed,
            bound: bound.unwrap_or(0),
            growing: None,
            steps: 0,
            latest: (None, 0),
            impossible: bound.is_none() || (!found && impossible(problem, GLANCE)),
            exact: None,
            parts: None,
            turns: 0,
            credit: SLICE,
            conflict: OnceCell::new(),
        };
        if planner.impossible {
            planner.be_lenient();
        } else if planner.search.best.left > 0 {
            planner.exactly();
        }
        Ok(planner)
    }

    /// Evaluates up to `evaluations` more schedules.
    pub fn improve(&mut self, evaluations: u64) -> Progress {
        for _ in 0..evaluations {
            if self.progress().finished {
                break;
            }
            self.step();
            self.steps += 1;
            if self.steps.is_multiple_of(TURN) && !self.impossible {
                self.raise();
            }
            self.credit += self.share();
            if self.credit >= SLICE && !self.impossible {
                self.credit -= SLICE;
                self.turns += 1;
                if self.is_large() && !self.turns.is_multiple_of(WHOLE) {
                    self.partly();
                } else {
                    self.exactly();
                }
            }
        }
        self.progress()
    }

    /// Works on the bound.
    fn raise(&mut self) {
        let known = self.progress().objective;
        if known != self.latest.0 {
            self.latest = (known, self.steps);
        }
        let share = if self.steps - self.latest.1 > STUCK { 3 * SHARE } else { SHARE };
        let growing = self.growing.get_or_insert_with(|| Growing::new(&self.problem));
        match growing.work(share, known) {
            Some(least) => self.bound = self.bound.max(least),
            None if known.is_none() => {
                self.impossible = true;
                if self.lenient.is_none() {
                    self.be_lenient();
                }
            }
            None => debug_assert!(false, "a sound plan was refuted: {}", self.problem.name),
        }
    }

    /// Small steps of exact search for each schedule evaluated.
    fn share(&self) -> u64 {
        if self.search.best.left > 0 {
            let soon = self.exact.as_ref().is_some_and(|exact| exact.work() < SOON);
            return if soon { EAGER } else { SEEKING };
        }
        if self.steps - self.latest.1 > SETTLED { 5 * SHARED } else { SHARED }
    }

    /// Searches exactly for a while. What either search has found, the other one goes on from.
    fn exactly(&mut self) {
        let sound = self.progress().objective;
        let mut exact = self.exact.take().unwrap_or_else(|| Exact::new(&self.problem, None));
        if sound.is_none() && self.turns.is_multiple_of(MIND) {
            let guided = (self.turns / MIND).is_multiple_of(2);
            exact.suggest(if guided { &self.search.best.places } else { &[] });
        }
        if let Some(cost) = sound.filter(|&cost| exact.cost().is_none_or(|known| cost < known)) {
            let plan = self.written(&self.search.model, &self.search.best);
            if plan.objective == Some(cost) {
                exact.adopt(&plan);
            }
        }
        if let Some(news) = self.growing.as_mut().and_then(Growing::news) {
            exact.hear(&news);
        }
        exact.raise_bound(self.bound);
        let finished = exact.run(SLICE);
        self.bound = self.bound.max(exact.bound());
        if finished == Finished::Infeasible {
            self.impossible = true;
            self.be_lenient();
        }
        let better = exact.cost().filter(|&cost| sound.is_none_or(|known| cost < known));
        if let (Some(_), Some(plan)) = (better, exact.plan()) {
            let places = places_of(&self.problem, &self.search.model, &plan);
            let found = Snapshot { places, ..self.search.best.clone() };
            if self.search.adopt_whole(&found) {
                self.relent();
            }
        }
        self.exact = Some(exact);
    }

    /// Too large for a proof to be hoped for.
    fn is_large(&self) -> bool {
        self.search.model.tasks.len() > LARGE
    }

    /// Searches parts of the plan exactly for a while.
    fn partly(&mut self) {
        let Some(sound) = self.progress().objective else { return self.exactly() };
        let mut parts = self.parts.take().unwrap_or_else(|| Parts::new(&self.problem, self.seed));
        let plan = || self.written(&self.search.model, &self.search.best);
        if let Some(plan) = parts.run(&self.problem, sound, SLICE, plan) {
            let places = places_of(&self.problem, &self.search.model, &plan);
            let found = Snapshot { places, ..self.search.best.clone() };
            self.search.adopt_whole(&found);
        }
        self.parts = Some(parts);
    }

    fn step(&mut self) {
        let Some(lenient) = &mut self.lenient else {
            self.search.improve();
            if self.search.best.left > 0 && self.search.evaluations > PATIENCE {
                self.impossible = impossible(&self.problem, PROOF);
                self.be_lenient();
            }
            return;
        };
        if self.impossible || self.search.evaluations > lenient.evaluations {
            lenient.improve();
            if !self.impossible && lenient.best.left == 0 && self.search.adopt_whole(&lenient.best)
            {
                self.relent();
            }
            return;
        }
        self.search.improve();
        if self.search.best.left == 0 {
            self.relent();
        }
    }

    /// Lets the search for the least bad plan go.
    fn relent(&mut self) {
        self.past += self.lenient.take().map_or(0, |lenient| lenient.evaluations);
    }

    /// Starts the search that may exceed `latest`, greatest lags and limits.
    fn be_lenient(&mut self) {
        let weights = &self.problem.weights;
        let dearest = self.problem.activities.iter().map(|a| a.late_weight * weights.late).max();
        // Dearer than anything else that a slot may cost, within reason.
        let price = dearest.unwrap_or(0).clamp(100, 1_000_000) * 10;
        let mut lenient =
            Search::new(Model::compile(&self.problem, Bounds::Soft(price)), self.seed);
        lenient.construct();
        self.relent();
        self.lenient = Some(lenient);
    }

    fn progress(&self) -> Progress {
        let best = &self.search.best;
        let sound = best.left == 0 && !self.impossible && self.search.can_be_sound();
        let objective = sound.then_some(best.cost);
        Progress {
            evaluations: self.search.evaluations
                + self.past
                + self.lenient.as_ref().map_or(0, |l| l.evaluations),
            objective,
            bound: self.bound,
            finished: objective.is_some_and(|cost| cost <= self.bound)
                || (self.impossible
                    && self.lenient.as_ref().is_none_or(|l| l.evaluations > ENOUGH)),
        }
    }

    /// The best plan so far: a sound one if any was found, else the least bad one.
    pub fn plan(&self) -> Plan {
        let (model, best) = (&self.search.model, &self.search.best);
        if best.left == 0 {
            return self.written(model, best);
        }
        let mut plans = vec![self.written(model, &self.search.completed())];
        if let Some(lenient) = &self.lenient {
            plans.push(self.written(&lenient.model, &lenient.completed()));
        }
        let by_harm = plans.into_iter().min_by_key(|plan| {
            let report = check(&self.problem, plan);
            let harm: i64 =
                report.breaches.iter().map(|breach| breach.by.abs().min(1_000) + 8).sum();
            (harm, report.parts.total)
        });
        by_harm.unwrap_or_default()
    }

    /// Placements as a plan, checked.
    fn written(&self, model: &Model, best: &Snapshot) -> Plan {
        let mut plan = Plan {
            instance: self.problem.name.clone(),
            bound: Some(self.bound),
            ..Plan::default()
        };
        for (index, activity) in self.problem.activities.iter().enumerate() {
            let places = model.tasks_of(index).map(|task| (task, best.places[task]));
            let (mut starts, mut who) = (Vec::new(), Vec::new());
            for (task, place) in places {
                if place.start != NOWHERE {
                    starts.push(place.start);
                    let worker = model.tasks[task].ways.get(place.way).map(|way| way.worker);
                    who.push(
                        worker
                            .and_then(|worker| self.problem.workers.get(worker))
                            .map(|worker| worker.id.clone()),
                    );
                }
            }
            plan.starts.insert(activity.id.clone(), starts);
            plan.worker.insert(activity.id.clone(), who);
        }
        for (link, rest) in self.problem.links.iter().zip(&model.rest_of_link) {
            if link.modes.is_empty() {
                continue;
            }
            let chosen = rest.map_or(0, |rest| best.mode[rest]);
            let chosen = if chosen == NO_MODE { 0 } else { usize::from(chosen) };
            if let Some(mode) = link.modes.get(chosen) {
                plan.modes.insert(link.id.clone(), mode.name.clone());
            }
        }
        let report = check(&self.problem, &plan);
        if report.breaches.is_empty() {
            plan.objective = Some(report.parts.total);
            plan.status =
                if report.parts.total <= self.bound { Status::Optimal } else { Status::Feasible };
        } else if self.impossible {
            plan.status = Status::Infeasible;
            plan.bound = None;
            plan.conflict.clone_from(self.conflict.get_or_init(|| named(&self.problem)));
        }
        plan
    }
}

/// The names of requirements that cannot hold together, as far as they are found quickly.
fn named(problem: &Problem) -> Vec<String> {
    match conflict(problem, NAMING) {
        Conflict::Proven { members, .. } => members.iter().map(ToString::to_string).collect(),
        Conflict::NotProven => Vec::new(),
    }
}

/// Where a plan puts the tasks of this problem, as far as it says so.
fn places_of(problem: &Problem, model: &Model, plan: &Plan) -> Vec<Place> {
    let mut places = vec![UNPLACED; model.tasks.len()];
    for (index, activity) in problem.activities.iter().enumerate() {
        let starts = plan.starts.get(&activity.id).map_or(&[][..], Vec::as_slice);
        let who = plan.worker.get(&activity.id).map_or(&[][..], Vec::as_slice);
        if starts.len() != activity.segments.len() {
            continue;
        }
        for (k, (task, &start)) in model.tasks_of(index).zip(starts).enumerate() {
            let named = who.get(k).and_then(Option::as_deref);
            for (way, of) in model.tasks[task].ways.iter().enumerate() {
                let same = problem.workers.get(of.worker).map(|worker| worker.id.as_str()) == named;
                let spot = of.spots.iter().find(|spot| spot.from <= start && start <= spot.to);
                if let (true, Some(spot)) = (same, spot) {
                    places[task] = Place { start, way, window: spot.window };
                }
            }
        }
    }
    places
}

#[cfg(test)]
mod tests {
    use super::{Planner, Problem};

    #[test]
    fn schedules_stay_counted_when_the_search_for_the_least_bad_plan_is_let_go() {
        let text = include_str!("../../tests/data/problems/o2_s203.json");
        let problem = Problem::from_json(text).expect("a valid problem");
        let mut planner = Planner::new(&problem, 1).expect("a checked problem");
        // As after a long while without a sound plan, just before one is found.
        planner.be_lenient();
        let mut counted = planner.progress().evaluations;
        let mut let_go = false;
        for _ in 0..200 {
            planner.step();
            let now = planner.progress().evaluations;
            assert!(counted < now, "{counted} {now}");
            counted = now;
            let_go |= planner.lenient.is_none();
        }
        assert!(let_go);
    }
}
