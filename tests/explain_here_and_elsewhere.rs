//! Why a segment lies where it lies, where else it could, and what each preference costs.

mod explain_problems;

use explain_problems::{DAY, Recipe, link, planned, random_problem};
use rackweek::plan::check::check;
use rackweek::plan::explain::{Cause, Preference, Verdict, WhereElse, account, why_here};
use rackweek::plan::{Activity, Plan, Problem, Resource, Weights, Worker};

/// Three evenings: a base coat pinned to the first at 17:00, piping, boxing pinned to the third day at 08:00.
fn cookies() -> Problem {
    let step = |id: &str, length: i32| Activity {
        id: id.into(),
        segments: vec![length],
        workers: vec!["baker".into()],
        ..Activity::default()
    };
    let mut coat = step("coat", 4);
    coat.pin = Some(vec![68]);
    let mut boxing = step("box", 2);
    boxing.pin = Some(vec![2 * DAY + 32]);
    let mut dry = link("coat", "pipe", 5, None);
    dry.store = vec![("rack".into(), 1)];
    let mut keep = link("pipe", "box", 4, None);
    keep.store = vec![("rack".into(), 1)];
    Problem {
        format: "makeahead-sched/2".into(),
        name: "cookies".into(),
        grid_minutes: 15,
        slots_per_day: 96,
        horizon: 3 * DAY,
        workers: vec![Worker {
            id: "baker".into(),
            windows: vec![(64, 92), (DAY + 72, DAY + 92), (2 * DAY + 28, 2 * DAY + 60)],
            ..Worker::default()
        }],
        resources: vec![Resource { id: "rack".into(), capacity: 1, load_weight: 1, busy: vec![] }],
        activities: vec![coat, step("pipe", 4), boxing],
        links: vec![dry, keep],
        weights: Weights { load: 1, ..Weights::default() },
        ..Problem::default()
    }
}

fn with_pipe_at(start: i32) -> Plan {
    let mut plan = planned(&cookies(), 10);
    plan.starts.insert("pipe".into(), vec![start]);
    plan
}

#[test]
fn a_chain_ends_at_what_is_pinned() {
    let problem = cookies();
    let why = why_here(&problem, &with_pipe_at(77), "pipe", 0).unwrap();
    let told: Vec<_> = why.left.chain.iter().map(|h| (h.activity.as_str(), &h.cause)).collect();
    let coat =
        Cause::LeastLag { link: "coat>pipe".into(), other: "coat".into(), other_at: 72, lag: 5 };
    assert_eq!(told, [("pipe", &coat), ("coat", &Cause::Pinned { at: 68 })]);
    assert_eq!((why.left.slack, &why.left.nearby), (0, &None));
    // To the right it has room up to the end of its window.
    assert_eq!(why.right.slack, 88 - 77);
    assert_eq!(why.right.chain[0].cause, Cause::Window { worker: "baker".into() });
    assert_eq!(why.right.nearby.as_ref().map(|n| (n.start, n.dearer.total)), Some((78, 0)));
    // Last evening: beyond its end comes the night, and then boxing.
    let why = why_here(&problem, &with_pipe_at(DAY + 88), "pipe", 0).unwrap();
    let told: Vec<_> = why.right.chain.iter().map(|h| (h.activity.as_str(), &h.cause)).collect();
    let boxing = Cause::LeastLag {
        link: "pipe>box".into(),
        other: "box".into(),
        other_at: 2 * DAY + 32,
        lag: 4,
    };
    assert_eq!(told, [("pipe", &boxing), ("box", &Cause::Pinned { at: 2 * DAY + 32 })]);
    assert_eq!(why.possible, Some((77, DAY + 88)));
}

#[test]
fn what_is_not_there_has_no_reason() {
    assert_eq!(why_here(&cookies(), &Plan::default(), "pipe", 0), None);
    assert_eq!(why_here(&cookies(), &with_pipe_at(77), "pipe", 1), None);
    assert_eq!(why_here(&cookies(), &with_pipe_at(77), "cake", 0), None);
    assert_eq!(WhereElse::new(&cookies(), &with_pipe_at(77), "cake", 0).candidates(), []);
}

#[test]
fn a_busy_worker_and_a_full_rack_are_named() {
    let mut problem = cookies();
    problem.activities[0].pin = None;
    let mut plan = with_pipe_at(80);
    plan.starts.insert("coat".into(), vec![68]);
    let mut other = problem.activities[1].clone();
    other.id = "wash".into();
    problem.activities.push(other);
    plan.starts.insert("wash".into(), vec![76]);
    plan.worker.insert("wash".into(), vec![Some("baker".into())]);
    let why = why_here(&problem, &plan, "pipe", 0).unwrap();
    let busy =
        Cause::Busy { worker: "baker".into(), other: "wash".into(), segment: 0, from: 76, to: 80 };
    assert_eq!(why.left.chain[0].cause, busy);
    // The wash itself could go: it is not what the chain goes on with.
    assert_eq!(why.left.chain.len(), 1);
    problem.resources[0].busy = vec![(0, 72, 1)];
    let why = why_here(&problem, &plan, "coat", 0).unwrap();
    let full = Cause::Full { resource: "rack".into(), at: 71, missing: 1 };
    assert_eq!((why.left.slack, &why.left.chain[0].cause), (0, &full));
}

