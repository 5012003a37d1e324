//! Exact search in parts of a large week: a few whole orders are free, everything else stays where the plan has it.
//!
//! Which orders are late is decided by many placements at once, and between one choice and another lie only much
//! dearer plans: taking off a few tasks at a time does not get across. A few whole orders are few enough for the exact
//! search, above all when it is asked only for plans that are clearly cheaper, which it mostly refutes at once.
//!
//! In: the problem, a sound plan, effort. Out: better plans. Knows nothing of how the plan was found.

use std::collections::BTreeMap;

use super::exact::{Exact, Finished};
use super::random::Random;
use super::{Activity, Plan, Problem};

/// Small steps in one part before it is given up; twice as many each time the same part comes up again,
const PATIENCE: u64 = 400_000;
/// up to so many times.
const DOUBLINGS: u32 = 4;
/// Setting up a part takes as long as about so many small steps.
const SETUP: u64 = 4_000;
/// Only plans that are cheaper by this share are asked for.
const GAIN: i64 = 30;
/// A part has from half of this many activities to one and a half times as many, and then the rest of its last order.
const SIZE: usize = 60;
/// Draws of a part that was not yet searched.
const DRAWS: usize = 20;
/// Who works up to this many slots before an order begins may be in its way.
const BEFORE: i32 = 96;

/// Searches one part after the other.
#[derive(Debug, Clone)]
pub(super) struct Parts {
    random: Random,
    /// Activities of each order; those without an order stand alone.
    orders: Vec<Vec<usize>>,
    /// The part under way, and the effort after which it is given up.
    part: Option<(Exact, u64)>,
    /// Objective of the plan that it is a part of.
    cost: i64,
    /// Parts of that plan begun so far, by what is free, and how often.
    begun: BTreeMap<Vec<bool>, u32>,
}

impl Parts {
    /// Parts drawn by this seed.
    pub(super) fn new(problem: &Problem, seed: u64) -> Self {
        let mut named: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        let mut orders = Vec::new();
        for (index, activity) in problem.activities.iter().enumerate() {
            match activity.order.as_deref() {
                Some(name) => named.entry(name).or_default().push(index),
                None => orders.push(vec![index]),
            }
        }
        orders.extend(named.into_values());
        Self { random: Random::new(seed), orders, part: None, cost: 0, begun: BTreeMap::new() }
    }

    /// Searches for about so many small steps from a sound plan of this cost, which is asked for only when
    /// a part is begun. Out: a cheaper plan, if one was found.
    pub(super) fn run(
        &mut self,
        problem: &Problem,
        cost: i64,
        effort: u64,
        plan: impl Fn() -> Plan,
    ) -> Option<Plan> {
        if self.cost != cost {
            self.part = None;
            self.begun.clear();
            self.cost = cost;
        }
        let mut left = effort;
        while left > 0 {
            let (mut exact, until) = if let Some(part) = self.part.take() {
                part
            } else {
                left = left.saturating_sub(SETUP);
                self.begin(problem, &plan())
            };
            let before = exact.work();
            let finished = exact.run(left);
            let spent = exact.work() - before;
            left = left.saturating_sub(spent.max(1));
            let found = exact.cost().filter(|&found| found < cost).and_then(|_| exact.plan());
            if finished == Finished::No && exact.work() < until {
                self.part = Some((exact, until));
            }
            if found.is_some() {
                self.part = None;
                return found;
            }
        }
        None
    }

    fn begin(&mut self, problem: &Problem, plan: &Plan) -> (Exact, u64) {
        let mut free = self.choose(problem, plan);
        for _ in 0..DRAWS {
            if !self.begun.contains_key(&free) {
                break;
            }
            free = self.choose(problem, plan);
        }
        let mut exact = Exact::new(&pinned(problem, plan, &free), Some(plan));
        exact.aim(self.cost - (self.cost / GAIN).max(1));
        let times = self.begun.entry(free).or_insert(0);
        let until = PATIENCE << (*times).min(DOUBLINGS);
        *times += 1;
        (exact, until)
    }

