//! Stored weeks that have no plan: each conflict named is real, and each of its members is needed.
//!
//! Outside check: that these problems have no sound plan was proven by OR-tools CP-SAT, a general-purpose solver
//! (`tests/data/problems/optimum.csv` names its version). That a conflict is smallest is shown here by plans: without
//! any one of its members the rest is planned, and separate code finds the plan sound.

#![cfg(not(target_arch = "wasm32"))]

use std::path::PathBuf;

use rackweek::plan::check::check;
use rackweek::plan::explain::{
    Conflict, Requirement, conflict, holding_only, proven_impossible, requirements,
};
use rackweek::plan::{Planner, Problem, Weights};

/// Cases; enough for short conflicts.
const BUDGET: u64 = 2_000;
/// Members of a conflict up to which each is left out in turn.
const LONG: usize = 6;

fn stored() -> Vec<(String, Problem)> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/data/problems");
    let mut names: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("a readable folder")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| {
            let name = path.file_stem().map(|stem| stem.to_string_lossy().into_owned());
            name.is_some_and(|name| name.starts_with("bad_"))
                && path.extension().is_some_and(|ending| ending == "json")
        })
        .collect();
    names.sort();
    let read = |path: PathBuf| {
        let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
        let text = std::fs::read_to_string(path).expect("a readable file");
        (name, Problem::from_json(&text).expect("a valid problem"))
    };
    names.into_iter().map(read).collect()
}

/// A sound plan for what these requirements ask, whatever it costs.
fn has_a_plan(problem: &Problem, kept: &[Requirement]) -> bool {
    let asked = Problem { weights: Weights::default(), ..holding_only(problem, kept) };
    let mut planner = Planner::new(&asked, 1).expect("a valid problem");
    for _ in 0..40 {
        if planner.improve(50).objective.is_some() {
            return check(&asked, &planner.plan()).breaches.is_empty();
        }
    }
    false
}

#[test]
fn without_any_one_member_of_a_conflict_there_is_a_plan() {
    let mut held = 0;
    for (name, problem) in stored() {
        // What is not proven is not called impossible; long conflicts take minutes to plan around.
        let Conflict::Proven { members, smallest } = conflict(&problem, BUDGET) else { continue };
        assert!(!members.is_empty() && proven_impossible(&problem, &members, 4_000), "{name}");
        let all = requirements(&problem);
        assert!(members.iter().all(|member| all.contains(member)), "{name}");
        if members.len() > LONG {
            continue;
        }
        assert!(smallest, "{name}");
        for gone in &members {
            let rest: Vec<Requirement> = members.iter().filter(|m| *m != gone).cloned().collect();
            assert!(has_a_plan(&problem, &rest), "{name}: {gone} is not needed");
        }
        held += 1;
    }
    assert!(held >= 5, "{held}");
}
