//! The fit check: an enquiry is planned into a copy of the book.

use rackweek::calendar::{Wall, Zone};
use rackweek::demo::demo;
use rackweek::order::{Handover, HandoverWay, Item, ItemId, Order, OrderId, Stage};
use rackweek::plan::check::check;
use rackweek::record::{Book, Fit, FitAnswer, FitCheck, Outlook, PlanInput, fit_check};

fn wall(text: &str) -> Wall {
    text.parse().expect(text)
}

fn input() -> PlanInput {
    PlanInput { now: wall("2026-11-23T07:00"), zone: Zone::fixed("kitchen", 0) }
}

fn book() -> Book {
    demo(input().now)
}

fn enquiry(count: u32, at: &str) -> Order {
    Order {
        theme: "kites".into(),
        items: vec![Item {
            id: ItemId(1),
            card: "decorated-cookies".into(),
            count,
            spares: 4,
            options: std::collections::BTreeMap::new(),
            notes: String::new(),
            versions: std::collections::BTreeMap::new(),
        }],
        ..Order::new(
            OrderId(99),
            "Somebody new".into(),
            Handover { at: wall(at), way: HandoverWay::Collection },
        )
    }
}

fn checked(count: u32, at: &str) -> FitAnswer {
    fit_check(&book(), &input(), &enquiry(count, at), 1_200).expect("is set up")
}

#[test]
fn without_kitchen_or_time_there_is_no_answer() {
    let bare = Book { kitchen: None, ..book() };
    assert!(fit_check(&bare, &input(), &enquiry(12, "2026-12-12T15:00"), 100).is_none());
}

#[test]
fn a_small_order_far_ahead_fits_and_the_plan_shows_it() {
    let answer = checked(12, "2026-12-19T15:00");
    assert_eq!(answer.fit, Fit::Fits, "{:?} {:?}", answer.report.breaches, answer.notes);
    let report = check(&answer.outlook.assembled.problem, &answer.plan);
    assert_eq!(report.breaches, []);
    assert!(answer.plan.starts.keys().any(|id| id.starts_with("o99.")));
    assert!(answer.not_before.is_none() && answer.remedies.is_empty());
}

#[test]
fn tomorrow_is_too_soon_and_a_later_date_is_found() {
    let answer = checked(24, "2026-11-24T12:00");
    assert!(matches!(answer.fit, Fit::FitsIf | Fit::NotBefore), "{:?}", answer.fit);
    let at = answer.not_before.expect("some week has room");
    assert_eq!(at.minute_of_day(), 12 * 60);
    assert!(wall("2026-11-25T00:00") < at && at < wall("2026-12-20T00:00"), "{at}");
    // Planning it at that date really works.
    let mut order = enquiry(24, "2026-11-24T12:00");
    order.handover.at = at;
    let then = fit_check(&book(), &input(), &order, 1_200).expect("is set up");
    assert_eq!(then.fit, Fit::Fits);
    for tried in &answer.remedies {
        let changed = tried.remedy.given(&answer.outlook.assembled.problem).expect("can be given");
        assert_eq!(check(&changed, &tried.plan).breaches, [], "{:?}", tried.remedy);
    }
}

#[test]
fn a_handover_that_lies_behind_is_not_planned_and_said() {
    let answer = checked(12, "2026-11-01T12:00");
    assert_eq!(answer.fit, Fit::NotPlanned);
    assert!(!answer.notes.is_empty());
}

#[test]
fn who_waits_is_told_the_short_answer_first_and_then_more() {
    let order = enquiry(36, "2026-11-27T12:00");
    let mut check = FitCheck::new(&book(), &input(), &order, 400).expect("is set up");
    assert!(check.answer().is_none(), "nothing is known before anything is planned");
    let (mut first, mut steps, mut found) = (None, 0, 0);
    while check.step() {
        steps += 1;
        let Some(answer) = check.answer() else { continue };
        first = first.or(Some(answer.fit));
        let more = answer.remedies.len() + answer.spares.len();
        assert!(found <= more, "what was found is not taken back");
        found = more;
    }
    assert_eq!(first, Some(Fit::NotAsAsked));
    assert!(steps > 3);
    let whole = fit_check(&book(), &input(), &order, 400).expect("is set up");
    let told = check.answer().expect("all is done");
    assert_eq!((told.fit, &told.plan, told.not_before), (whole.fit, &whole.plan, whole.not_before));
    assert_eq!(told.remedies, whole.remedies);
    assert_eq!(told.spares, whole.spares);
}

#[test]
fn fewer_spares_are_planned_before_they_are_named() {
    let order = enquiry(36, "2026-11-27T12:00");
    let answer = fit_check(&book(), &input(), &order, 400).expect("is set up");
    for fewer in &answer.spares {
        let mut with = book();
        let mut less = Order { stage: Stage::Confirmed, ..order.clone() };
        less.items[0].spares = fewer.spares;
        with.orders.insert(less.id, less);
        let outlook = Outlook::of(&with, &input()).expect("is set up");
        assert_eq!(check(&outlook.assembled.problem, &fewer.plan).breaches, []);
    }
}

#[test]
fn the_same_question_has_the_same_answer() {
    let order = enquiry(36, "2026-11-27T12:00");
    let asked = || fit_check(&book(), &input(), &order, 400).expect("is set up");
    let (one, two) = (asked(), asked());
    assert_eq!(one.plan, two.plan);
    assert_eq!((one.fit, one.not_before), (two.fit, two.not_before));
    assert_eq!(one.remedies, two.remedies);
}
