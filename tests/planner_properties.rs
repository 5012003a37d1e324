//! Random small problems: what the planner says of its plan is what the checker says, and on tiny ones
//! what trying every placement says.

#![cfg(not(target_arch = "wasm32"))]

use proptest::prelude::*;
use rackweek::plan::check::check;
use rackweek::plan::{
    Activity, At, Limit, Link, Mode, Plan, Planner, Problem, Resource, Status, Tail, Weights,
    Worker, possible_starts,
};

/// Draws numbers for a problem from a list that proptest shrinks.
struct Draw<'a>(std::slice::Iter<'a, u16>);

impl Draw<'_> {
    fn below(&mut self, n: i32) -> i32 {
        i32::from(self.0.next().copied().unwrap_or(0)) % n.max(1)
    }

    fn one_in(&mut self, n: i32) -> bool {
        self.below(n) == 1
    }
}

fn windows(draw: &mut Draw<'_>, horizon: i32) -> Vec<(i32, i32)> {
    let first = draw.below(4);
    let length = 3 + draw.below(5);
    let second = first + length + draw.below(4);
    [(first, first + length), (second, second + 2 + draw.below(5))]
        .into_iter()
        .map(|(from, to)| (from.min(horizon), to.min(horizon)))
        .filter(|(from, to)| from < to)
        .collect()
}

/// A valid problem with every feature of the format now and then.
fn problem(numbers: &[u16], activities: i32, horizon: i32) -> Problem {
    let mut draw = Draw(numbers.iter());
    let resource = |id: &str, capacity: i64, load_weight: i64, busy: Vec<(i32, i32, i64)>| {
        Resource { id: id.to_owned(), capacity, load_weight, busy }
    };
    let busy = if draw.one_in(3) { vec![(2, 5, 1)] } else { Vec::new() };
    let mut workers = Vec::new();
    for id in ["baker", "helper"].into_iter().take(if draw.one_in(3) { 2 } else { 1 }) {
        let windows = windows(&mut draw, horizon);
        let soft = windows.iter().map(|_| i64::from(draw.below(4))).collect();
        let mut limits = Vec::new();
        if draw.one_in(3) {
            let kinds = if draw.one_in(2) { None } else { Some(vec!["fine".to_owned()]) };
            limits.push(Limit { from: 0, to: 6, kinds, max: i64::from(draw.below(4)) });
        }
        workers.push(Worker { id: id.to_owned(), windows, soft, limits });
    }
    let names: Vec<String> = workers.iter().map(|worker| worker.id.clone()).collect();
    let mut all = Vec::new();
    let mut links: Vec<Link> = Vec::new();
    for index in 0..activities {
        let hands = !draw.one_in(3);
        let cut = hands && draw.one_in(4);
        let segments = if cut { vec![1 + draw.below(2), 1] } else { vec![draw.below(4)] };
        let soon = draw.below(horizon);
        let id = format!("a{index}");
        all.push(Activity {
            id: id.clone(),
            kind: draw.one_in(2).then(|| "fine".to_owned()),
            hold: if cut { vec![("fridge".to_owned(), 1)] } else { Vec::new() },
            gap_max: (cut && draw.one_in(2)).then(|| draw.below(5)),
            workers: match (hands, names.len()) {
                (false, _) => Vec::new(),
                (true, 2) if draw.one_in(2) => names.clone(),
                _ => names[..1].to_vec(),
            },
            within: draw.one_in(4).then(|| "home".to_owned()),
            start_in: draw.one_in(6).then(|| "home".to_owned()),
            end_in: draw.one_in(6).then(|| "home".to_owned()),
            uses: if draw.one_in(2) { vec![("oven".to_owned(), 1)] } else { Vec::new() },
            earliest: draw.one_in(5).then(|| draw.below(5)),
            latest: draw.one_in(5).then(|| horizon - draw.below(4)),
            due: draw.one_in(3).then_some(soon),
            late_weight: i64::from(draw.below(3)),
            pin: (!cut && draw.one_in(9)).then(|| vec![draw.below(horizon - segments[0])]),
            reference: draw.one_in(4).then(|| vec![soon; segments.len()]),
            stab_weight: 1,
            segments,
            ..Activity::default()
        });
        if index > 0 && !draw.one_in(4) {
            let from = format!("a{}", draw.below(index));
            let link_id = format!("{from}>{id}");
            let end = draw.one_in(5);
            let mut link = Link {
                id: link_id,
                from,
                from_at: if end { At::S } else { At::E },
                to: id,
                to_at: if end && draw.one_in(2) { At::E } else { At::S },
                min: draw.below(3) - i32::from(end),
                max: None,
                store: Vec::new(),
                age_weight: i64::from(draw.below(2)),
                modes: Vec::new(),
            };
            if draw.one_in(2) {
                link.max = Some(link.min + draw.below(6));
            }
            if !end && draw.one_in(2) {
                link.store.push(("fridge".to_owned(), 1));
            }
            if !end && draw.one_in(3) {
                let store = |name: &str| vec![(name.to_owned(), 1)];
                link.modes = vec![
                    Mode {
                        name: "cold".to_owned(),
                        min: 0,
                        max: Some(3),
                        store: store("fridge"),
                        ..Mode::default()
                    },
                    Mode {
                        name: "frozen".to_owned(),
                        min: 2,
                        max: None,
                        store: store("oven"),
                        tail: Some(Tail { len: 1 + draw.below(2), store: store("fridge") }),
                        age_weight: 0,
                        cost: i64::from(draw.below(4)),
                    },
                ];
                link.min = 0;
                link.max = None;
                link.store.clear();
            }
            links.push(link);
        }
    }
    Problem {
        format: "makeahead-sched/2".to_owned(),
        name: "drawn".to_owned(),
        grid_minutes: 15,
        slots_per_day: 96,
        horizon,
        calendars: [("home".to_owned(), vec![(0, 6), (7, horizon)])].into(),
        workers,
        resources: vec![resource("oven", 1, 0, busy), resource("fridge", 2, 1, Vec::new())],
        activities: all,
        links,
        weights: Weights { late: 3, load: 1, age: 1, evening: 2, stability: 1, mode: 1 },
    }
}

