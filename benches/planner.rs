//! How fast and how well the planner plans: `cargo bench --bench planner [-- FILE.json ...] [--seconds S]`.
//!
//! Without files it plans generated weeks of 30, 60, 120 and 220 activities. `--evaluations N` gives every
//! problem the same effort instead of the same time. Prints, for each problem, processor milliseconds to the first plan
//! and to the first sound one, evaluations a second, allocations an evaluation, the objective, what is proven,
//! the time of one answer to "where else?", and the objective over time; last, how the time of an evaluation
//! grows with the number of activities: the exponent between two sizes.

use std::alloc::System;
use std::time::Duration;

use cpu_time::ThreadTime;
use rackweek::plan::{
    Activity, At, Link, Planner, Problem, Progress, Resource, Weights, Worker, possible_starts,
};

use stats_alloc::{INSTRUMENTED_SYSTEM, Region, StatsAlloc};

#[global_allocator]
static COUNTED: &StatsAlloc<System> = &INSTRUMENTED_SYSTEM;

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
        "{:<22} {:>5} {:>9} {:>9} {:>9} {:>8} {:>10} {:>9} {:>9} {:>9}  objective over time",
        "problem",
        "acts",
        "first ms",
        "sound ms",
        "eval/s",
        "allocs",
        "objective",
        "bound",
        "status",
        "starts ms"
    );
    let mut problems: Vec<Problem> = Vec::new();
    if files.is_empty() {
        problems.extend([3, 6, 12, 22].map(weeks));
    }
    for file in &files {
        let text = std::fs::read_to_string(file).expect("a readable file");
        problems.push(Problem::from_json(&text).expect("a valid problem"));
    }
    let mut last: Option<(f64, f64)> = None;
    let mut growth = Vec::new();
    for problem in &problems {
        let micros = run(problem, seconds, effort);
        let size = f64::from(u32::try_from(problem.activities.len()).unwrap_or(1));
        if let Some((smaller, fewer)) = last.filter(|(smaller, _)| *smaller < size) {
            let exponent = (micros / fewer).ln() / (size / smaller).ln();
            growth.push(format!("{smaller} to {size} activities: {exponent:.2}"));
        }
        last = Some((size, micros));
    }
    println!(
        "growth of an evaluation's time, exponent (0: none, 1: linear): {}",
        growth.join("; ")
    );
}

/// Gives the microseconds of an evaluation.
#[expect(clippy::print_stdout, reason = "a benchmark reports on the standard output")]
fn run(problem: &Problem, seconds: f64, effort: Option<u64>) -> f64 {
    let begin = ThreadTime::now();
    let mut planner = Planner::new(problem, 1).expect("a valid problem");
    let first = begin.elapsed();
    let mut progress = planner.improve(0);
    let (counted, already) = (Region::new(COUNTED), progress.evaluations);
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
    let spent = begin.elapsed().as_secs_f64().max(1e-9);
    let rate = count(progress.evaluations) / spent;
    let allocations = {
        let change = counted.change();
        let number = change.allocations + change.reallocations;
        count(u64::try_from(number).unwrap_or(u64::MAX))
            / count(progress.evaluations.saturating_sub(already).max(1))
    };
    let plan = planner.plan();
    let asked = ThreadTime::now();
    for activity in &problem.activities {
        std::hint::black_box(possible_starts(problem, &plan, &activity.id, 0));
    }
    let starts = asked.elapsed().as_secs_f64() * 1e3
        / f64::from(u32::try_from(problem.activities.len()).unwrap_or(1));
    println!(
        "{:<22} {:>5} {:>9.2} {:>9} {:>9.0} {:>8.2} {:>10} {:>9} {:>9} {:>9.2}  {}",
        problem.name,
        problem.activities.len(),
        first.as_secs_f64() * 1e3,
        sound.map_or_else(|| "-".to_owned(), |time| format!("{:.2}", time.as_secs_f64() * 1e3)),
        rate,
        allocations,
        plan.objective.map_or_else(|| "-".to_owned(), |cost| cost.to_string()),
        progress.bound,
        format!("{:?}", plan.status),
        starts,
        marks.join(" ")
    );
    1e6 / rate.max(1e-9)
}

#[expect(clippy::cast_precision_loss, reason = "numbers for people")]
fn count(number: u64) -> f64 {
    number as f64
}

