//! A remedy that the book can hold is taken by one command, and the week then has a sound plan.

use std::collections::BTreeSet;

use rackweek::calendar::{Wall, Zone};
use rackweek::demo::demo;
use rackweek::order::{Order, OrderId, Stage};
use rackweek::plan::check::check;
use rackweek::plan::explain::{Conflict, Remedy, WhyNot};
use rackweek::plan::{Plan, Planner};
use rackweek::record::{Book, Command, Outlook, PlanInput};
use rackweek::week::{
    WeekInput, conflict_headline, conflict_words, remedy_commands, remedy_words, seen_before,
    suggestions, trial_words,
};

fn now() -> Wall {
    "2026-11-23T07:00".parse().expect("a time")
}

struct Week {
    book: Book,
    outlook: Outlook,
    plan: Plan,
}

impl Week {
    fn of(book: Book, near: Option<&Plan>, evaluations: u64) -> Self {
        let input = PlanInput { now: now(), zone: Zone::fixed("kitchen", 0) };
        let outlook = Outlook::of(&book, &input).expect("is set up");
        let problem = &outlook.assembled.problem;
        let mut planner = match near {
            Some(near) => Planner::warm(problem, 1, near).expect("valid"),
            None => Planner::new(problem, 1).expect("valid"),
        };
        let mut spent = 0;
        while planner.improve(20).objective.is_none() && spent < evaluations {
            spent += 20;
        }
        let plan = planner.plan();
        Self { book, outlook, plan }
    }

    fn ask<T>(&self, ask: impl Fn(WeekInput<'_>) -> T) -> T {
        let report = check(&self.outlook.assembled.problem, &self.plan);
        ask(WeekInput {
            book: &self.book,
            outlook: &self.outlook,
            plan: &self.plan,
            report: &report,
            now: now(),
            first_day: 0,
            unfolded: &BTreeSet::new(),
        })
    }

    fn sound(&self) -> bool {
        check(&self.outlook.assembled.problem, &self.plan).breaches.is_empty()
    }
}

/// The demo's largest order, wanted on the Wednesday.
fn too_soon() -> Book {
    let mut book = demo(now());
    let order: Order = book.orders[&OrderId(3)].clone();
    let mut order = Order { stage: Stage::Confirmed, ..order };
    order.handover.at = "2026-11-25T20:00".parse().expect("a time");
    book.orders.insert(order.id, order);
    book
}

/// A step pinned to a working morning.
fn pinned_to_the_job() -> Book {
    let mut book = demo(now());
    let before = Week::of(book.clone(), None, 100);
    let step = before.outlook.work.steps.iter().find(|step| step.id.0 == "o1.i1.pipe").expect("is");
    let start = "2026-11-24T10:00".parse().expect("a time");
    book.apply(Command::PinStep(step.id.clone(), vec![start; step.sittings.len()])).expect("taken");
    book
}

/// No ids, no slots, no doubled words.
fn reads_well(line: &str) {
    for wrong in ["o1.", "o2.", "o3.", "o4.", "  ", "()", "Some(", "None"] {
        assert!(!line.contains(wrong), "{line}");
    }
    assert!(!line.ends_with('.') && !line.is_empty(), "{line}");
    let first = line.chars().next().expect("not empty");
    assert!(!first.is_lowercase(), "{line}");
}

fn every_command_works(book: Book, evaluations: u64) -> (Vec<String>, usize) {
    let week = Week::of(book, None, 200);
    assert!(!week.sound());
    let problem = &week.outlook.assembled.problem;
    let mut why = WhyNot::new(problem, &week.plan, 28, 4_000);
    why.refine(evaluations);
    assert!(matches!(why.conflict(), Conflict::Proven { .. }));
    let headline = week.ask(|input| conflict_headline(input, why.conflict()));
    let lines = week.ask(|input| conflict_words(input, why.conflict()));
    reads_well(&headline);
    for line in &lines {
        reads_well(line);
    }
    let mut taken = 0;
    for tried in why.remedies() {
        let words = week.ask(|input| remedy_words(input, tried));
        reads_well(&words);
        let command = week.ask(|input| remedy_commands(input, &tried.remedy));
        let Some(commands) = command else {
            // Somebody else's hands and room for some hours; hours that are not hers.
            let by_hand = |part: &Remedy| {
                matches!(
                    part,
                    Remedy::Helper { .. } | Remedy::Room { .. } | Remedy::MoreTime { .. }
                )
            };
            assert!(tried.remedy.parts().iter().any(by_hand), "{words}");
            continue;
        };
        let mut book = week.book.clone();
        for command in commands {
            book.apply(command).unwrap_or_else(|refusals| panic!("{words}: {refusals:?}"));
        }
        let with = Week::of(book, Some(&tried.plan), 400);
        let before = seen_before(&week.outlook);
        let clauses = with.ask(|input| trial_words(input, &before));
        assert!(clauses.iter().all(|clause| !clause.contains("o1.") && !clause.is_empty()));
        taken += usize::from(with.sound());
    }
    for suggestion in week.ask(|input| suggestions(input, why.conflict())) {
        reads_well(&suggestion.words);
        let mut book = week.book.clone();
        book.apply(suggestion.command).unwrap_or_else(|refusals| panic!("{refusals:?}"));
        let with = Week::of(book, Some(&week.plan), 200);
        taken += usize::from(with.sound());
    }
    (lines, taken)
}

#[test]
fn an_order_wanted_too_soon_is_helped_by_what_the_book_can_hold() {
    let (lines, taken) = every_command_works(too_soon(), 6_000);
    assert!(lines.iter().any(|line| line.contains("Ottoline Marsh")), "{lines:?}");
    assert!(2 <= taken, "at least a later handover, or not to make it");
}

#[test]
fn a_pin_in_the_way_is_let_go_by_one_command() {
    let (lines, taken) = every_command_works(pinned_to_the_job(), 3_000);
    assert!(
        lines.iter().any(|line| line.contains("is pinned to Tuesday 24 Nov 10:00")),
        "{lines:?}"
    );
    assert!(0 < taken);
}
