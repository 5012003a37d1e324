//! Plain project scheduling, the planner's common ground with the literature: a file of the PSPLIB format becomes
//! a planning problem whose objective is the project's length.
//!
//! The instance is made up. Its best length is 7, its critical path (jobs 2 and 5): 2 runs beside 4, which leaves
//! the second resource to 3 in time to run beside 5. With two units of the first resource instead of three
//! it is 11: 2 and 3 need both units, 3 + 4 slots, and 4 and 5 then share them for 4 more; the work of 21 unit-slots
//! takes at least 10.5.

#![cfg(not(target_arch = "wasm32"))]

#[path = "../benches/psplib/instance.rs"]
mod instance;

use instance::Project;
use rackweek::plan::check::check;
use rackweek::plan::{Planner, Status};

const MADE_UP: &str = include_str!("data/psplib/made_up.sm");

#[test]
fn a_file_is_read() {
    let project = Project::parse(MADE_UP).expect("a good file");
    assert_eq!(project.horizon, 14);
    assert_eq!(project.capacities, [3, 1]);
    let lengths: Vec<i32> = project.jobs.iter().map(|job| job.length).collect();
    assert_eq!(lengths, [0, 3, 4, 3, 4, 0]);
    assert_eq!(project.jobs[0].successors, [1, 2, 3]);
    assert_eq!(project.jobs[2].needs, [2, 1]);
    assert_eq!(project.critical_path(), 7);
}

#[test]
fn the_objective_is_the_length() {
    let problem = Project::parse(MADE_UP).expect("a good file").problem("made up");
    let mut planner = Planner::new(&problem, 1).expect("a valid problem");
    planner.improve(500);
    let plan = planner.plan();
    let report = check(&problem, &plan);
    assert_eq!(report.breaches, []);
    assert_eq!(report.parts.total, i64::from(plan.starts["j6"][0]));
    assert_eq!(report.parts.total, 7);
    assert_eq!(plan.status, Status::Optimal);
}

#[test]
fn scarcity_makes_it_longer_than_its_critical_path() {
    let scarce = MADE_UP.replace("    3    1\n", "    2    1\n");
    let problem = Project::parse(&scarce).expect("a good file").problem("scarce");
    let mut planner = Planner::new(&problem, 1).expect("a valid problem");
    planner.improve(500);
    assert_eq!(planner.plan().objective, Some(11));
}

#[test]
fn what_is_broken_is_said_with_its_line() {
    let cut = MADE_UP.split("REQUESTS").next().expect("the first half");
    assert!(Project::parse(cut).expect_err("no requests").contains("REQUESTS/DURATIONS"));
    let odd = MADE_UP
        .replace("   2        1          1           5", "   2        1          2           5");
    let error = Project::parse(&odd).expect_err("one successor is missing");
    assert!(error.contains("line 20"), "{error}");
    let word = MADE_UP.replace("  3      1     4       2    1", "  3      1     four    2    1");
    assert!(Project::parse(&word).expect_err("a word").contains("four"));
}