fn planned(problem: &Problem, seed: u64, effort: u64) -> Plan {
    let mut planner = Planner::new(problem, seed).expect("drawn problems are valid");
    planner.improve(effort);
    planner.plan()
}

/// Every plan of a tiny problem: all starts, workers and modes. Returns the least objective of a sound one.
fn best_of_all(problem: &Problem) -> Option<i64> {
    let mut best = None;
    let mut plan = Plan::default();
    choose_starts(problem, 0, &mut plan, &mut best);
    best
}

fn choose_starts(problem: &Problem, index: usize, plan: &mut Plan, best: &mut Option<i64>) {
    let Some(activity) = problem.activities.get(index) else {
        return choose_modes(problem, 0, plan, best);
    };
    let mut starts: Vec<Vec<i32>> = vec![Vec::new()];
    for (k, &length) in activity.segments.iter().enumerate() {
        let mut longer = Vec::new();
        for prefix in &starts {
            let from = prefix.last().map_or(0, |last| last + activity.segments[k - 1]);
            for start in from..=problem.horizon - length {
                longer.push([prefix.as_slice(), &[start]].concat());
            }
        }
        starts = longer;
    }
    let mut who: Vec<Vec<Option<String>>> = vec![Vec::new()];
    for _ in &activity.segments {
        let choices: Vec<Option<String>> = if activity.workers.is_empty() {
            vec![None]
        } else {
            activity.workers.iter().cloned().map(Some).collect()
        };
        who = who
            .iter()
            .flat_map(|prefix| {
                choices
                    .iter()
                    .map(move |choice| [prefix.as_slice(), std::slice::from_ref(choice)].concat())
            })
            .collect();
    }
    for start in &starts {
        for who in &who {
            plan.starts.insert(activity.id.clone(), start.clone());
            plan.worker.insert(activity.id.clone(), who.clone());
            // What is wrong with the activities placed so far stays wrong.
            let alone =
                Problem { activities: problem.activities[..=index].to_vec(), ..problem.clone() };
            if check(&alone, plan).breaches.iter().all(|breach| {
                problem.links.iter().any(|link| link.id == breach.id && !link.modes.is_empty())
            }) {
                choose_starts(problem, index + 1, plan, best);
            }
        }
    }
    plan.starts.remove(&activity.id);
    plan.worker.remove(&activity.id);
}