    /// What is free: an order, mostly a late one, and others that work in the same days.
    fn choose(&mut self, problem: &Problem, plan: &Plan) -> Vec<bool> {
        let times = |index: usize| times_of(&problem.activities[index], plan);
        let late = |&index: &usize| {
            let of = &problem.activities[index];
            of.due.map_or(0, |due| of.late_weight * i64::from((times(index).1 - due).max(0)))
        };
        let late: Vec<i64> = self.orders.iter().map(|order| order.iter().map(late).sum()).collect();
        let some = late.iter().sum::<i64>() / 10 + 1;
        let weights: Vec<i64> = late.iter().map(|late| late + some).collect();
        let mut next = self.draw(&weights);
        let first = self.orders.get(next).map_or(&[][..], Vec::as_slice);
        let from = first.iter().map(|&index| times(index).0).min().unwrap_or(0) - BEFORE;
        let to = first.iter().map(|&index| times(index).1).max().unwrap_or(0);
        let rivalry = |order: &Vec<usize>| {
            let meets = |&&index: &&usize| {
                let hands = !problem.activities[index].workers.is_empty();
                hands && (from..to).contains(&times(index).0)
            };
            let work = |&index: &usize| problem.activities[index].segments.iter().sum::<i32>();
            let sum = i64::from(order.iter().filter(meets).map(work).sum::<i32>());
            sum * sum
        };
        let mut weights: Vec<i64> = self.orders.iter().map(rivalry).collect();
        let most = SIZE / 2 + self.random.below(SIZE);
        let mut free = vec![false; problem.activities.len()];
        let mut many = 0;
        while let Some(order) = self.orders.get(next) {
            for &index in order {
                free[index] = true;
            }
            many += order.len();
            weights[next] = 0;
            if many >= most || weights.iter().all(|&weight| weight == 0) {
                break;
            }
            next = self.draw(&weights);
        }
        free
    }

    /// An index, drawn by weights.
    fn draw(&mut self, weights: &[i64]) -> usize {
        let sum = usize::try_from(weights.iter().sum::<i64>()).unwrap_or(usize::MAX);
        let mut at = i64::try_from(self.random.below(sum)).unwrap_or(0);
        for (index, &weight) in weights.iter().enumerate() {
            if at < weight {
                return index;
            }
            at -= weight;
        }
        0
    }
}

/// When an activity starts and ends.
fn times_of(activity: &Activity, plan: &Plan) -> (i32, i32) {
    let starts = plan.starts.get(&activity.id).map_or(&[][..], Vec::as_slice);
    let first = starts.first().copied().unwrap_or(0);
    let last = starts.last().copied().unwrap_or(0);
    (first, last + activity.segments.last().copied().unwrap_or(0))
}

/// The problem with everything that is not free pinned where the plan has it, to who does it there.
fn pinned(problem: &Problem, plan: &Plan, free: &[bool]) -> Problem {
    let mut part = problem.clone();
    for (activity, _) in part.activities.iter_mut().zip(free).filter(|(_, free)| !**free) {
        activity.pin = plan.starts.get(&activity.id).cloned();
        let who = plan.worker.get(&activity.id).map_or(&[][..], Vec::as_slice);
        if let Some((Some(first), others)) = who.split_first()
            && others.iter().all(|other| other.as_ref() == Some(first))
        {
            activity.workers = vec![first.clone()];
        }
    }
    part
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One worker, three windows with room for one piece of work each.
    fn problem() -> Problem {
        let work = |order: &str, due: i32, weight: i64| {
            serde_json::json!({ "id": order, "order": order, "segments": [4], "workers": ["w"],
                "due": due, "late_weight": weight })
        };
        let text = serde_json::json!({
            "format": "makeahead-sched/2", "name": "three", "grid_minutes": 15, "slots_per_day": 96, "horizon": 96,
            "workers": [{ "id": "w", "windows": [[0, 4], [10, 14], [20, 24]] }],
            "resources": [], "links": [], "weights": { "late": 1 },
            "activities": [work("a", 14, 3), work("b", 4, 5), work("c", 24, 2)],
        });
        Problem::from_json(&text.to_string()).expect("a problem")
    }

    fn plan(starts: [i32; 3]) -> Plan {
        let mut plan = Plan::default();
        for (id, start) in ["a", "b", "c"].into_iter().zip(starts) {
            plan.starts.insert(id.to_owned(), vec![start]);
            plan.worker.insert(id.to_owned(), vec![Some("w".to_owned())]);
        }
        plan
    }

    #[test]
    fn a_late_order_changes_places_with_its_rival_and_what_is_not_free_stays() {
        let problem = problem();
        let part = pinned(&problem, &plan([0, 10, 20]), &[true, true, false]);
        let pins: Vec<_> = part.activities.iter().map(|activity| activity.pin.clone()).collect();
        assert_eq!(pins, [None, None, Some(vec![20])]);
        // b ends 10 slots late, at 5 each.
        let mut parts = Parts::new(&problem, 1);
        let mut run = || parts.run(&problem, 50, 20_000, || plan([0, 10, 20]));
        let found = (0..20).find_map(|_| run()).expect("a cheaper plan");
        assert_eq!(found.starts, plan([10, 0, 20]).starts);
    }

    #[test]
    fn a_plan_that_cannot_be_cheaper_is_left_alone() {
        let problem = problem();
        let mut parts = Parts::new(&problem, 1);
        // No window is left for b before it is due, which would cost a 18 slots at 3.
        let mut narrow = problem.clone();
        narrow.activities[0].latest = Some(4);
        assert_eq!(parts.run(&narrow, 50, 20_000, || plan([0, 10, 20])), None);
        assert!(!parts.begun.is_empty());
    }
}
