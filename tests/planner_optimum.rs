//! Stored weeks whose best objective is known, or of which it is known that no plan is sound.
//!
//! Outside check: the answers in `tests/data/problems/optimum.csv` were proven by OR-tools CP-SAT, a general-purpose
//! solver, in the version named there. Held against it, whatever the effort: no sound plan costs less than the
//! optimum, no bound lies above it, nothing that has a plan is called impossible and nothing that has none is
//! planned; each of these would mean that one of the two is wrong. Where the table names an effort, the
//! planner reaches the optimum, or proves that there is no plan, within it.

#![cfg(not(target_arch = "wasm32"))]

use std::path::PathBuf;

use rackweek::plan::check::check;
use rackweek::plan::{Plan, Planner, Problem, Status};

/// Evaluations for problems of which no effort is promised.
const GLANCE: u64 = 300;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/data/problems")
}

fn read(name: &str) -> Problem {
    let path = folder().join(format!("{name}.json"));
    Problem::from_json(&std::fs::read_to_string(path).expect("a readable file"))
        .expect("a valid problem")
}

/// A line of the table.
struct Known {
    name: String,
    /// Proven; none: proven to have no sound plan.
    optimum: Option<i64>,
    /// Evaluations within which we know it too; none: not promised.
    effort: Option<u64>,
}

fn table() -> Vec<Known> {
    let text = std::fs::read_to_string(folder().join("optimum.csv")).expect("a readable file");
    text.lines()
        .filter(|line| !line.starts_with('#') && !line.starts_with("problem,"))
        .map(|line| {
            let fields: Vec<&str> = line.split(',').collect();
            assert_eq!(fields.len(), 4, "{line}");
            let number = |field: &str| {
                (!field.is_empty()).then(|| field.parse::<u64>().expect("a whole number"))
            };
            Known {
                name: fields[0].to_owned(),
                optimum: number(fields[1]).map(|cost| i64::try_from(cost).expect("small")),
                effort: number(fields[2]),
            }
        })
        .collect()
}

/// Plans until the answer is known or the effort spent.
fn planned(problem: &Problem, known: &Known) -> Plan {
    let mut planner = Planner::new(problem, 1).expect("a valid problem");
    let effort = known.effort.unwrap_or(GLANCE);
    let mut spent = 0;
    loop {
        let progress = planner.improve(0);
        let there = match known.optimum {
            Some(optimum) => progress.objective.is_some_and(|cost| cost <= optimum),
            None => planner.plan().status == Status::Infeasible,
        };
        if there || progress.finished || spent >= effort {
            return planner.plan();
        }
        planner.improve(50);
        spent += 50;
    }
}

/// What must hold of every plan for a problem of which the truth is known.
fn hold_against(problem: &Problem, known: &Known, plan: &Plan) {
    let name = &known.name;
    let report = check(problem, plan);
    let sound = report.breaches.is_empty();
    assert_eq!(plan.objective.is_some(), sound, "{name}: {:?}", report.breaches);
    assert_eq!(plan.status == Status::Infeasible, !plan.conflict.is_empty(), "{name}");
    assert_eq!(plan.starts.len(), problem.activities.len(), "{name}: everything has its place");
    match known.optimum {
        Some(optimum) => {
            assert_ne!(plan.status, Status::Infeasible, "{name}: has a plan, {:?}", plan.conflict);
            assert!(plan.bound.is_none_or(|bound| bound <= optimum), "{name}: {:?}", plan.bound);
            if sound {
                assert_eq!(plan.objective, Some(report.parts.total), "{name}");
                assert!(report.parts.total >= optimum, "{name}: below the optimum");
                let proven = plan.status == Status::Optimal;
                assert!(!proven || report.parts.total == optimum, "{name}: not the optimum");
            }
        }
        None => assert!(!sound, "{name}: planned although there is no plan"),
    }
}

/// Holds the part of the table that `share` picks: parts run side by side.
fn hold(share: usize, of: usize) {
    for known in table().into_iter().skip(share).step_by(of) {
        let problem = read(&known.name);
        let plan = planned(&problem, &known);
        hold_against(&problem, &known, &plan);
        if known.effort.is_some() {
            let name = &known.name;
            match known.optimum {
                Some(_) => assert_eq!(plan.objective, known.optimum, "{name}"),
                None => assert_eq!(plan.status, Status::Infeasible, "{name}"),
            }
        }
    }
}

#[test]
fn what_is_proven_elsewhere_is_met_first_quarter() {
    hold(0, 4);
}

#[test]
fn what_is_proven_elsewhere_is_met_second_quarter() {
    hold(1, 4);
}

#[test]
fn what_is_proven_elsewhere_is_met_third_quarter() {
    hold(2, 4);
}

#[test]
fn what_is_proven_elsewhere_is_met_last_quarter() {
    hold(3, 4);
}

#[test]
fn enough_is_known_and_each_file_is_in_the_table() {
    let table = table();
    let reached = |feasible: bool| {
        table.iter().filter(|k| k.optimum.is_some() == feasible && k.effort.is_some()).count()
    };
    assert!(table.iter().filter(|known| known.optimum.is_some()).count() >= 40);
    assert!(table.iter().filter(|known| known.optimum.is_none()).count() >= 10);
    assert!(reached(true) >= 9 && reached(false) >= 1);
    let mut files: Vec<String> = std::fs::read_dir(folder())
        .expect("a folder")
        .filter_map(|entry| {
            entry.ok()?.file_name().to_str()?.strip_suffix(".json").map(str::to_owned)
        })
        .collect();
    files.sort();
    let mut named: Vec<String> = table.into_iter().map(|known| known.name).collect();
    named.sort();
    assert_eq!(files, named);
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
    assert_eq!(Plan::from_json(&text).expect("a plan"), plan);
}