#[test]
fn a_segment_alone_goes_as_far_as_the_checker_lets_it() {
    let mut moves = 0;
    for seed in 0..16 {
        let recipe = Recipe { helper: seed % 2 == 0, pins: seed % 3 == 0, ..Recipe::default() };
        let problem = random_problem(seed, recipe);
        let plan = planned(&problem, 40);
        if !check(&problem, &plan).breaches.is_empty() {
            continue;
        }
        for activity in &problem.activities {
            for (segment, &here) in plan.starts[&activity.id].iter().enumerate() {
                let why = why_here(&problem, &plan, &activity.id, segment).unwrap();
                for (side, step) in [(&why.left, -1), (&why.right, 1)] {
                    assert!(!side.chain.is_empty(), "{} {}", problem.name, activity.id);
                    let sound = |start: i32| {
                        let mut moved = plan.clone();
                        moved.starts.get_mut(&activity.id).unwrap()[segment] = start;
                        let report = check(&problem, &moved);
                        (report.breaches.is_empty(), report.parts.total)
                    };
                    for k in 1..=side.slack {
                        assert!(sound(here + k * step).0, "{} {}", problem.name, activity.id);
                        moves += 1;
                    }
                    assert!(!sound(here + (side.slack + 1) * step).0);
                    if let Some(nearby) = &side.nearby {
                        let (good, total) = sound(nearby.start);
                        assert!(good, "{} {} {}", problem.name, activity.id, nearby.start);
                        assert_eq!(total - plan.objective.unwrap(), nearby.dearer.total);
                    }
                }
            }
        }
    }
    assert!(200 < moves, "{moves}");
}

#[test]
fn every_start_that_is_called_sound_is_planned_soundly() {
    let (mut sound, mut ruled_out) = (0, 0);
    for seed in 0..4 {
        let problem = random_problem(seed, Recipe { pins: true, ..Recipe::default() });
        let plan = planned(&problem, 60);
        if plan.objective.is_none() {
            continue;
        }
        for (activity, segment) in [("o0.fine", 0), ("o0.box", 0), ("o1.mix", 0)] {
            let mut answer = WhereElse::new(&problem, &plan, activity, segment);
            assert!(answer.candidates().is_sorted_by_key(|candidate| candidate.start));
            assert!(answer.refine(u64::MAX));
            let here = plan.starts[activity][segment];
            let at_home = answer.candidates().iter().find(|c| c.start == here).unwrap();
            assert!(matches!(at_home.verdict, Verdict::Sound { dearer, .. } if dearer.total <= 0));
            for candidate in answer.candidates() {
                match candidate.verdict {
                    Verdict::Sound { dearer, moved } => {
                        let new = answer.plan_at(candidate.start).unwrap();
                        let mut free = problem.clone();
                        free.activities.iter_mut().find(|a| a.id == activity).unwrap().pin = None;
                        let report = check(&free, &new);
                        assert_eq!(report.breaches, []);
                        assert_eq!(new.starts[activity][segment], candidate.start);
                        let more = report.parts.total - check(&free, &plan).parts.total;
                        assert_eq!(more, dearer.total);
                        assert!(moved < problem.activities.len());
                        sound += 1;
                    }
                    Verdict::NotFound => ruled_out += 1,
                    Verdict::Likely => panic!("everything is refined"),
                }
            }
        }
    }
    assert!(40 < sound, "{sound} sound, {ruled_out} not found");
}

#[test]
fn slices_do_not_change_the_answer() {
    let problem = random_problem(5, Recipe::default());
    let plan = planned(&problem, 60);
    let refined = |slice: u64| {
        let mut answer = WhereElse::new(&problem, &plan, "o0.fine", 1);
        for _ in 0..(6_000 / slice) {
            answer.refine(slice);
        }
        (answer.candidates().to_vec(), answer.spent())
    };
    let whole = refined(6_000);
    assert_eq!(refined(7 * 60), {
        let mut answer = WhereElse::new(&problem, &plan, "o0.fine", 1);
        answer.refine(6_000 / 420 * 420);
        (answer.candidates().to_vec(), answer.spent())
    });
    assert_eq!(refined(100), whole);
    assert_eq!(refined(1), whole);
}

#[test]
fn the_account_adds_up_to_the_objective() {
    let mut seen = std::collections::HashSet::new();
    for seed in 0..30 {
        let recipe = Recipe { helper: seed % 2 == 0, orders: 3, ..Recipe::default() };
        let mut problem = random_problem(seed, recipe);
        for activity in problem.activities.iter_mut().filter(|a| a.id.ends_with("mix")) {
            activity.reference = Some(vec![80]);
            activity.stab_weight = 2;
        }
        let plan = planned(&problem, 20);
        let parts = check(&problem, &plan).parts;
        let account = account(&problem, &plan);
        if plan.starts.values().any(Vec::is_empty) {
            continue;
        }
        let sum = |of: fn(&Preference) -> bool| account.cost(of);
        assert_eq!(
            sum(|p| matches!(p, Preference::OnTime(_) | Preference::NoCrunch(_))),
            parts.late,
            "{}",
            problem.name
        );
        assert_eq!(sum(|p| matches!(p, Preference::Room(_))), parts.load);
        assert_eq!(sum(|p| matches!(p, Preference::Fresh(_))), parts.age);
        assert_eq!(sum(|p| matches!(p, Preference::ShortEvening(..))), parts.evening);
        assert_eq!(sum(|p| matches!(p, Preference::Stay(_))), parts.stability);
        assert_eq!(sum(|p| matches!(p, Preference::UsualMode(_))), parts.mode);
        assert_eq!(account.total, parts.total);
        seen.extend(account.entries.iter().map(|entry| std::mem::discriminant(&entry.preference)));
    }
    assert!(5 <= seen.len(), "crunch, room, freshness, evenings, stability, modes: {}", seen.len());
}
