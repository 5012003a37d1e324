//! Between plans and the values of variables.

use super::build::{Built, Cost};
use super::literal::ix;
use crate::model::Model;
use crate::{Plan, Problem};

/// What a plan says in the model's terms: starts, ways and modes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Placing {
    pub(super) start: Vec<i32>,
    pub(super) way: Vec<usize>,
    pub(super) mode: Vec<usize>,
}

impl Placing {
    /// Nothing if the plan does not fit the problem.
    pub(super) fn of(problem: &Problem, model: &Model, plan: &Plan) -> Option<Self> {
        let mut placing = Self {
            start: vec![0; model.tasks.len()],
            way: vec![0; model.tasks.len()],
            mode: vec![0; model.rests.len()],
        };
        for (index, activity) in problem.activities.iter().enumerate() {
            let starts = plan.starts.get(&activity.id)?;
            let who = plan.worker.get(&activity.id).map_or(&[][..], Vec::as_slice);
            if starts.len() != activity.segments.len() {
                return None;
            }
            for (k, (task, &start)) in model.tasks_of(index).zip(starts).enumerate() {
                placing.start[task] = start;
                let named = who.get(k).and_then(Option::as_deref);
                let same = |worker: usize| {
                    problem.workers.get(worker).map(|worker| worker.id.as_str()) == named
                };
                placing.way[task] =
                    model.tasks[task].ways.iter().position(|way| same(way.worker))?;
            }
        }
        for (link, rest) in problem.links.iter().zip(&model.rest_of_link) {
            if let (Some(rest), false) = (rest, link.modes.is_empty()) {
                let name = plan.modes.get(&link.id)?;
                placing.mode[*rest] = link.modes.iter().position(|mode| mode.name == *name)?;
            }
        }
        Some(placing)
    }

    /// What the values of the variables say.
    pub(super) fn from_values(built: &Built, model: &Model, values: &[i32]) -> Self {
        let on =
            |variables: &[u32]| variables.iter().position(|&variable| values[ix(variable)] == 1);
        let start: Vec<i32> =
            built.start.iter().map(|&(variable, by)| values[ix(variable)] + by).collect();
        let way = (0..start.len()).map(|task| {
            // Work without length is nobody's burden: whoever can.
            let fits = |way: &crate::model::Way| {
                way.spots.iter().any(|spot| spot.from <= start[task] && start[task] <= spot.to)
            };
            let any = || model.tasks[task].ways.iter().position(fits);
            on(&built.hands[task]).or_else(any).unwrap_or(0)
        });
        let way = way.collect();
        let mode = built.modes.iter().map(|modes| on(modes).unwrap_or(0)).collect();
        Self { start, way, mode }
    }

    /// The values of all variables, and the objective.
    pub(super) fn values(&self, built: &Built, model: &Model) -> (Vec<i32>, i64) {
        let mut values = vec![1; built.engine.domains.len()];
        for (&(variable, by), start) in built.start.iter().zip(&self.start) {
            values[ix(variable)] = start - by;
        }
        let mut done = vec![0; model.windows.len()];
        for (task, cells) in built.cells.iter().enumerate() {
            for (way, &variable) in built.hands[task].iter().enumerate() {
                values[ix(variable)] = i32::from(way == self.way[task]);
            }
            for cell in cells {
                let inside =
                    cell.way == self.way[task] && (cell.from..=cell.to).contains(&self.start[task]);
                values[ix(cell.inside)] = i32::from(inside);
                if let (true, Some(done)) = (inside, done.get_mut(cell.window)) {
                    *done += i64::from(model.tasks[task].length);
                }
            }
        }
        let lag = |rest: usize| {
            let of = &model.rests[rest];
            self.start[of.to] - self.start[of.from] + of.offset
        };
        for (rest, variable) in built.lag.iter().enumerate() {
            if let Some(variable) = variable {
                values[ix(*variable)] = lag(rest);
            }
            for (way, &variable) in built.modes[rest].iter().enumerate() {
                values[ix(variable)] = i32::from(way == self.mode[rest]);
            }
        }
        for derived in &built.derived {
            let start = |task: usize| self.start[task];
            let value = match derived.cost {
                Cost::Lag { rest } => i64::from(lag(rest)),
                Cost::Choice { rest } => model.rests[rest].modes[self.mode[rest]].cost(lag(rest)),
                Cost::Late { task } => i64::from((start(task) - model.tasks[task].due).max(0)),
                Cost::Away { task } => i64::from((start(task) - model.tasks[task].shown).abs()),
                Cost::Over { window } => (done[window] - model.soft[window]).max(0),
            };
            values[ix(derived.variable)] = i32::try_from(value).unwrap_or(i32::MAX);
        }
        let each = built.terms.iter();
        let sum: i64 = each.map(|&(weight, at)| weight * i64::from(values[ix(at)])).sum();
        let total = built.base + sum;
        values[ix(built.objective)] = i32::try_from(total).unwrap_or(i32::MAX);
        (values, total)
    }

    /// As a plan, unchecked.
    pub(super) fn plan(&self, problem: &Problem, model: &Model) -> Plan {
        let mut plan = Plan { instance: problem.name.clone(), ..Plan::default() };
        for (index, activity) in problem.activities.iter().enumerate() {
            let tasks = model.tasks_of(index);
            let starts = tasks.clone().map(|task| self.start[task]).collect();
            let who = tasks.map(|task| {
                let way = model.tasks[task].ways.get(self.way[task]);
                let worker = way.and_then(|way| problem.workers.get(way.worker));
                worker.map(|worker| worker.id.clone())
            });
            plan.worker.insert(activity.id.clone(), who.collect());
            plan.starts.insert(activity.id.clone(), starts);
        }
        for (link, rest) in problem.links.iter().zip(&model.rest_of_link) {
            if let (Some(rest), Some(mode)) =
                (rest, rest.and_then(|rest| link.modes.get(self.mode[rest])))
            {
                debug_assert!(*rest < self.mode.len());
                plan.modes.insert(link.id.clone(), mode.name.clone());
            }
        }
        plan
    }
}
