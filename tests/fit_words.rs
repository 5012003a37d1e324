//! “Can I take this?” is answered in words that say what it takes and what it costs.

use std::collections::BTreeMap;

use rackweek::calendar::{Wall, Zone};
use rackweek::card::StepKind;
use rackweek::demo::demo;
use rackweek::order::{Handover, HandoverWay, Item, ItemId, Order, OrderId};
use rackweek::plan::check::check;
use rackweek::plan::explain::{Remedy, Tried};
use rackweek::record::{
    Book, Command, FewerSpares, Fit, FitAnswer, Outlook, PackedPlanner, PlanInput, fit_check,
};
use rackweek::week::{FitWords, Take, TrialChange, TrialWeek, Verdict, fit_words};

fn wall(text: &str) -> Wall {
    text.parse().expect(text)
}

fn input() -> PlanInput {
    PlanInput { now: wall("2026-11-30T07:00"), zone: Zone::fixed("kitchen", 0) }
}

/// The demo with its week planned and seen.
fn book() -> Book {
    let mut book = demo(input().now);
    let outlook = Outlook::of(&book, &input()).expect("is set up");
    let standings = outlook.assembled.standings.as_ref();
    // What was seen was packed: else it would have to move for want of room.
    let mut planner = PackedPlanner::new(&outlook.assembled.problem, 1, standings, None)
        .expect("a valid problem");
    planner.improve(200);
    let plan = planner.plan();
    assert_eq!(check(planner.problem(), &plan).breaches, [], "the demo's week is sound");
    book.apply(Command::Show(outlook.shown_from(&plan))).expect("is taken");
    book
}

fn enquiry(card: &str, count: u32, spares: u32, at: &str) -> Order {
    Order {
        items: vec![Item {
            id: ItemId(1),
            card: card.into(),
            count,
            spares,
            options: BTreeMap::new(),
            notes: String::new(),
            versions: std::collections::BTreeMap::new(),
        }],
        ..Order::new(
            OrderId(99),
            "the client".into(),
            Handover { at: wall(at), way: HandoverWay::Collection },
        )
    }
}

fn asked(order: &Order) -> (FitAnswer, FitWords) {
    let book = book();
    let answer = fit_check(&book, &input(), order, 800).expect("is set up");
    let words = fit_words(&book, &input(), order, &answer);
    (answer, words)
}

/// How many sittings an order has in a week that was planned.
fn sittings(answer: &FitAnswer, order: &Order) -> usize {
    let own = answer.outlook.work.steps.iter().filter(|step| step.order == order.id);
    own.filter(|step| step.kind != StepKind::Wait).map(|step| step.sittings.len()).sum()
}

/// Every sitting of the order is in the trial, and everything lies on the scale.
fn demand_whole(week: &TrialWeek, answer: &FitAnswer, order: &Order) {
    assert_eq!(week.added(), sittings(answer, order));
    assert!(week.days.iter().any(|day| day.leaves.is_some()), "it ends with the handover");
    for day in &week.days {
        for sitting in &day.sittings {
            assert!(0 < sitting.width && 0 < sitting.height, "{sitting:?}");
            assert!(0 <= sitting.left && sitting.left + sitting.width <= 1000, "{sitting:?}");
            assert!(0 <= sitting.top && sitting.top + sitting.height <= 1000, "{sitting:?}");
        }
        for (left, width) in &day.free {
            assert!(0 <= *left && left + width <= 1000);
        }
    }
    assert!(week.hours.is_sorted());
}

fn moved(week: &TrialWeek) -> usize {
    let all = week.days.iter().flat_map(|day| &day.sittings);
    all.filter(|sitting| matches!(sitting.change, TrialChange::Moved(_))).count()
}

#[test]
fn what_fits_says_when_it_is_worked_on_and_for_how_long() {
    let order = enquiry("decorated-cookies", 12, 2, "2026-12-18T15:00");
    let (answer, words) = asked(&order);
    assert_eq!(words.verdict, Verdict::Fits);
    assert_eq!(words.headline, "It fits");
    assert_eq!(words.asked, order.handover.at);
    assert!(
        words.said.starts_with("It fits: ") && words.said.ends_with(" by hand"),
        "{}",
        words.said
    );
    assert!(words.short.contains(|c: char| c.is_ascii_digit()), "which Sunday: {}", words.short);
    assert!(words.lines[0].contains("fine handwork"), "{:?}", words.lines);
    for day in &words.days {
        let part = ["morning", "afternoon", "evening"].iter().any(|part| day.contains(part));
        assert!(part && day.contains("Dec"), "{day}");
    }
    assert!(words.ways.is_empty() && words.why.is_empty() && words.not_before.is_none());
    let week = words.week.expect("it fits");
    demand_whole(&week, &answer, &order);
    assert_eq!(moved(&week) == 0, words.lines[1] == "Nothing else moves.", "{:?}", words.lines);
}

#[test]
fn what_has_been_shown_stays_where_it_was_where_there_is_room_beside_it() {
    for count in [12, 24] {
        let (answer, words) = asked(&enquiry("decorated-cookies", count, 2, "2026-12-18T10:00"));
        assert_eq!(words.verdict, Verdict::Fits, "{count}");
        assert_eq!(answer.moved, [], "{count}");
        assert_eq!(words.lines[1], "Nothing else moves.");
        assert_eq!(moved(&words.week.expect("it fits")), 0);
    }
}

