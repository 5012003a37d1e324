//! Exact search: proves how good a plan can be at all, or that there is none.
//!
//! In: a problem, perhaps a plan for it. Out: better plans, a bound that no plan beats, and the end of it:
//! optimal or impossible. Lazy clause generation (Ohrimenko, Stuckey & Codish 2009): constraints propagate
//! bounds of integer variables and can say why; each contradiction leaves a clause behind.
//!
//! [`build`] says what the variables mean; [`engine`], [`propagate`], [`analyze`] and [`search`] know
//! nothing of planning; [`relax`] bounds the cost by a linear relaxation, and [`told`] hands what that rules out
//! of plans cheaper than the best one known to the search. Effort is counted, never timed: same
//! problem and effort, same answer everywhere.

mod analyze;
mod build;
mod choice;
mod clause;
mod cumulative;
mod disjunctive;
mod domain;
mod engine;
mod linear;
mod literal;
mod order;
mod price;
mod propagate;
mod read;
pub(super) mod relax;
mod search;
#[cfg(test)]
mod tests;
mod told;

use build::{Built, build};
use literal::{Lit, ix};
use read::Placing;
use relax::narrow::News;
use search::{End, Search};

use super::board::{NOWHERE, Place};
use super::model::{Bounds, Model};
use super::{Plan, Problem};

/// What is known for certain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Finished {
    /// Not yet anything.
    No,
    /// No plan is better than the best one known.
    Optimal,
    /// There is no sound plan.
    Infeasible,
}

/// Exact search over a problem, in slices.
#[derive(Debug, Clone)]
pub(super) struct Exact {
    problem: Problem,
    model: Model,
    /// None: the bounds alone contradict each other.
    built: Option<Built>,
    search: Search,
    /// What is tried first as long as nothing is known.
    phase: Vec<i32>,
    best: Option<(Placing, i64)>,
    finished: Finished,
}

impl Exact {
    /// Compiles a valid problem. An incumbent that is not sound is of no use here and is left out by the
    /// caller.
    pub(super) fn new(problem: &Problem, incumbent: Option<&Plan>) -> Self {
        let model = Model::compile(problem, Bounds::Proof);
        let mut built = build(&model);
        let mut phase = Vec::new();
        if let Some(built) = &mut built {
            let engine = &mut built.engine;
            phase = engine.domains.iter().map(domain::Domain::low).collect();
            for (task, &(variable, _)) in built.start.iter().enumerate() {
                // Late work rests briefly; a handover is best not late.
                let latest = engine.domains[ix(variable)].high();
                phase[ix(variable)] = if model.tasks[task].late > 0 {
                    engine.domains[ix(variable)].low()
                } else {
                    latest
                };
                engine.order.prefer(variable, 1);
            }
            engine.awaken();
        }
        let finished = if built.is_some() { Finished::No } else { Finished::Infeasible };
        let search = Search::new(phase.clone());
        let mut exact =
            Self { problem: problem.clone(), model, built, search, phase, best: None, finished };
        if let Some(plan) = incumbent {
            exact.adopt(plan);
        }
        exact
    }

    /// Takes a sound plan as what is to be beaten, if it is better than the best one known.
    pub(super) fn adopt(&mut self, plan: &Plan) {
        let (Some(built), Some(placing)) =
            (&self.built, Placing::of(&self.problem, &self.model, plan))
        else {
            return;
        };
        let (values, cost) = placing.values(built, &self.model);
        if self.best.as_ref().is_none_or(|best| cost < best.1) {
            self.keep(placing, values, cost);
        }
    }

    fn keep(&mut self, placing: Placing, values: Vec<i32>, cost: i64) {
        self.search.phase = values;
        self.best = Some((placing, cost));
        let Some(built) = &mut self.built else { return };
        #[cfg(test)]
        built.engine.witness.take_if(|witness| i64::from(witness[ix(built.objective)]) >= cost);
        let most = i32::try_from(cost - 1).unwrap_or(i32::MAX);
        let lit = Lit::at_most(built.objective, most);
        built.engine.cancel(0);
        if !built.engine.raise(lit.view, lit.least, engine::Reason::Free) {
            self.finished = Finished::Optimal;
        }
    }

