//! Why an impossible problem is impossible: every conflict is proven, and smallest.

mod explain_problems;

use explain_problems::{DAY, Recipe, link, planned, random_problem};
use rackweek::plan::check::check;
use rackweek::plan::explain::{
    Conflict, Remedy, Requirement, WhyNot, conflict, proven_impossible, requirements,
};
use rackweek::plan::{Activity, Problem, Resource, Weights, Worker};

const BUDGET: u64 = 100_000;

fn names(problem: &Problem) -> Vec<String> {
    match conflict(problem, BUDGET) {
        Conflict::Proven { members, smallest } => {
            assert!(smallest);
            members.iter().map(ToString::to_string).collect()
        }
        Conflict::NotProven => vec!["not proven".into()],
    }
}

fn step(id: &str, length: i32) -> Activity {
    Activity {
        id: id.into(),
        segments: vec![length],
        workers: vec!["baker".into()],
        ..Activity::default()
    }
}

/// Two evenings of 8 slots.
fn bench(activities: Vec<Activity>) -> Problem {
    Problem {
        format: "makeahead-sched/2".into(),
        name: "bench".into(),
        grid_minutes: 15,
        slots_per_day: 96,
        horizon: 2 * DAY,
        workers: vec![Worker {
            id: "baker".into(),
            windows: vec![(72, 80), (DAY + 72, DAY + 80)],
            ..Worker::default()
        }],
        resources: vec![Resource { id: "rack".into(), capacity: 2, ..Resource::default() }],
        activities,
        ..Problem::default()
    }
}

#[test]
fn a_pin_in_the_day_job_contradicts_the_need_of_a_window() {
    let mut pipe = step("pipe", 4);
    pipe.pin = Some(vec![40]);
    assert_eq!(names(&bench(vec![pipe, step("box", 2)])), ["pin:pipe", "work:pipe"]);
}

#[test]
fn two_pins_and_a_lag_contradict_each_other() {
    let mut problem = bench(vec![step("coat", 4), step("pipe", 2), step("box", 1)]);
    problem.activities[0].pin = Some(vec![DAY + 72]);
    problem.activities[1].pin = Some(vec![DAY + 77]);
    problem.links = vec![link("coat", "pipe", 2, None)];
    assert_eq!(names(&problem), ["pin:coat", "pin:pipe", "min:coat>pipe"]);
}

#[test]
fn an_evening_too_short_for_its_work_names_the_work_and_the_end() {
    let mut problem = bench(vec![step("a", 4), step("b", 4), step("c", 1)]);
    for activity in &mut problem.activities {
        activity.latest = Some(90);
    }
    let expected = ["latest:a", "latest:b", "latest:c", "work:a", "work:b", "work:c"];
    assert_eq!(names(&problem), expected);
    problem.activities[2].latest = None;
    assert_eq!(names(&problem), ["not proven"]);
}

#[test]
fn a_full_rack_is_named_with_what_must_stand_there() {
    let mut problem = bench(vec![step("a", 1), step("b", 1), step("c", 1)]);
    for (at, id) in [(72, "a"), (73, "b"), (74, "c")] {
        let mut out = step(&format!("{id}-out"), 1);
        out.pin = Some(vec![at + DAY]);
        problem.activities.iter_mut().find(|of| of.id == id).unwrap().pin = Some(vec![at]);
        problem.activities.push(out);
        let mut rest = link(id, &format!("{id}-out"), 0, None);
        rest.store = vec![("rack".into(), 1)];
        problem.links.push(rest);
    }
    let told = names(&problem);
    assert!(told.contains(&"capacity:rack".to_owned()), "{told:?}");
    for id in ["a", "b", "c"] {
        let in_time = [format!("pin:{id}"), format!("work:{id}")];
        assert!(told.iter().any(|name| in_time.contains(name)), "{told:?}");
        assert!(told.contains(&format!("pin:{id}-out")), "{told:?}");
    }
}

