//! Somebody helps in some hours: plain work may be theirs, fine handwork stays the baker's, and her limits are her own.
#![cfg(not(target_arch = "wasm32"))]

use std::collections::BTreeSet;

use rackweek::calendar::{Date, Exception, ExceptionKind, TimeOfDay, Zone};
use rackweek::demo::demo;
use rackweek::order::{Handover, HandoverWay, Item, ItemId, Order, OrderId, Stage};
use rackweek::plan::check::{Report, check};
use rackweek::plan::explain::HELPER;
use rackweek::plan::{Plan, Planner, Status};
use rackweek::record::{Book, Outlook, PlanInput};
use rackweek::week::{WeekInput, WeekView};

fn monday() -> Date {
    Date::new(2027, 2, 1).expect("a date")
}

/// So many cupcakes for Saturday morning and a baker whose evenings hold so many minutes.
fn book(helped: &[i64], evening: u16, count: u32) -> Book {
    let mut book = demo(monday().at(7 * 60));
    let like = book.orders.values().next().expect("an order").clone();
    let item = Item {
        id: ItemId(1),
        card: "cupcakes".into(),
        count,
        spares: 0,
        options: [].into(),
        ..like.items[0].clone()
    };
    let at = monday().plus_days(5).at(10 * 60);
    let handover = Handover { at, way: HandoverWay::Collection };
    let (id, stage) = (OrderId(1), Stage::Confirmed);
    book.orders = [(id, Order { id, stage, handover, items: vec![item], ..like })].into();
    let time = book.time.as_mut().expect("set up");
    time.exceptions.clear();
    time.limits.hands_on_workday = evening;
    for day in helped {
        time.exceptions.push(Exception {
            id: time.next_exception(),
            date: monday().plus_days(*day),
            kind: ExceptionKind::Helper { start: TimeOfDay(18 * 60), end: TimeOfDay(22 * 60) },
            label: "Nell".into(),
        });
    }
    book
}

fn planned(book: &Book) -> (Outlook, Plan) {
    let input = PlanInput { now: monday().at(7 * 60), zone: Zone::fixed("kitchen", 0) };
    let outlook = Outlook::of(book, &input).expect("kitchen and time are set up");
    let mut planner = Planner::new(&outlook.assembled.problem, 1).expect("a sound problem");
    for _ in 0..40 {
        if planner.improve(100).finished {
            break;
        }
    }
    let plan = planner.plan();
    (outlook, plan)
}

#[test]
fn a_helper_takes_plain_work_in_their_hours_and_nothing_fine() {
    let book = book(&[3, 4], 90, 36);
    let (outlook, plan) = planned(&book);
    let problem = &outlook.assembled.problem;
    assert!(plan.objective.is_some());
    assert_eq!(check(problem, &plan).breaches, []);
    let of = |kind: &str| -> BTreeSet<usize> {
        let kind = problem.activities.iter().filter(|of| of.kind.as_deref() == Some(kind));
        kind.filter(|of| !of.workers.is_empty()).map(|of| of.workers.len()).collect()
    };
    assert_eq!(of("plain"), [2].into(), "hers or theirs");
    assert_eq!(of("fine"), [1].into(), "hers");
    let helper = problem.workers.iter().find(|of| of.id == HELPER).expect("is there");
    // From 18:00 to 22:00 on Thursday and Friday, while she is at home; no limit of a day but their hours.
    let day = |day: i32| (day * 96 + 18 * 4, day * 96 + 22 * 4);
    assert_eq!(helper.windows, [day(3), day(4)]);
    assert!(helper.limits.is_empty());
    let before = plan.objective;
    let plan = outlook.assembled.relieved(plan);
    assert_eq!(check(problem, &plan).breaches, []);
    assert_eq!(plan.objective, Some(check(problem, &plan).parts.total));
    assert!(plan.objective <= before, "it costs nothing");
    // What they could do and do not is done while they do something else.
    let at = |who: &str| -> Vec<(i32, i32)> {
        let all = problem.activities.iter().filter(|of| of.workers.len() == 2);
        let each = all.flat_map(|of| {
            let spans = plan.starts[&of.id].iter().zip(&of.segments);
            spans.zip(&plan.worker[&of.id]).filter(|(_, by)| by.as_deref() == Some(who))
        });
        each.map(|((start, length), _)| (*start, start + length)).collect()
    };
    let theirs = at(HELPER);
    for (start, end) in at("baker") {
        let there = helper.windows.iter().any(|&(from, to)| from <= start && end <= to);
        let busy = theirs.iter().any(|&(from, to)| from < end && start < to);
        assert!(!there || busy, "{start} to {end} could be theirs");
    }
    let theirs: Vec<&String> = plan
        .worker
        .iter()
        .filter(|(_, who)| who.iter().any(|who| who.as_deref() == Some(HELPER)))
        .map(|(id, _)| id)
        .collect();
    assert!(!theirs.is_empty(), "with so little time of hers some of it is theirs");
    // The week says who it is, and counts it on no evening of hers.
    let (report, unfolded) = (Report::default(), BTreeSet::new());
    let (outlook, plan) = (&outlook, &plan);
    let now = monday().at(7 * 60);
    let input = WeekInput {
        book: &book,
        outlook,
        plan,
        report: &report,
        now,
        first_day: 0,
        unfolded: &unfolded,
    };
    let view = WeekView::of(input);
    let blocks = || view.days.iter().flat_map(|day| &day.blocks);
    let by: Vec<&str> = blocks().filter_map(|block| block.helper.as_deref()).collect();
    assert!(!by.is_empty() && by.iter().all(|name| *name == "Nell"), "{by:?}");
    for block in blocks() {
        assert_eq!(block.helper.is_some(), theirs.contains(&&block.key.step.0), "{}", block.name);
    }
    assert!(view.days.iter().all(|day| day.hands_on <= 6 * 60 + 30));
    let named = view.days.iter().flat_map(|day| &day.list);
    assert!(named.filter(|line| line.name.contains(", by Nell")).count() == by.len());
}

#[test]
fn what_is_too_much_for_her_alone_fits_with_a_helper() {
    let alone = planned(&book(&[], 60, 96)).1;
    assert_eq!(
        alone.status,
        Status::Infeasible,
        "not in five evenings of an hour, and that is proven"
    );
    let helped = planned(&book(&[3, 4], 60, 96)).1;
    assert!(helped.objective.is_some());
}
