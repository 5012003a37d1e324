//! The exact search against a twin that tries everything, on tiny invented problems.

use std::collections::BTreeMap;

use super::relax::root::Root;
use super::{Exact, Finished, Placing};
use crate::board::Place;
use crate::check::check;
use crate::random::Random;
use crate::{Activity, At, Limit, Link, Mode, Plan, Problem, Resource, Tail, Weights, Worker};

fn slot(random: &mut Random, below: usize) -> i32 {
    i32::try_from(random.below(below)).expect("small")
}

fn amount(random: &mut Random, below: usize) -> i64 {
    i64::try_from(random.below(below)).expect("small")
}

/// Windows within the horizon, with gaps.
fn windows(random: &mut Random, horizon: i32) -> Vec<(i32, i32)> {
    let (mut at, mut out) = (slot(random, 3), Vec::new());
    while at < horizon {
        let end = (at + 2 + slot(random, 4)).min(horizon);
        if end - at > 1 {
            out.push((at, end));
        }
        at = end + slot(random, 4);
    }
    out
}

fn invented(seed: u64) -> Problem {
    let random = &mut Random::new(seed);
    let horizon = 7 + slot(random, 3);
    let limit = |random: &mut Random| Limit {
        from: slot(random, 4),
        to: 5 + slot(random, 6),
        kinds: random.chance(1, 2).then(|| vec!["fine".to_owned()]),
        max: 1 + amount(random, 4),
    };
    let workers = ["baker", "helper"][..=random.below(2)].iter().map(|id| {
        let windows = windows(random, horizon);
        Worker {
            id: (*id).to_owned(),
            soft: windows.iter().map(|_| amount(random, 4)).collect(),
            windows,
            limits: (0..random.below(3)).map(|_| limit(random)).collect(),
        }
    });
    let workers: Vec<Worker> = workers.collect();
    let resources = ["shelf", "oven"].iter().map(|id| Resource {
        id: (*id).to_owned(),
        capacity: 1 + amount(random, 4),
        load_weight: amount(random, 3),
        busy: if random.chance(1, 2) { vec![(2, 4 + slot(random, 3), 1)] } else { Vec::new() },
    });
    let resources: Vec<Resource> = resources.collect();
    let count = 2 + random.below(2);
    let store = |random: &mut Random, odds: usize| -> Vec<(String, i64)> {
        if random.chance(odds, 4) {
            vec![((*["shelf", "oven"][random.below(2)]).to_owned(), 1 + amount(random, 2))]
        } else {
            Vec::new()
        }
    };
    let activities = (0..count).map(|n| {
        let segments = (0..=usize::from(random.chance(1, 4))).map(|_| slot(random, 4));
        let segments: Vec<i32> = segments.collect();
        let active = random.chance(3, 4);
        let who = workers.iter().filter(|_| random.chance(3, 4)).map(|worker| worker.id.clone());
        let who: Vec<String> = if active { who.collect() } else { Vec::new() };
        let maybe = |random: &mut Random, odds: usize, low: i32| {
            random.chance(odds, 4).then(|| low + slot(random, 6))
        };
        Activity {
            id: format!("a{n}"),
            kind: random.chance(1, 2).then(|| "fine".to_owned()),
            workers: who,
            within: random.chance(1, 5).then(|| "day".to_owned()),
            start_in: random.chance(1, 6).then(|| "day".to_owned()),
            end_in: random.chance(1, 6).then(|| "day".to_owned()),
            uses: store(random, 2),
            hold: if segments.len() > 1 { store(random, 3) } else { Vec::new() },
            gap_max: maybe(random, 2, 0),
            earliest: maybe(random, 1, 0),
            latest: maybe(random, 1, 5),
            due: maybe(random, 2, 0),
            late_weight: amount(random, 4),
            reference: maybe(random, 2, 0).map(|start| vec![start; segments.len()]),
            stab_weight: amount(random, 3),
            segments,
            ..Activity::default()
        }
    });
    let activities: Vec<Activity> = activities.collect();
    let mut links = Vec::new();
    for n in 1..count {
        let min = slot(random, 3);
        let mode = |random: &mut Random, name: &str| {
            let len = slot(random, 3);
            let min = len + slot(random, 3);
            Mode {
                name: name.to_owned(),
                min,
                max: random.chance(1, 2).then(|| min + slot(random, 5)),
                store: store(random, 3),
                tail: random.chance(1, 2).then(|| Tail { len, store: store(random, 3) }),
                age_weight: amount(random, 3),
                cost: amount(random, 6),
            }
        };
        let modes =
            if random.chance(1, 3) { vec![mode(random, "x"), mode(random, "y")] } else { vec![] };
        let ends = random.chance(2, 3);
        links.push(Link {
            id: format!("l{n}"),
            from: format!("a{}", random.below(n)),
            from_at: if ends || !modes.is_empty() { At::E } else { At::S },
            to: format!("a{n}"),
            to_at: if ends || !modes.is_empty() { At::S } else { At::E },
            min,
            max: random.chance(1, 2).then(|| min + slot(random, 5)),
            store: if ends && modes.is_empty() { store(random, 3) } else { Vec::new() },
            age_weight: amount(random, 3),
            modes,
        });
    }
    Problem {
        format: "makeahead-sched/2".to_owned(),
        name: format!("tiny {seed}"),
        grid_minutes: 15,
        slots_per_day: 96,
        horizon,
        calendars: BTreeMap::from([("day".to_owned(), windows(random, horizon))]),
        workers,
        resources,
        activities,
        links,
        weights: Weights {
            late: amount(random, 4),
            load: amount(random, 3),
            age: amount(random, 3),
            evening: amount(random, 4),
            stability: amount(random, 3),
            mode: amount(random, 3),
        },
    }
}

