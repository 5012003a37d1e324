//! The checker and the planner's face on a problem small enough to do by hand.

#![cfg(not(target_arch = "wasm32"))]

use rackweek::plan::check::{BreachKind, check};
use rackweek::plan::{Limit, Plan, Planner, Problem, Status, possible_starts};

/// Mix (2) → bake (4) in the oven within two slots → pick up at 40; one evening from 8 to 16, one from 24 to 32.
const SMALL: &str = r#"{
  "format": "makeahead-sched/2", "name": "small", "grid_minutes": 15, "slots_per_day": 96, "horizon": 48,
  "calendars": { "home": [[6, 20], [22, 36]] },
  "workers": [ { "id": "baker", "windows": [[8, 16], [24, 32]], "soft": [4, 4], "limits": [] } ],
  "resources": [ { "id": "oven", "capacity": 1, "load_weight": 0, "busy": [] },
                 { "id": "fridge", "capacity": 2, "load_weight": 1, "busy": [[0, 48, 1]] } ],
  "activities": [
    { "id": "mix", "segments": [2], "workers": ["baker"] },
    { "id": "bake", "segments": [4], "workers": [], "within": "home", "use": [["oven", 1]] },
    { "id": "pickup", "segments": [0], "workers": [], "earliest": 40, "latest": 44, "due": 40, "late_weight": 2 } ],
  "links": [
    { "id": "mix>bake", "from": "mix", "to": "bake", "min": 0, "max": 2 },
    { "id": "bake>pickup", "from": "bake", "to": "pickup", "min": 2, "max": null, "store": [["fridge", 1]] } ],
  "weights": { "late": 100, "load": 1, "age": 1, "evening": 5, "stability": 1, "mode": 1 }
}"#;

fn small() -> Problem {
    Problem::from_json(SMALL).expect("a valid problem")
}

fn planned(problem: &Problem) -> Plan {
    let mut planner = Planner::new(problem, 1).expect("a valid problem");
    planner.improve(500);
    planner.plan()
}

#[test]
fn the_best_plan_is_the_one_found_by_hand() {
    // The bake must end by 36, so it rests in the fridge over [36,40) at least: 4 slots.
    let plan = planned(&small());
    assert_eq!(plan.status, Status::Optimal);
    assert_eq!(plan.objective, Some(4));
    assert_eq!(plan.starts["bake"], [32]);
    assert!((28..=30).contains(&plan.starts["mix"][0]));
    assert!(check(&small(), &plan).breaches.is_empty());
}

#[test]
fn every_kind_of_breach_is_seen() {
    let good = planned(&small());
    let kinds = |change: &dyn Fn(&mut Problem, &mut Plan)| {
        let (mut problem, mut plan) = (small(), good.clone());
        plan.starts.insert("mix".to_owned(), vec![30]);
        change(&mut problem, &mut plan);
        check(&problem, &plan).breaches.iter().map(|breach| breach.kind).collect::<Vec<_>>()
    };
    let start = |plan: &mut Plan, id: &str, at: i32| plan.starts.insert(id.to_owned(), vec![at]);
    assert_eq!(kinds(&|_, _| ()), []);
    assert_eq!(kinds(&|_, plan| drop(plan.starts.remove("pickup"))), [BreachKind::Missing]);
    assert_eq!(
        kinds(&|_, plan| plan.worker.get_mut("mix").unwrap()[0] = None),
        [BreachKind::Missing]
    );
    assert_eq!(
        kinds(&|_, plan| drop(start(plan, "mix", 31))),
        [BreachKind::Window, BreachKind::TooShort]
    );
    assert_eq!(kinds(&|_, plan| drop(start(plan, "mix", 27))), [BreachKind::TooLong]);
    assert_eq!(kinds(&|_, plan| drop(start(plan, "pickup", 45))), [BreachKind::OutOfTime]);
    assert_eq!(
        kinds(&|_, plan| drop(start(plan, "pickup", 37))),
        [BreachKind::OutOfTime, BreachKind::TooShort]
    );
    assert_eq!(kinds(&|problem, _| problem.activities[0].pin = Some(vec![9])), [BreachKind::Pin]);
    assert_eq!(kinds(&|problem, _| problem.resources[1].capacity = 1), [BreachKind::Overfull]);
    assert_eq!(kinds(&|problem, _| problem.resources[0].capacity = 0), [BreachKind::Overfull]);
    let limit = |problem: &mut Problem, from: i32| {
        problem.workers[0].limits = vec![Limit { from, to: 96, kinds: None, max: 1 }];
    };
    assert_eq!(kinds(&|problem, _| limit(problem, 30)), [BreachKind::Limit]);
    assert_eq!(kinds(&|problem, _| limit(problem, 31)), []);
    let two = |problem: &mut Problem, plan: &mut Plan| {
        let mut twin = problem.activities[0].clone();
        "twin".clone_into(&mut twin.id);
        problem.activities.push(twin);
        plan.starts.insert("twin".to_owned(), vec![plan.starts["mix"][0] - 1]);
        plan.worker.insert("twin".to_owned(), vec![Some("baker".to_owned())]);
    };
    assert_eq!(kinds(&two), [BreachKind::Clash]);
}

#[test]
fn an_evening_beyond_its_soft_length_costs() {
    let mut problem = small();
    problem.workers[0].soft = vec![0, 0];
    let plan = planned(&problem);
    let report = check(&problem, &plan);
    assert_eq!(report.parts.evening, 5 * 2);
    assert_eq!(plan.objective, Some(4 + 10));
}

#[test]
fn possible_starts_keep_the_neighbours_possible() {
    let problem = small();
    let plan = planned(&problem);
    // Bake needs a mix that ended at most two slots before, and its own window of "home".
    // First evening: mix ends at 10..=16, so bake starts at 10..=18, but must end by 20: 10..=16.
    // Second: mix ends at 26..=32, bake starts at 26..=34, must end by 36: 26..=32.
    assert_eq!(possible_starts(&problem, &plan, "bake", 0), [(10, 17), (26, 33)]);
    assert_eq!(possible_starts(&problem, &plan, "mix", 0), [(8, 15), (24, 31)]);
    assert_eq!(possible_starts(&problem, &plan, "unknown", 0), []);
    let mut pinned = problem.clone();
    pinned.activities[0].pin = Some(vec![8]);
    assert_eq!(possible_starts(&pinned, &plan, "bake", 0), [(10, 13)]);
}

#[test]
fn a_warm_start_keeps_what_still_holds() {
    let problem = small();
    let plan = planned(&problem);
    let mut moved = problem.clone();
    moved.activities[0].pin = Some(vec![10]);
    let planner = Planner::warm(&moved, 1, &plan).unwrap();
    let plan = planner.plan();
    assert_eq!(check(&moved, &plan).breaches, []);
    assert_eq!(plan.starts["mix"], [10]);
    assert!((12..=14).contains(&plan.starts["bake"][0]));
}

#[test]
fn an_impossible_pin_is_kept_and_its_breach_is_shown() {
    let mut problem = small();
    problem.activities[0].pin = Some(vec![2]);
    let plan = planned(&problem);
    let report = check(&problem, &plan);
    assert_eq!(plan.starts["mix"], [2]);
    assert_eq!(plan.objective, None);
    assert!(report.breaches.iter().any(|breach| breach.kind == BreachKind::Window));
    assert!(report.breaches.iter().all(|breach| breach.kind != BreachKind::Missing));
}