#[test]
fn where_something_must_move_most_of_the_rest_does_not() {
    let (answer, words) = asked(&enquiry("decorated-cookies", 12, 2, "2026-12-12T10:00"));
    assert_eq!(words.verdict, Verdict::Fits);
    let others = answer.outlook.work.steps.iter().filter(|step| step.order != OrderId(99)).count();
    assert!(answer.moved.len() * 4 <= others, "{} of {others} move", answer.moved.len());
}

#[test]
fn a_tight_week_names_each_way_out_with_its_cost_and_shows_its_week() {
    let order = enquiry("decorated-cookies", 40, 4, "2026-12-04T18:00");
    let (answer, words) = asked(&order);
    assert_eq!(words.verdict, Verdict::FitsIf, "{:?}", answer.conflict);
    assert!(!words.ways.is_empty() && words.ways.len() <= 6);
    assert!(words.said.starts_with("It fits with: "), "{}", words.said);
    for way in &words.ways {
        assert!(way.cost.len() > 1 || matches!(way.take, Some(Take::Spares(..))), "{way:?}");
        if let Some(week) = &way.week {
            // With fewer spares there is less to do.
            if !matches!(way.take, Some(Take::Spares(..))) {
                demand_whole(week, &answer, &order);
            }
            assert!(week.added() > 0);
            assert_eq!(
                moved(week) == 0,
                way.cost.iter().any(|cost| cost == "nothing else moves"),
                "{way:?}"
            );
        }
    }
    assert!(words.week.is_none(), "as asked there is no week to show");
}

#[test]
fn remedies_say_whose_time_they_take() {
    let order = enquiry("decorated-cookies", 12, 2, "2026-12-18T15:00");
    let (mut answer, _) = asked(&order);
    let tried = |remedy| Tried { remedy, plan: answer.plan.clone(), cost: 0, modes: Vec::new() };
    let handover = "o99.handover".to_owned();
    answer.remedies = vec![
        tried(Remedy::MoreTime { worker: "baker".into(), windows: vec![1], slots: 4 }),
        tried(Remedy::Helper { worker: "baker".into(), window: 1 }),
        tried(Remedy::LaterEnd { activity: handover, slots: 96 }),
    ];
    answer.fit = Fit::FitsIf;
    answer.spares = vec![FewerSpares { item: ItemId(1), spares: 1, plan: answer.plan.clone() }];
    let words = fit_words(&book(), &input(), &order, &answer);
    let what: Vec<&str> = words.ways.iter().map(|way| way.what.as_str()).collect();
    assert_eq!(what[0], "1 instead of 2 spares of Decorated cookies");
    assert!(what[1].starts_with("A helper on Monday 30 Nov"), "whose time is not used: {what:?}");
    assert!(what[2].starts_with("1 h more on Monday 30 Nov, "), "{what:?}");
    assert_eq!(what[3], "Hand over on Saturday 19 Dec, 15:00 instead");
    assert!(words.ways[2].cost.contains(&"1 h of your own time".to_owned()));
    assert!(words.ways[3].cost.contains(&"the client waits 24 h longer".to_owned()));
    assert_eq!(words.ways[0].take, Some(Take::Spares(ItemId(1), 1)));
    assert_eq!(words.ways[3].take, Some(Take::Handover(wall("2026-12-19T15:00"))));
    assert_eq!(words.said, format!("It fits with: {}; or one of 3 other ways", what[0]));

    // A later day than the first that fits as it is would be no help.
    answer.not_before = Some(wall("2026-12-19T15:00"));
    let words = fit_words(&book(), &input(), &order, &answer);
    assert_eq!(words.ways.len(), 3);
    answer.remedies.retain(|tried| matches!(tried.remedy, Remedy::LaterEnd { .. }));
    answer.spares.clear();
    let words = fit_words(&book(), &input(), &order, &answer);
    assert_eq!((words.verdict, words.ways.len()), (Verdict::NotBefore, 0));
}

#[test]
fn where_only_a_later_day_helps_that_day_is_the_answer() {
    let order = enquiry("decorated-cookies", 12, 2, "2026-12-18T15:00");
    let (mut answer, _) = asked(&order);
    (answer.fit, answer.not_before) = (Fit::NotBefore, Some(wall("2026-12-19T15:00")));
    let words = fit_words(&book(), &input(), &order, &answer);
    assert_eq!(words.headline, "Not before Saturday 19 Dec, 15:00");
    assert_eq!(words.not_before, answer.not_before);
    (answer.fit, answer.not_before) = (Fit::NoWay, None);
    let words = fit_words(&book(), &input(), &order, &answer);
    assert!(words.lines[0].contains("time spent on looking"), "no proof is claimed: {words:?}");
}

#[test]
fn what_is_not_planned_says_why() {
    let (_, words) = asked(&enquiry("cupcakes", 12, 2, "2026-11-20T15:00"));
    assert_eq!(words.verdict, Verdict::NotPlanned);
    assert!(words.lines.iter().any(|line| line.contains("before this week")), "{:?}", words.lines);
}