/// Least cost by trying every start, worker and mode.
fn least(problem: &Problem) -> Option<(i64, Plan)> {
    let mut plan = Plan::default();
    let mut best = None;
    place(problem, &mut plan, 0, 0, &mut best);
    best
}

fn place(
    problem: &Problem,
    plan: &mut Plan,
    activity: usize,
    segment: usize,
    best: &mut Option<(i64, Plan)>,
) {
    let Some(of) = problem.activities.get(activity) else {
        return choose(problem, plan, 0, best);
    };
    if segment == of.segments.len() {
        return place(problem, plan, activity + 1, 0, best);
    }
    let who: Vec<Option<String>> = if of.workers.is_empty() {
        vec![None]
    } else {
        of.workers.iter().map(|id| Some(id.clone())).collect()
    };
    let length = of.segments[segment];
    for who in who {
        let worker = problem.workers.iter().find(|worker| Some(&worker.id) == who.as_ref());
        for start in 0..=problem.horizon - length {
            // Only what the checker would call a breach whatever else is done.
            let fits = worker.is_none_or(|worker| {
                worker.windows.iter().any(|&(from, to)| from <= start && start + length <= to)
            });
            let before = segment
                .checked_sub(1)
                .map_or(0, |before| plan.starts[&of.id][before] + of.segments[before]);
            if !fits || start < before {
                continue;
            }
            plan.starts.entry(of.id.clone()).or_default().push(start);
            plan.worker.entry(of.id.clone()).or_default().push(who.clone());
            place(problem, plan, activity, segment + 1, best);
            plan.starts.get_mut(&of.id).expect("just placed").pop();
            plan.worker.get_mut(&of.id).expect("just placed").pop();
        }
    }
}

fn choose(problem: &Problem, plan: &mut Plan, link: usize, best: &mut Option<(i64, Plan)>) {
    let Some(of) = problem.links.get(link) else {
        let report = check(problem, plan);
        let better = best.as_ref().is_none_or(|best| report.parts.total < best.0);
        if report.breaches.is_empty() && better {
            *best = Some((report.parts.total, plan.clone()));
        }
        return;
    };
    if of.modes.is_empty() {
        return choose(problem, plan, link + 1, best);
    }
    for mode in &of.modes {
        plan.modes.insert(of.id.clone(), mode.name.clone());
        choose(problem, plan, link + 1, best);
    }
}

fn agree(seeds: std::ops::Range<u64>) {
    let (mut sound, mut learnt) = (0, 0);
    for seed in seeds {
        let problem = invented(seed);
        if problem.validate().is_err() {
            continue;
        }
        let known = least(&problem);
        let mut exact = Exact::new(&problem, None);
        if let (Some((_, plan)), Some(built)) = (&known, &mut exact.built) {
            let placing = Placing::of(&problem, &exact.model, plan).expect("a fitting plan");
            let (values, _) = placing.values(built, &exact.model);
            built.engine.witness = Some(values);
        }
        let mut finished = Finished::No;
        for _ in 0..200 {
            finished = exact.run(5_000);
        }
        learnt += exact.conflicts();
        assert_eq!(exact.cost(), known.as_ref().map(|known| known.0), "problem {seed}");
        let Some((cost, _)) = known else {
            assert_eq!(finished, Finished::Infeasible, "problem {seed}");
            continue;
        };
        assert_eq!((finished, exact.bound()), (Finished::Optimal, cost), "problem {seed}");
        let report = check(&problem, &exact.plan().expect("a plan"));
        assert_eq!((report.breaches, report.parts.total), (Vec::new(), cost), "problem {seed}");
        sound += 1;
    }
    assert!(sound > 0 && learnt > 0);
}

#[test]
fn trying_everything_gives_the_same() {
    agree(0..150);
}