/// Cakes of ten activities for as many orders, handed over on the Fridays and Saturdays of enough weeks.
fn weeks(orders: i32) -> Problem {
    let days = 7 * (1 + (orders + 3) / 4);
    let day = |day: i32, hour: i32| day * 96 + hour * 4;
    let mut problem = Problem {
        format: "makeahead-sched/2".to_owned(),
        name: format!("cakes_{}", orders * 10),
        grid_minutes: 15,
        slots_per_day: 96,
        horizon: day(days, 0),
        resources: vec![
            resource("oven", 2, 0),
            resource("mixer", 1, 0),
            resource("fridge", 18, 1),
            resource("rack", 12, 0),
        ],
        weights: Weights { late: 100, load: 1, age: 1, evening: 5, stability: 1, mode: 1 },
        ..Problem::default()
    };
    let mut windows = Vec::new();
    for weekday in 0..days {
        if weekday % 7 < 5 {
            windows.push((day(weekday, 18), day(weekday, 22)));
        } else {
            windows.extend([
                (day(weekday, 9), day(weekday, 13)),
                (day(weekday, 14), day(weekday, 18)),
            ]);
        }
    }
    let soft = windows.iter().map(|(from, to)| i64::from(to - from) * 3 / 4).collect();
    problem.workers.push(Worker { id: "baker".to_owned(), windows, soft, limits: Vec::new() });
    for order in 0..orders {
        let due = day((order / 4) * 7 + 11 + order % 2, if order % 2 == 0 { 18 } else { 12 });
        let due = due.min(problem.horizon - 192);
        cake(&mut problem, order, due);
    }
    problem
}

fn resource(id: &str, capacity: i64, load_weight: i64) -> Resource {
    Resource { id: id.to_owned(), capacity, load_weight, busy: Vec::new() }
}

fn cake(problem: &mut Problem, order: i32, due: i32) {
    let mut add = |name: &str, length: i32, hands: bool, uses: &[(&str, i64)]| {
        let id = format!("o{order}.{name}");
        problem.activities.push(Activity {
            id: id.clone(),
            order: Some(format!("o{order}")),
            segments: vec![length],
            workers: if hands { vec!["baker".to_owned()] } else { Vec::new() },
            uses: uses.iter().map(|&(resource, amount)| (resource.to_owned(), amount)).collect(),
            ..Activity::default()
        });
        id
    };
    let size = 2 + i64::from(order % 3);
    let mix = add("mix", 2 + order % 2, true, &[("mixer", 1)]);
    let bake = add("bake", 3 + order % 3, false, &[("oven", 1)]);
    let cool = add("cool", 8, false, &[("rack", 1)]);
    let cream = add("cream", 2, true, &[("mixer", 1)]);
    let stack = add("stack", 3 + order % 2, true, &[]);
    let firm = add("firm", 5, false, &[("fridge", size)]);
    let coat = add("coat", 4, true, &[]);
    let decorate = add("decorate", 5 + order % 3, true, &[]);
    let pack = add("box", 1, true, &[]);
    let handover = add("handover", 0, false, &[]);
    if let Some(handover) = problem.activities.last_mut() {
        handover.earliest = Some(due);
        handover.due = Some(due);
        handover.latest = Some(due + 192);
        handover.late_weight = 3;
    }
    let mut link = |from: &str, to: &str, max: i32, store: &[(&str, i64)]| {
        problem.links.push(Link {
            id: format!("{from}>{to}"),
            from: from.to_owned(),
            from_at: At::E,
            to: to.to_owned(),
            to_at: At::S,
            min: 0,
            max: Some(max),
            store: store.iter().map(|&(resource, amount)| (resource.to_owned(), amount)).collect(),
            age_weight: 0,
            modes: Vec::new(),
        });
    };
    link(&mix, &bake, 2, &[]);
    link(&bake, &cool, 0, &[]);
    link(&cool, &stack, 192, &[("rack", 1)]);
    link(&cream, &stack, 480, &[("fridge", 1)]);
    link(&stack, &firm, 1, &[]);
    link(&firm, &coat, 192, &[("fridge", size)]);
    link(&coat, &decorate, 192, &[("fridge", size)]);
    link(&decorate, &pack, 192, &[("fridge", size)]);
    link(&pack, &handover, 192, &[("fridge", size)]);
}