#[test]
fn a_limit_of_a_day_is_named() {
    let mut problem = bench(vec![step("a", 4), step("b", 4)]);
    let limit = rackweek::plan::Limit { from: 0, to: DAY, kinds: None, max: 6 };
    problem.workers[0].limits = vec![limit];
    for activity in &mut problem.activities {
        activity.latest = Some(80);
    }
    let expected = ["latest:a", "latest:b", "limit:baker.0", "work:a", "work:b"];
    assert_eq!(names(&problem), expected);
}

#[test]
fn two_pairs_of_hands_do_not_do_three_things_at_once() {
    let mut problem = bench(vec![step("a", 3), step("b", 3), step("c", 3)]);
    let second = Worker { id: "helper".into(), ..problem.workers[0].clone() };
    problem.workers.push(second);
    for (activity, at) in problem.activities.iter_mut().zip([72, 73, 74]) {
        activity.workers.push("helper".into());
        activity.pin = Some(vec![at]);
    }
    let expected = ["pin:a", "pin:b", "pin:c", "work:a", "work:b", "work:c"];
    assert_eq!(names(&problem), expected);
    problem.activities[2].pin = Some(vec![75]);
    assert_eq!(names(&problem), ["not proven"]);
    // Together they have 2 × 16 slots: 7 pieces of 5 are too many, and so are 5, as each evening takes 2.
    let mut many = bench((0..7).map(|k| step(&format!("p{k}"), 5)).collect());
    many.workers.clone_from(&problem.workers);
    for activity in &mut many.activities {
        activity.workers.push("helper".into());
    }
    assert!(proven_impossible(&many, &requirements(&many), 1));
    many.activities.truncate(4);
    assert!(!proven_impossible(&many, &requirements(&many), 400));
}

#[test]
fn what_fits_only_in_one_order_takes_cases() {
    // Three pieces of 3 in windows of 8 and 8 fit (two and one); of 5 they do not.
    let fits = bench(vec![step("a", 3), step("b", 3), step("c", 3)]);
    assert_eq!(names(&fits), ["not proven"]);
    let tight = bench(vec![step("a", 5), step("b", 5), step("c", 5)]);
    assert_eq!(names(&tight), ["work:a", "work:b", "work:c"]);
}

#[test]
fn no_problem_with_a_plan_is_called_impossible() {
    let (mut planned_ones, mut impossible) = (0, 0);
    for seed in 0..120 {
        let evening = 11 + i32::try_from(seed % 9).unwrap();
        let recipe =
            Recipe { orders: 3, days: 5, helper: seed % 4 == 0, pins: seed % 2 == 0, evening };
        let problem = random_problem(seed, recipe);
        let all = requirements(&problem);
        let proven = proven_impossible(&problem, &all, 200);
        if planned(&problem, 20).objective.is_some() {
            assert!(!proven, "{}", problem.name);
            planned_ones += 1;
        }
        impossible += i32::from(proven);
    }
    assert!(15 < planned_ones && 15 < impossible, "{planned_ones} {impossible}");
}

#[test]
fn without_any_one_member_a_conflict_is_no_longer_proven() {
    let (mut found, mut sizes) = (0, Vec::new());
    for seed in 0..40 {
        let recipe = Recipe { orders: 3, days: 4, helper: false, pins: true, evening: 9 };
        let problem = random_problem(seed, recipe);
        let Conflict::Proven { members, smallest } = conflict(&problem, BUDGET) else { continue };
        assert!(smallest, "{}", problem.name);
        assert!(proven_impossible(&problem, &members, 4_000), "{}", problem.name);
        for gone in &members {
            let rest: Vec<Requirement> = members.iter().filter(|m| *m != gone).cloned().collect();
            assert!(!proven_impossible(&problem, &rest, 40), "{} {gone}", problem.name);
        }
        found += 1;
        sizes.push(members.len());
    }
    assert!(10 < found, "{found}");
    assert!(sizes.iter().all(|&n| (1..=20).contains(&n)), "{sizes:?}");
}