    /// While no plan is known: takes the starts and ways of an incomplete placement as what to try first, and what it
    /// would try by itself where there is none.
    pub(super) fn suggest(&mut self, places: &[Place]) {
        let Some(built) = &self.built else { return };
        if self.best.is_some() {
            return;
        }
        self.search.phase.clone_from(&self.phase);
        let phase = &mut self.search.phase;
        for (task, place) in places.iter().enumerate().filter(|(_, place)| place.start != NOWHERE) {
            let (variable, by) = built.start[task];
            phase[ix(variable)] = place.start - by;
            for (way, &variable) in built.hands[task].iter().enumerate() {
                phase[ix(variable)] = i32::from(way == place.way);
            }
            for cell in &built.cells[task] {
                let inside = cell.way == place.way && (cell.from..=cell.to).contains(&place.start);
                phase[ix(cell.inside)] = i32::from(inside);
            }
        }
    }

    /// Looks only for plans that cost at most this; being finished then says no more than that there is none.
    pub(super) fn aim(&mut self, most: i64) {
        let Some(built) = &mut self.built else { return };
        built.engine.cancel(0);
        let lit = Lit::at_most(built.objective, i32::try_from(most).unwrap_or(i32::MAX));
        if !built.engine.raise(lit.view, lit.least, engine::Reason::Free) {
            self.finished = Finished::Optimal;
        }
    }

    /// Effort so far.
    pub(super) fn work(&self) -> u64 {
        self.built.as_ref().map_or(0, |built| built.engine.work)
    }

    /// Contradictions met so far.
    #[cfg(test)]
    fn conflicts(&self) -> u64 {
        self.built.as_ref().map_or(0, |built| built.engine.conflicts)
    }

    /// No sound plan costs less.
    pub(super) fn bound(&self) -> i64 {
        match (self.finished, &self.best, &self.built) {
            (Finished::Optimal, Some(best), _) => best.1,
            (_, _, Some(built)) => i64::from(built.engine.root[ix(built.objective * 2)]),
            _ => 0,
        }
    }

    /// Objective of the best plan known.
    pub(super) fn cost(&self) -> Option<i64> {
        self.best.as_ref().map(|best| best.1)
    }

    /// The best plan known.
    pub(super) fn plan(&self) -> Option<Plan> {
        let best = self.best.as_ref()?;
        Some(best.0.plan(&self.problem, &self.model))
    }

    /// Takes it as proven that no sound plan costs less.
    pub(super) fn raise_bound(&mut self, bound: i64) {
        let Some(built) = &mut self.built else { return };
        let bound = i32::try_from(bound).unwrap_or(build::DEAREST);
        if built.engine.root[ix(built.objective * 2)] >= bound {
            return;
        }
        built.engine.cancel(0);
        let lit = Lit::at_least(built.objective, bound);
        if !built.engine.raise(lit.view, lit.least, engine::Reason::Free) {
            self.finished = self.proven();
        }
    }

    /// Takes for true what the relaxation says of plans cheaper than a cost. Of no use here if the best plan known
    /// is dearer than that.
    pub(super) fn hear(&mut self, news: &News) {
        let of_use = self.cost().is_some_and(|cost| cost <= news.upper);
        if self.finished != Finished::No || !of_use {
            return;
        }
        let Some(built) = &mut self.built else { return };
        #[cfg(test)]
        built
            .engine
            .witness
            .take_if(|witness| i64::from(witness[ix(built.objective)]) >= news.upper);
        built.engine.cancel(0);
        if built.narrow(&news.starts) {
            built.charge(&news.tariff);
        } else {
            self.finished = Finished::Optimal;
        }
    }

    /// What it means that nothing better than the best plan known exists.
    fn proven(&self) -> Finished {
        match (&self.best, &self.built) {
            (Some(_), _) => Finished::Optimal,
            // Dearer plans than can be told apart were never looked at.
            (None, Some(built)) if built.limited => Finished::No,
            (None, _) => Finished::Infeasible,
        }
    }

    /// Searches on until `effort` more small steps are done or everything is known.
    pub(super) fn run(&mut self, effort: u64) -> Finished {
        let until = self.work() + effort;
        while self.finished == Finished::No && self.work() < until {
            let Some(built) = &mut self.built else { break };
            match self.search.run(&mut built.engine, until) {
                End::Stopped => break,
                End::Refuted => {
                    self.finished = self.proven();
                    break;
                }
                End::Solution(values) => {
                    let placing = Placing::from_values(built, &self.model, &values);
                    let (values, cost) = placing.values(built, &self.model);
                    self.keep(placing, values, cost);
                }
            }
        }
        self.finished
    }
}