fn choose_modes(problem: &Problem, index: usize, plan: &mut Plan, best: &mut Option<i64>) {
    let Some(link) = problem.links.get(index) else {
        let report = check(problem, plan);
        if report.breaches.is_empty() && best.is_none_or(|least| report.parts.total < least) {
            *best = Some(report.parts.total);
        }
        return;
    };
    if link.modes.is_empty() {
        return choose_modes(problem, index + 1, plan, best);
    }
    for mode in &link.modes {
        plan.modes.insert(link.id.clone(), mode.name.clone());
        choose_modes(problem, index + 1, plan, best);
    }
    plan.modes.remove(&link.id);
}

fn numbers() -> impl Strategy<Value = Vec<u16>> {
    prop::collection::vec(any::<u16>(), 150)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_plan_is_what_it_says(numbers in numbers(), seed in 0_u64..1000) {
        let problem = problem(&numbers, 7, 30);
        prop_assert_eq!(problem.validate(), Ok(()));
        let plan = planned(&problem, seed, 150);
        let report = check(&problem, &plan);
        let sound = matches!(plan.status, Status::Optimal | Status::Feasible);
        prop_assert_eq!(sound, report.breaches.is_empty());
        prop_assert_eq!(plan.objective, sound.then_some(report.parts.total));
        for activity in &problem.activities {
            prop_assert_eq!(plan.starts[&activity.id].len(), activity.segments.len());
            if let Some(pin) = &activity.pin {
                prop_assert_eq!(&plan.starts[&activity.id], pin);
            }
        }
        if let (Some(bound), Some(objective)) = (plan.bound, plan.objective) {
            prop_assert!(bound <= objective);
        }
        prop_assert_eq!(planned(&problem, seed, 150), plan);
    }

    #[test]
    fn files_read_back_as_written(numbers in numbers()) {
        let problem = problem(&numbers, 7, 30);
        let text = serde_json::to_string(&problem).expect("JSON");
        prop_assert_eq!(Problem::from_json(&text), Ok(problem));
    }

    #[test]
    fn where_a_segment_stands_in_a_sound_plan_is_a_possible_start(numbers in numbers()) {
        let problem = problem(&numbers, 6, 24);
        let plan = planned(&problem, 1, 60);
        if plan.objective.is_some() {
            for activity in &problem.activities {
                for (segment, &start) in plan.starts[&activity.id].iter().enumerate() {
                    let starts = possible_starts(&problem, &plan, &activity.id, segment);
                    prop_assert!(
                        starts.iter().any(|&(from, to)| from <= start && start < to),
                        "{}.{} at {} is not in {:?}", activity.id, segment, start, starts
                    );
                }
            }
        }
    }

    #[test]
    fn a_warm_start_is_sound_where_a_cold_one_is(numbers in numbers(), moved in 0_usize..6) {
        let mut problem = problem(&numbers, 6, 24);
        let plan = planned(&problem, 1, 60);
        let id = problem.activities[moved].id.clone();
        if plan.objective.is_some() {
            problem.activities[moved].pin = Some(plan.starts[&id].clone());
            let again = Planner::warm(&problem, 1, &plan).expect("a valid problem").plan();
            prop_assert!(again.objective.is_some());
            prop_assert_eq!(&again.starts[&id], &plan.starts[&id]);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn tiny_problems_are_planned_best(numbers in numbers()) {
        let problem = problem(&numbers, 3, 11);
        let best = best_of_all(&problem);
        let plan = planned(&problem, 1, 600);
        prop_assert_eq!(plan.objective, best);
        if plan.status == Status::Infeasible {
            prop_assert_eq!(best, None);
        }
        if let (Some(bound), Some(best)) = (plan.bound, best) {
            prop_assert!(bound <= best);
        }
    }
}