#[test]
fn a_small_budget_gives_a_conflict_that_is_proven_all_the_same() {
    let mut problem = bench(vec![step("coat", 4), step("pipe", 4), step("box", 1)]);
    problem.activities[0].pin = Some(vec![DAY + 72]);
    problem.activities[1].pin = Some(vec![DAY + 76]);
    problem.links = vec![link("coat", "pipe", 5, None)];
    assert_eq!(conflict(&problem, 0), Conflict::NotProven);
    let Conflict::Proven { members, smallest } = conflict(&problem, 3) else {
        panic!("one case proves it");
    };
    assert!(!smallest && 3 < members.len());
    assert!(proven_impossible(&problem, &members, 1));
}

/// Three pieces of 4 for one evening of 8 slots, to be handed over next morning.
fn too_much() -> Problem {
    let mut problem = bench(vec![step("a", 4), step("b", 4), step("c", 4)]);
    let mut handover = Activity { id: "handover".into(), segments: vec![0], ..Activity::default() };
    for at in [&mut handover.earliest, &mut handover.latest, &mut handover.due] {
        *at = Some(DAY + 32);
    }
    handover.late_weight = 10;
    problem.links = ["a", "b", "c"].map(|id| link(id, "handover", 0, None)).to_vec();
    problem.activities.push(handover);
    problem.weights = Weights { late: 5, evening: 3, stability: 1, ..Weights::default() };
    problem
}

fn explained(problem: &Problem) -> WhyNot {
    let mut why = WhyNot::new(problem, &planned(problem, 60), 0, 20_000);
    assert!(why.refine(u64::MAX));
    why
}

#[test]
fn what_helps_is_tried_and_ranked() {
    let problem = too_much();
    let why = explained(&problem);
    let Conflict::Proven { members, smallest: true } = why.conflict() else { panic!("is proven") };
    assert!(members.contains(&Requirement::Latest("handover".into())));
    let remedies: Vec<&Remedy> = why.remedies().iter().map(|tried| &tried.remedy).collect();
    let more = Remedy::MoreTime { worker: "baker".into(), windows: vec![0], slots: 4 };
    let helper = Remedy::Helper { worker: "baker".into(), window: 0 };
    // The second evening is long enough if the handover waits for it: 8 slots too late is not enough.
    let later = Remedy::LaterEnd { activity: "handover".into(), slots: 48 };
    assert_eq!(remedies, [&more, &helper, &later]);
    // By hand: 4 slots of hers; one piece of 4 by a helper at twice the price; 48 slots late.
    let costs: Vec<i64> = why.remedies().iter().map(|tried| tried.cost).collect();
    assert_eq!(costs, [4 * 3, 4 * 2 * 3, 48 * 10 * 5]);
}

/// A piece too long for every window, and two pins that contradict each other.
fn two_troubles() -> Problem {
    let mut problem = bench(vec![step("long", 10), step("a", 4), step("b", 4)]);
    problem.activities[1].pin = Some(vec![DAY + 72]);
    problem.activities[2].pin = Some(vec![DAY + 74]);
    problem.weights = Weights { late: 5, evening: 3, stability: 1, ..Weights::default() };
    problem
}

#[test]
fn where_nothing_helps_alone_several_things_are_given_together() {
    let problem = two_troubles();
    let why = explained(&problem);
    assert!(!why.remedies().is_empty());
    for tried in why.remedies() {
        let Remedy::Together(parts) = &tried.remedy else { panic!("{:?}", tried.remedy) };
        let unpins = parts.iter().filter(|part| matches!(part, Remedy::Unpin { .. })).count();
        assert!(1 <= unpins, "{parts:?}");
        let changed = tried.remedy.given(&problem).expect("can be given");
        assert_eq!(check(&changed, &tried.plan).breaches, []);
        // Each part is needed: without it the plan is not sound.
        for left_out in parts {
            let others = parts.iter().filter(|part| *part != left_out);
            let without = others.fold(problem.clone(), |so_far, part| part.given(&so_far).unwrap());
            assert_ne!(check(&without, &tried.plan).breaches, [], "{parts:?} {left_out:?}");
        }
    }
}

