//! How fast and how well the planner plans: `cargo bench --bench planner [-- FILE.json ...] [--seconds S]`.
//!
//! Without files it plans generated weeks of 30, 60, 120 and 220 activities. Prints, for each problem,
//! the time to the first plan and to the first sound one, evaluations a second, and the objective over time.

use std::time::{Duration, Instant};

use rackweek::plan::{Planner, Problem, Progress};

#[expect(clippy::print_stdout, reason = "a benchmark reports on the standard output")]
fn main() {
    let mut seconds = 2.0;
    let mut effort = None;
    let mut files = Vec::new();
    let mut args = std::env::args().skip(1);
    while let Some(arg) = args.next() {
        if arg == "--seconds" {
            seconds = args.next().and_then(|text| text.parse().ok()).unwrap_or(seconds);
        } else if arg == "--evaluations" {
            effort = args.next().and_then(|text| text.parse().ok());
        } else if !arg.starts_with("--") {
            files.push(arg);
        }
    }
    println!(
        "{:<22} {:>5} {:>9} {:>9} {:>9} {:>10} {:>9} {:>9}  objective at .1 .2 .5 1 2 s",
        "problem", "acts", "first ms", "sound ms", "eval/s", "objective", "bound", "status"
    );
    for file in &files {
        let text = std::fs::read_to_string(file).expect("a readable file");
        run(&Problem::from_json(&text).expect("a valid problem"), seconds, effort);
    }
}

#[expect(clippy::print_stdout, reason = "a benchmark reports on the standard output")]
fn run(problem: &Problem, seconds: f64, effort: Option<u64>) {
    let begin = Instant::now();
    let mut planner = Planner::new(problem, 1).expect("a valid problem");
    let first = begin.elapsed();
    let mut progress = planner.improve(0);
    let mut sound = progress.objective.map(|_| first);
    let mut marks = Vec::new();
    let mut step = |planner: &mut Planner, progress: &mut Progress| {
        *progress = planner.improve(20);
        if sound.is_none() && progress.objective.is_some() {
            sound = Some(begin.elapsed());
        }
    };
    for mark in [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0] {
        if effort.is_some() || mark > seconds {
            break;
        }
        while begin.elapsed() < Duration::from_secs_f64(mark) && !progress.finished {
            step(&mut planner, &mut progress);
        }
        marks.push(progress.objective.map_or_else(|| "-".to_owned(), |cost| cost.to_string()));
    }
    for part in
        effort.iter().flat_map(|&effort| [effort / 16, effort / 8, effort / 4, effort / 2, effort])
    {
        while progress.evaluations < part && !progress.finished {
            step(&mut planner, &mut progress);
        }
        marks.push(progress.objective.map_or_else(|| "-".to_owned(), |cost| cost.to_string()));
    }
    let rate = progress.evaluations as f64 / begin.elapsed().as_secs_f64();
    let plan = planner.plan();
    println!(
        "{:<22} {:>5} {:>9.2} {:>9} {:>9.0} {:>10} {:>9} {:>9}  {}",
        problem.name,
        problem.activities.len(),
        first.as_secs_f64() * 1e3,
        sound.map_or_else(|| "-".to_owned(), |time| format!("{:.2}", time.as_secs_f64() * 1e3)),
        rate,
        plan.objective.map_or_else(|| "-".to_owned(), |cost| cost.to_string()),
        progress.bound,
        format!("{:?}", plan.status),
        marks.join(" ")
    );
}