/// What the relaxation says of cheaper plans, heard by an exact search that has a dearer one.
fn heard(seeds: std::ops::Range<u64>) -> (u32, u64) {
    let (mut news_of, mut learnt) = (0, 0);
    for seed in seeds {
        let problem = invented(seed);
        let Some((cost, best)) = problem.validate().ok().and_then(|()| least(&problem)) else {
            continue;
        };
        let mut exact = Exact::new(&problem, None);
        while exact.cost().is_none() {
            exact.run(1);
        }
        let Some(mut root) = Root::new(&exact.model) else { panic!("problem {seed} is refuted") };
        for _ in 0..4_000 {
            root.work(&exact.model, 50, exact.cost());
            if let Some(news) = root.tell(&exact.model, exact.cost().expect("a plan")) {
                let built = exact.built.as_mut().expect("bounds that agree");
                let placing = Placing::of(&problem, &exact.model, &best).expect("a fitting plan");
                let (values, _) = placing.values(built, &exact.model);
                built.engine.witness = (news.upper > cost).then_some(values);
                exact.hear(&news);
                news_of += 1;
                break;
            }
        }
        assert!(root.least() <= cost, "problem {seed}: {} above {cost}", root.least());
        let mut effort = 0;
        while exact.finished == Finished::No && effort < 200 {
            exact.run(5_000);
            effort += 1;
        }
        learnt += exact.conflicts();
        let end = (exact.finished, exact.cost(), exact.bound());
        assert_eq!(end, (Finished::Optimal, Some(cost), cost), "problem {seed}");
        let report = check(&problem, &exact.plan().expect("a plan"));
        assert_eq!((report.breaches, report.parts.total), (Vec::new(), cost), "problem {seed}");
    }
    (news_of, learnt)
}

#[test]
fn what_the_relaxation_says_of_cheaper_plans_leaves_the_best_one() {
    let (news, learnt) = heard(0..200);
    assert!(news > 50 && learnt > 0, "{news} {learnt}");
}

#[test]
#[ignore = "minutes; for changes of the engine"]
fn what_the_relaxation_says_of_cheaper_plans_leaves_the_best_one_at_length() {
    let (news, learnt) = heard(400..6_000);
    assert!(news > 50 && learnt > 0, "{news} {learnt}");
}

#[test]
#[ignore = "minutes; for changes of the engine"]
fn trying_everything_gives_the_same_at_length() {
    agree(150..6_000);
}

#[test]
#[ignore = "prints how long named problem files take"]
fn measure() {
    let files = std::env::var("PROBLEMS").expect("file names");
    let effort: u64 =
        std::env::var("EFFORT").ok().and_then(|text| text.parse().ok()).unwrap_or(30_000_000);
    for file in files.split_whitespace() {
        let problem = Problem::from_json(&std::fs::read_to_string(file).expect("a file"))
            .expect("a valid problem");
        let begin = std::time::Instant::now();
        let mut planner = crate::Planner::new(&problem, 1).expect("a valid problem");
        planner.improve(300);
        let plan = planner.plan();
        let heuristic = begin.elapsed();
        let begin = std::time::Instant::now();
        let sound = check(&problem, &plan).breaches.is_empty();
        let mut exact = Exact::new(&problem, sound.then_some(&plan));
        let first = exact.bound();
        let finished = exact.run(effort);
        println!(
            "{:<28} {:>3} acts  start {:?} in {:.2}s  {finished:?} {:?} bound {} (first {first}) {:.2}s work {} conflicts {}",
            file.rsplit('/').next().unwrap_or(file),
            problem.activities.len(),
            sound.then_some(plan.objective).flatten(),
            heuristic.as_secs_f64(),
            exact.cost(),
            exact.bound(),
            begin.elapsed().as_secs_f64(),
            exact.work(),
            exact.conflicts(),
        );
    }
}

#[test]
fn what_is_suggested_is_tried_first() {
    let work = |id: &str| serde_json::json!({ "id": id, "segments": [4], "workers": ["w"] });
    let text = serde_json::json!({
        "format": "makeahead-sched/2", "name": "three", "grid_minutes": 15, "slots_per_day": 96, "horizon": 96,
        "workers": [{ "id": "w", "windows": [[0, 4], [10, 14], [20, 24]] }],
        "resources": [], "links": [], "weights": {}, "activities": [work("a"), work("b"), work("c")],
    });
    let problem = Problem::from_json(&text.to_string()).expect("a problem");
    for starts in [[10, 0, 20], [20, 10, 0], [0, 20, 10]] {
        let mut exact = Exact::new(&problem, None);
        let places = starts.map(|start| Place { start, way: 0, window: 0 });
        exact.suggest(&places);
        assert_eq!(exact.run(100_000), Finished::Optimal);
        let plan = exact.plan().expect("a plan");
        let found = ["a", "b", "c"].map(|id| plan.starts[id][0]);
        assert_eq!(found, starts);
    }
}