#[test]
fn no_more_time_is_asked_for_than_the_plan_needs() {
    // 10 slots for windows of 8: half an hour more in either is enough.
    let mut problem = bench(vec![step("long", 10)]);
    problem.weights = Weights { evening: 3, ..Weights::default() };
    let why = explained(&problem);
    let times: Vec<_> = why.remedies().iter().map(|tried| tried.remedy.clone()).collect();
    let half_an_hour = |remedy: &Remedy| matches!(remedy, Remedy::MoreTime { windows, slots: 2, .. } if windows.len() == 1);
    assert!(!times.is_empty() && times.iter().any(half_an_hour), "{times:?}");
    assert!(times.iter().all(|remedy| !matches!(remedy, Remedy::MoreTime { slots: 4.., .. })));
}

#[test]
fn every_remedy_gives_a_sound_plan() {
    let mut kinds = std::collections::HashSet::new();
    let mut helped = 0;
    for seed in 0..14 {
        let recipe = Recipe { orders: 2, days: 4, helper: false, pins: seed % 2 == 0, evening: 13 };
        let problem = random_problem(seed, recipe);
        let plan = planned(&problem, 60);
        if plan.objective.is_some() {
            continue;
        }
        let mut why = WhyNot::new(&problem, &plan, 0, 5_000);
        why.refine(4_000);
        assert!(why.remedies().is_sorted_by_key(|tried| tried.cost));
        for tried in why.remedies() {
            let changed = tried.remedy.given(&problem).expect("can be given");
            assert_eq!(check(&changed, &tried.plan).breaches, [], "{} {:?}", seed, tried.remedy);
            assert_ne!(check(&problem, &tried.plan).breaches, [], "it was needed");
            kinds.insert(std::mem::discriminant(&tried.remedy));
        }
        helped += i32::from(!why.remedies().is_empty());
    }
    assert!(4 < helped && 3 <= kinds.len(), "{helped} {kinds:?}");
}

#[test]
fn room_is_asked_for_only_as_long_and_as_much_as_needed() {
    let mut problem = bench(vec![step("a", 2), step("a-out", 1)]);
    problem.activities[0].pin = Some(vec![72]);
    problem.activities[1].pin = Some(vec![DAY + 72]);
    problem.resources[0].busy = vec![(80, 100, 1)];
    let mut rest = link("a", "a-out", 0, None);
    rest.store = vec![("rack".into(), 2)];
    problem.links = vec![rest];
    let why = explained(&problem);
    let room = Remedy::Room { resource: "rack".into(), from: 80, to: 100, amount: 1 };
    assert!(why.remedies().iter().any(|tried| tried.remedy == room), "{:?}", why.remedies());
}

#[test]
fn slices_do_not_change_what_helps() {
    let problem = too_much();
    let whole = explained(&problem);
    let mut sliced = WhyNot::new(&problem, &planned(&problem, 60), 0, 20_000);
    let mut slices = 0;
    while !sliced.refine(30) {
        slices += 1;
        assert!(slices < 1_000);
    }
    assert!(3 < slices);
    assert_eq!(sliced.remedies(), whole.remedies());
    assert_eq!(sliced.spent(), whole.spent());
}

#[test]
fn what_keeps_for_so_long_is_never_stretched() {
    for tried in explained(&too_much()).remedies() {
        let changed = tried.remedy.given(&too_much()).expect("can be given");
        assert_eq!(changed.links, too_much().links);
    }
}
