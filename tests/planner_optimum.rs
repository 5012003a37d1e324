//! Generated weeks whose best objective is known: the planner reaches it within a fixed effort.
//!
//! Outside check: the objectives in `tests/data/problems/optimum.csv` were proven by OR-tools CP-SAT, a
//! general-purpose solver, in the version named there.

#![cfg(not(target_arch = "wasm32"))]

use std::path::PathBuf;

use rackweek::plan::check::check;
use rackweek::plan::{Planner, Problem, Status};

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/data/problems")
}

fn read(name: &str) -> Problem {
    let path = folder().join(format!("{name}.json"));
    Problem::from_json(&std::fs::read_to_string(path).expect("a readable file"))
        .expect("a valid problem")
}

/// Name, proven objective (none: proven to have no sound plan), evaluations allowed.
fn table() -> Vec<(String, Option<i64>, u64)> {
    let text = std::fs::read_to_string(folder().join("optimum.csv")).expect("a readable file");
    text.lines()
        .filter(|line| !line.starts_with('#') && !line.starts_with("problem,"))
        .map(|line| {
            let fields: Vec<&str> = line.split(',').collect();
            (fields[0].to_owned(), fields[1].parse().ok(), fields[2].parse().expect("a number"))
        })
        .collect()
}

#[test]
fn proven_objectives_are_reached() {
    let table = table();
    assert!(table.len() >= 8);
    for (name, proven, effort) in table {
        let problem = read(&name);
        let mut planner = Planner::new(&problem, 1).expect("a valid problem");
        let mut spent = 0;
        while spent < effort
            && planner.improve(50).objective.is_none_or(|cost| Some(cost) != proven)
        {
            spent += 50;
        }
        let plan = planner.plan();
        let report = check(&problem, &plan);
        if let Some(proven) = proven {
            assert_eq!(report.breaches, [], "{name}");
            assert_eq!(plan.objective, Some(proven), "{name}");
            assert_eq!(report.parts.total, proven, "{name}");
            assert!(plan.bound.is_some_and(|bound| bound <= proven), "{name}: {:?}", plan.bound);
        } else {
            assert_eq!(plan.status, Status::Infeasible, "{name}");
            assert!(!plan.conflict.is_empty() && !report.breaches.is_empty(), "{name}");
            // Least bad still means that everything is placed.
            assert_eq!(plan.starts.len(), problem.activities.len(), "{name}");
            assert!(plan.starts.values().all(|starts| !starts.is_empty()), "{name}");
        }
    }
}

#[test]
fn the_same_seed_gives_the_same_plan() {
    let problem = read("o3_s308");
    let run = |step: u64| {
        let mut planner = Planner::new(&problem, 7).expect("a valid problem");
        for _ in 0..600 / step {
            planner.improve(step);
        }
        planner.plan()
    };
    let plan = run(600);
    assert_eq!(run(600), plan);
    assert_eq!(run(50), plan);
}

#[test]
fn a_plan_reads_back_as_it_was_written() {
    let problem = read("o2_s202");
    let text = serde_json::to_string(&problem).expect("JSON");
    assert_eq!(Problem::from_json(&text).expect("a valid problem"), problem);
    let plan = Planner::new(&problem, 1).expect("a valid problem").plan();
    let text = serde_json::to_string(&plan).expect("JSON");
    assert_eq!(rackweek::plan::Plan::from_json(&text).expect("a plan"), plan);
}
