//! Bounds and refutations against every plan of tiny problems, judged by the independent checker.

use super::super::super::check::check;
use super::super::super::model::{Bounds, Model};
use super::super::super::random::Random;
use super::super::super::{
    Activity, Limit, Link, Mode, Plan, Problem, Resource, Status, Weights, Worker,
};
use super::root::{Root, State};

const HORIZON: i32 = 11;

fn number(random: &mut Random, from: i32, to: i32) -> i32 {
    let span = usize::try_from(to - from + 1).expect("to is not below from");
    from + i32::try_from(random.below(span)).expect("small")
}

fn worker(random: &mut Random, id: &str) -> Worker {
    let split = number(random, 3, 7);
    let windows = vec![(number(random, 0, 2), split - number(random, 0, 1)), (split + 1, HORIZON)];
    let soft = if random.chance(1, 2) { vec![2, 2] } else { Vec::new() };
    let limits = if random.chance(1, 4) {
        vec![Limit { from: 0, to: split, kinds: None, max: 3 }]
    } else {
        Vec::new()
    };
    Worker { id: id.to_owned(), windows, soft, limits }
}

fn link(random: &mut Random, from: usize, to: usize) -> Link {
    let store = if random.chance(1, 2) { vec![("place".to_owned(), 1)] } else { Vec::new() };
    let min = number(random, 0, 3);
    let max = random.chance(1, 2).then(|| min + number(random, 0, 4));
    let mut link = Link {
        id: format!("{from}>{to}"),
        from: from.to_string(),
        from_at: super::super::super::At::E,
        to: to.to_string(),
        to_at: super::super::super::At::S,
        min,
        max,
        store: store.clone(),
        age_weight: i64::from(number(random, 0, 2)),
        modes: Vec::new(),
    };
    if random.chance(1, 3) {
        let mode = |name: &str, min, max, cost, store: Vec<(String, i64)>| Mode {
            name: name.to_owned(),
            min,
            max,
            store,
            tail: None,
            age_weight: i64::from(cost == 0),
            cost,
        };
        link.modes = vec![mode("near", 0, Some(2), 0, store), mode("far", 3, None, 4, Vec::new())];
    }
    link
}

fn draw(random: &mut Random) -> Problem {
    let mut workers = vec![worker(random, "one")];
    if random.chance(1, 3) {
        workers.push(worker(random, "two"));
    }
    let n = 2 + random.below(2);
    let mut activities = Vec::new();
    for id in 0..n {
        let passive = random.chance(1, 4);
        activities.push(Activity {
            id: id.to_string(),
            segments: vec![number(random, i32::from(!passive), 3)],
            workers: match (passive, random.chance(1, 2)) {
                (true, _) => Vec::new(),
                (false, true) => vec!["one".to_owned()],
                (false, false) => workers.iter().map(|worker| worker.id.clone()).collect(),
            },
            uses: if random.chance(1, 3) { vec![("place".to_owned(), 1)] } else { Vec::new() },
            due: random.chance(1, 2).then(|| number(random, 1, 8)),
            late_weight: 3,
            latest: random.chance(1, 3).then(|| number(random, 5, HORIZON)),
            reference: random.chance(1, 3).then(|| vec![number(random, 0, 8)]),
            stab_weight: 1,
            ..Activity::default()
        });
    }
    let mut links = Vec::new();
    for to in 1..n {
        if random.chance(3, 4) {
            let from = random.below(to);
            links.push(link(random, from, to));
        }
    }
    Problem {
        format: "makeahead-sched/2".to_owned(),
        name: "tiny".to_owned(),
        grid_minutes: 15,
        slots_per_day: 96,
        horizon: HORIZON,
        workers,
        resources: vec![Resource {
            id: "place".to_owned(),
            capacity: 1 + i64::from(number(random, 0, 1)),
            load_weight: 1,
            busy: Vec::new(),
        }],
        activities,
        links,
        weights: Weights { late: 2, load: 1, age: 1, evening: 2, stability: 1, mode: 1 },
        ..Problem::default()
    }
}

/// Least objective of all sound plans.
fn least(problem: &Problem) -> Option<i64> {
    let mut plans = vec![Plan { status: Status::Feasible, ..Plan::default() }];
    for activity in &problem.activities {
        let mut next = Vec::new();
        let who: Vec<Option<String>> = if activity.workers.is_empty() {
            vec![None]
        } else {
            activity.workers.iter().cloned().map(Some).collect()
        };
        for plan in &plans {
            for start in 0..=HORIZON - activity.segments[0] {
                for who in &who {
                    let mut plan = plan.clone();
                    plan.starts.insert(activity.id.clone(), vec![start]);
                    plan.worker.insert(activity.id.clone(), vec![who.clone()]);
                    next.push(plan);
                }
            }
        }
        plans = next;
    }
    for link in problem.links.iter().filter(|link| !link.modes.is_empty()) {
        plans = plans
            .iter()
            .flat_map(|plan| {
                link.modes.iter().map(|mode| {
                    let mut plan = plan.clone();
                    plan.modes.insert(link.id.clone(), mode.name.clone());
                    plan
                })
            })
            .collect();
    }
    plans
        .iter()
        .map(|plan| check(problem, plan))
        .filter(|report| report.breaches.is_empty())
        .map(|report| report.parts.total)
        .min()
}

/// What the relaxation says in the end: a bound, or none when it refutes.
fn proven(problem: &Problem, slice: u64, known: Option<i64>) -> Option<i64> {
    let model = Model::compile(problem, Bounds::Proof);
    let mut root = Root::new(&model)?;
    for _ in 0..4_000_000 / slice {
        match root.work(&model, slice, known) {
            State::Open => {}
            State::Done => return Some(root.least()),
            State::Refuted => return None,
        }
    }
    Some(root.least())
}

#[test]
fn bounds_never_pass_the_least_of_all_plans() {
    let mut random = Random::new(21);
    let (mut met, mut refuted, mut all) = (0, 0, 0);
    for _ in 0..60 {
        let problem = draw(&mut random);
        problem.validate().expect("a valid problem");
        let least = least(&problem);
        let bound = proven(&problem, 20_000, None);
        match (bound, least) {
            (Some(bound), Some(least)) => {
                assert!(bound <= least, "{bound} above {least}: {problem:?}");
                met += i32::from(bound == least);
                // Once the least is known, nothing is proven beyond it.
                let known = proven(&problem, 500, Some(least)).expect("a plan exists");
                assert!(known <= least, "{known} above {least}: {problem:?}");
            }
            (None, Some(least)) => panic!("refuted, but {least}: {problem:?}"),
            (None, None) => refuted += 1,
            (Some(_), None) => {}
        }
        all += i32::from(least.is_some());
    }
    assert!(all >= 20 && met * 2 > all, "{met} of {all} met");
    assert!(refuted >= 3, "{refuted}");
}

#[test]
fn slices_do_not_change_what_is_proven() {
    let mut random = Random::new(22);
    for _ in 0..20 {
        let problem = draw(&mut random);
        assert_eq!(proven(&problem, 300, None), proven(&problem, 4_000_000, None));
    }
}
