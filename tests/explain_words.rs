//! The explanations of the demo week, in the baker's words.

use std::collections::BTreeSet;

use rackweek::calendar::{Wall, Zone};
use rackweek::demo::demo;
use rackweek::plan::check::check;
use rackweek::plan::explain::{Conflict, HandTimes, WhyNot, risk};
use rackweek::plan::{Plan, Planner};
use rackweek::record::{Book, Command, Outlook, PlanInput};
use rackweek::week::{
    BlockKey, WeekInput, WhyWords, account_lines, conflict_words, odds, remedy_words,
};

fn now() -> Wall {
    "2026-11-23T07:00".parse().expect("a time")
}

struct Planned {
    book: Book,
    outlook: Outlook,
    plan: Plan,
}

fn planned(book: Book, evaluations: u64) -> Planned {
    let input = PlanInput { now: now(), zone: Zone::fixed("kitchen", 0) };
    let outlook = Outlook::of(&book, &input).expect("is set up");
    let mut planner = Planner::new(&outlook.assembled.problem, 1).expect("valid");
    planner.improve(evaluations);
    Planned { book, outlook, plan: planner.plan() }
}

fn asked<T>(week: &Planned, ask: impl Fn(WeekInput<'_>) -> T) -> T {
    let report = check(&week.outlook.assembled.problem, &week.plan);
    let unfolded = BTreeSet::new();
    ask(WeekInput {
        book: &week.book,
        outlook: &week.outlook,
        plan: &week.plan,
        report: &report,
        now: now(),
        first_day: 0,
        unfolded: &unfolded,
    })
}

/// No ids, no slots, no doubled words.
fn reads_well(line: &str) {
    for wrong in ["o1.", "o2.", "o3.", "o4.", "  ", "()", "Some(", "None"] {
        assert!(!line.contains(wrong), "{line}");
    }
    assert!(!line.ends_with('.') && !line.is_empty(), "{line}");
}

#[test]
fn every_sitting_of_the_demo_says_why_it_is_there() {
    let week = planned(demo(now()), 300);
    let mut told = 0;
    for step in &week.outlook.work.steps {
        for sitting in 0..step.sittings.len() {
            let key = BlockKey { step: step.id.clone(), sitting };
            let why = asked(&week, |input| WhyWords::of(input, &key)).expect("is placed");
            println!("{} → {} | {:?} | {:?}", step.name, why.line(), why.earlier, why.later);
            assert!(!why.left.is_empty() && !why.right.is_empty());
            reads_well(&why.line());
            for line in why.earlier.iter().chain(&why.later).chain(&why.range) {
                reads_well(line);
            }
            told += 1;
        }
    }
    assert!(20 < told);
    let nothing = BlockKey { step: week.outlook.work.steps[0].id.clone(), sitting: 99 };
    assert_eq!(asked(&week, |input| WhyWords::of(input, &nothing)), None);
}

#[test]
fn the_account_speaks_of_hours() {
    let week = planned(demo(now()), 300);
    let lines = asked(&week, account_lines);
    println!("{lines:#?}");
    for line in &lines {
        reads_well(&line.what);
        reads_well(&line.amount);
        assert!(!line.bad, "nothing is late in the demo");
    }
    let amount = |what: &str| {
        let line = lines.iter().find(|line| line.what.starts_with(what));
        line.map_or_else(|| panic!("{what} in {lines:?}"), |line| line.amount.as_str())
    };
    assert!(amount("Room taken in the fridge").ends_with(" shelf-hours"));
    assert!(amount("Finished or half-finished").ends_with([' ', 'h', 'n', 's']));
    // The preferences that cost nothing are named all the same.
    assert_eq!(amount("Moved away from where you last saw it"), "none");
    for what in ["Work in the last 24 h", "Evenings beyond"] {
        amount(what);
    }
}

#[test]
fn the_risk_names_orders_and_evenings() {
    let week = planned(demo(now()), 300);
    let found = risk(&week.outlook.assembled.problem, &week.plan, &HandTimes::default(), 400, 7);
    let odds = asked(&week, |input| odds(input, &found));
    println!("{odds:#?}");
    assert_eq!(odds.handovers.len(), week.outlook.work.handovers.len());
    for handover in &odds.handovers {
        reads_well(&handover.title);
        reads_well(&handover.ready);
        let own = found
            .handovers
            .iter()
            .find(|of| of.activity == format!("o{}.handover", handover.order.0));
        let own = own.expect("was played");
        assert_eq!(handover.chance.tenths().min(9), (own.on_time * 10 / found.runs).min(9));
    }
    assert!(odds.evenings.len() <= 3 && odds.helps.len() <= 2);
    for line in odds.evenings.iter().chain(&odds.helps) {
        reads_well(line);
    }
}

#[test]
fn an_impossible_pin_is_explained_with_what_helps() {
    let mut book = demo(now());
    let before = planned(book.clone(), 100);
    // The last piece of the first order is pinned to a working morning.
    let step = before.outlook.work.steps.iter().find(|step| step.id.0 == "o1.i1.pipe").expect("is");
    let start = "2026-11-24T10:00".parse().expect("a time");
    book.apply(Command::PinStep(step.id.clone(), vec![start; step.sittings.len()])).expect("taken");
    let week = planned(book, 100);
    let mut why = WhyNot::new(&week.outlook.assembled.problem, &week.plan, 28, 20_000);
    why.refine(3_000);
    assert!(matches!(why.conflict(), Conflict::Proven { smallest: true, .. }));
    let lines = asked(&week, |input| conflict_words(input, why.conflict()));
    let remedies: Vec<String> = why
        .remedies()
        .iter()
        .map(|tried| asked(&week, |input| remedy_words(input, tried)))
        .collect();
    println!("{lines:#?} {remedies:#?}");
    for line in lines.iter().chain(&remedies) {
        reads_well(line);
    }
    assert!(
        lines.iter().any(|line| line.contains("is pinned to Tuesday 24 Nov 10:00")),
        "{lines:?}"
    );
    assert!(remedies.iter().any(|line| line.contains("go from its pin")), "{remedies:?}");
}
