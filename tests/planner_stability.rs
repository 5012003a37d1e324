//! After a small change, what did not need to move has not moved.
//!
//! Whether a sitting needed to move is judged by the checker, which knows nothing of the planner: put back
//! alone where it stood, it breaks something.

#![cfg(not(target_arch = "wasm32"))]

use std::path::PathBuf;

use rackweek::plan::check::check;
use rackweek::plan::{Plan, Planner, Problem, possible_starts};

fn read(name: &str) -> Problem {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/data/problems");
    let text = std::fs::read_to_string(path.join(format!("{name}.json"))).expect("a readable file");
    Problem::from_json(&text).expect("a valid problem")
}

fn planned(problem: &Problem) -> Plan {
    let mut planner = Planner::new(problem, 1).expect("a valid problem");
    planner.improve(3_000);
    planner.plan()
}

/// Activities with hands that start elsewhere.
fn moved<'a>(problem: &'a Problem, before: &Plan, after: &Plan) -> Vec<&'a str> {
    let ids = problem.activities.iter().filter(|activity| !activity.workers.is_empty());
    ids.map(|activity| activity.id.as_str())
        .filter(|id| before.starts.get(*id) != after.starts.get(*id))
        .collect()
}

/// The problem with one sitting pinned elsewhere: the `nth` that can stand at least four slots away.
fn with_a_drag(problem: &Problem, plan: &Plan, nth: usize) -> Option<(Problem, String)> {
    let sittings = problem
        .activities
        .iter()
        .enumerate()
        .filter(|(_, activity)| !activity.workers.is_empty() && activity.segments.len() == 1);
    let (index, to) = sittings
        .filter_map(|(index, activity)| {
            let from = plan.starts[&activity.id][0];
            let spots = possible_starts(problem, plan, &activity.id, 0);
            let far = spots.iter().map(|spot| spot.0).filter(|start| (start - from).abs() >= 4);
            far.min_by_key(|start| (start - from).abs()).map(|start| (index, start))
        })
        .nth(nth)?;
    let mut dragged = problem.clone();
    dragged.activities[index].pin = Some(vec![to]);
    Some((dragged, problem.activities[index].id.clone()))
}

#[test]
fn a_drag_moves_only_what_stands_in_its_way() {
    let (mut tried, mut moves, mut sittings) = (0, 0, 0);
    for name in ["rich_o8_s21", "rich_o6_s19", "o6_s605", "helper_o7_s45"] {
        let problem = read(name);
        let before = planned(&problem);
        assert_eq!(check(&problem, &before).breaches, [], "{name}");
        for nth in 0..6 {
            let Some((dragged, id)) = with_a_drag(&problem, &before, nth) else { break };
            let after = Planner::warm(&dragged, 1, &before).expect("a valid problem").plan();
            if !check(&dragged, &after).breaches.is_empty() {
                // The bounds allow the start, the whole of the requirements perhaps does not.
                continue;
            }
            tried += 1;
            sittings += problem.activities.iter().filter(|other| !other.workers.is_empty()).count();
            for other in moved(&dragged, &before, &after) {
                moves += 1;
                if other == id {
                    continue;
                }
                let mut back = after.clone();
                back.starts.insert(other.to_owned(), before.starts[other].clone());
                back.worker.insert(other.to_owned(), before.worker[other].clone());
                assert_ne!(check(&dragged, &back).breaches, [], "{name}: {id} moved {other}");
            }
        }
    }
    assert!(tried >= 12, "{tried}");
    // Most of the week stands still: over all drags, chains pushed along with what was dragged included.
    assert!(moves * 4 < sittings, "{moves} of {sittings} sittings moved in {tried} drags");
}

#[test]
fn where_moving_costs_little_moves_however_long_the_search() {
    for name in ["rich_o8_s21", "rich_o6_s19", "o6_s605"] {
        let problem = read(name);
        let before = planned(&problem);
        let (mut dragged, id) = with_a_drag(&problem, &before, 1).expect("something to drag");
        dragged.weights.stability = 1_000;
        for activity in &mut dragged.activities {
            if !activity.workers.is_empty() && activity.id != id {
                activity.reference = before.starts.get(&activity.id).cloned();
                activity.stab_weight = 1;
            }
        }
        let mut planner = Planner::warm(&dragged, 1, &before).expect("a valid problem");
        let first = planner.plan();
        planner.improve(3_000);
        let after = planner.plan();
        assert_eq!(check(&dragged, &after).breaches, [], "{name}");
        assert!(first.objective >= after.objective, "{name}");
        let sittings = problem.activities.iter().filter(|of| !of.workers.is_empty()).count();
        let moves = moved(&dragged, &before, &after).len();
        assert!(moves >= 1 && moves * 4 < sittings, "{name}: {moves} of {sittings} moved");
    }
}

#[test]
fn what_was_shown_is_where_planning_begins() {
    let mut problem = read("rich_o6_s19");
    assert_eq!(problem.shown(), None, "nothing was shown yet");
    let before = planned(&problem);
    for activity in &mut problem.activities {
        activity.reference = Some(before.starts[&activity.id].clone());
    }
    let shown = problem.shown().expect("has references");
    let after = Planner::warm(&problem, 1, &shown).expect("a valid problem").plan();
    assert_eq!(check(&problem, &after).breaches, []);
    assert_eq!(moved(&problem, &before, &after), Vec::<&str>::new());
}
