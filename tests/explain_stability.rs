//! After a small change what did not need to move has not moved: the demo book planned, shown, changed, planned again.

use rackweek::calendar::{Wall, Zone};
use rackweek::demo::demo;
use rackweek::order::OrderId;
use rackweek::plan::check::check;
use rackweek::plan::{Plan, Planner, possible_starts};
use rackweek::record::{Book, Command, Outlook, PlanInput};

fn now() -> Wall {
    "2026-11-23T07:00".parse().expect("a time")
}

fn outlook(book: &Book) -> Outlook {
    Outlook::of(book, &PlanInput { now: now(), zone: Zone::fixed("kitchen", 0) })
        .expect("is set up")
}

/// The demo book with a plan that was shown.
fn shown() -> (Book, Plan) {
    let mut book = demo(now());
    let first = outlook(&book);
    let mut planner = Planner::new(&first.assembled.problem, 1).expect("valid");
    planner.improve(600);
    let plan = planner.plan();
    book.apply(Command::Show(first.shown_from(&plan))).expect("is taken");
    (book, plan)
}

/// Planned again from what was shown: sittings that start elsewhere, of how many, not counting `own`.
fn moved(book: &Book, before: &Plan, own: &str) -> (usize, usize) {
    let after = outlook(book);
    let problem = &after.assembled.problem;
    let mut planner = Planner::warm(problem, 1, before).expect("valid");
    planner.improve(200);
    let plan = planner.plan();
    assert_eq!(check(problem, &plan).breaches, []);
    let (mut moved, mut all) = (0, 0);
    for activity in problem.activities.iter().filter(|of| !of.workers.is_empty()) {
        let (Some(old), Some(new)) =
            (before.starts.get(&activity.id), plan.starts.get(&activity.id))
        else {
            continue;
        };
        if activity.id.starts_with(own) {
            continue;
        }
        all += new.len();
        moved += if old.len() == new.len() {
            old.iter().zip(new).filter(|(old, new)| old != new).count()
        } else {
            new.len()
        };
    }
    (moved, all)
}

#[test]
fn a_few_more_pieces_move_little_else() {
    let (mut book, plan) = shown();
    let mut order = book.orders[&OrderId(1)].clone();
    order.items[0].count += 2;
    book.apply(Command::PutOrder(order)).expect("is taken");
    let (moved, all) = moved(&book, &plan, "o1.");
    // Another order's work is in the way at most where the longer sittings need its time: a fifth of it.
    assert!(5 * moved <= all, "{moved} of {all}");
}

#[test]
fn a_new_order_takes_free_time_first() {
    let (mut book, plan) = shown();
    let mut order = book.orders[&OrderId(1)].clone();
    order.id = OrderId(77);
    order.handover.at = order.handover.at.date().plus_days(5).at(15 * 60);
    order.items.truncate(1);
    book.apply(Command::PutOrder(order)).expect("is taken");
    let (moved, all) = moved(&book, &plan, "o77.");
    // It is due later than everything shown: there is room behind.
    assert!(5 * moved <= all, "{moved} of {all}");
}

#[test]
fn one_sitting_dragged_takes_only_its_neighbours_along() {
    let (mut book, plan) = shown();
    let before = outlook(&book);
    let problem = &before.assembled.problem;
    let step = before.work.steps.iter().find(|of| {
        let here = plan.starts.get(&of.id.0).and_then(|starts| starts.first().copied());
        of.sittings.len() == 1
            && possible_starts(problem, &plan, &of.id.0, 0)
                .iter()
                .any(|&(from, to)| here.is_some_and(|here| from <= here + 2 && here + 2 < to))
    });
    let step = step.expect("something can be dragged by half an hour");
    let here = plan.starts[&step.id.0][0];
    let grid = i32::from(problem.grid_minutes);
    let at = before.horizon.wall(rackweek::calendar::Elapsed((here + 2) * grid));
    book.apply(Command::PinStep(step.id.clone(), vec![at])).expect("is taken");
    let (moved, all) = moved(&book, &plan, &step.id.0);
    // What follows at once, and what stood where it goes now.
    assert!(10 * moved <= all, "{moved} of {all}");
}
