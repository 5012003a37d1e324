//! An order may let limits of quality give way: by so many hours, visibly, and never a limit for safety.
#![cfg(not(target_arch = "wasm32"))]

use rackweek::breakdown::Work;
use rackweek::calendar::{Date, Exception, ExceptionKind, Zone};
use rackweek::demo::demo;
use rackweek::order::{Handover, HandoverWay, Item, ItemId, Order, OrderId, Stage};
use rackweek::plan::check::check;
use rackweek::plan::{Link, Problem};
use rackweek::record::{Book, Outlook, PackedPlanner, PlanInput};

const HOURS: u16 = 30;

fn monday() -> Date {
    Date::new(2027, 2, 1).expect("a date")
}

/// The demo's baker with one order of a card for the second Saturday.
fn book(card: &str, past_best: u16) -> Book {
    let mut book = demo(monday().at(7 * 60));
    let like = book.orders.values().next().expect("an order").clone();
    let item =
        Item { id: ItemId(1), card: card.into(), count: 12, spares: 0, ..like.items[0].clone() };
    let item = Item { options: std::collections::BTreeMap::new(), ..item };
    let at = monday().plus_days(12).at(14 * 60);
    let handover = Handover { at, way: HandoverWay::Collection };
    let (id, stage) = (OrderId(1), Stage::Confirmed);
    let order = Order { id, stage, handover, items: vec![item], past_best, ..like };
    book.orders = [(id, order)].into();
    book
}

fn outlook(book: &Book) -> Outlook {
    let input = PlanInput { now: monday().at(7 * 60), zone: Zone::fixed("kitchen", 0) };
    Outlook::of(book, &input).expect("kitchen and time are set up")
}

/// Every limit of the work: what it is about, minutes, minutes past it, whether for safety.
fn limits(work: &Work) -> Vec<(String, u32, u32, bool)> {
    let of_rests = work.rests.iter().flat_map(|rest| {
        let with = rest.choices.iter().filter_map(|choice| Some((choice, choice.greatest?)));
        with.map(|(choice, most)| {
            (format!("{} {}", rest.id, choice.name), most, choice.over, choice.safety)
        })
    });
    let across = work.limits.iter();
    let across = across.map(|one| (one.id.clone(), one.greatest, one.over, one.safety));
    of_rests.chain(across).collect()
}

/// Greatest lags of the problem's links, each way of each.
fn greatest(problem: &Problem) -> Vec<Option<i32>> {
    let of = |link: &Link| -> Vec<Option<i32>> {
        if link.modes.is_empty() {
            vec![link.max]
        } else {
            link.modes.iter().map(|mode| mode.max).collect()
        }
    };
    problem.links.iter().flat_map(of).collect()
}

#[test]
fn only_quality_gives_way_on_every_card() {
    let (mut quality, mut safety) = (0, 0);
    for card in rackweek::card::builtin().into_iter().filter(|card| !card.component) {
        let (strict, soft) = (outlook(&book(&card.id, 0)), outlook(&book(&card.id, HOURS)));
        let (before, after) = (limits(&strict.work), limits(&soft.work));
        assert_eq!(before.len(), after.len());
        for (was, is) in before.iter().zip(&after) {
            assert_eq!((&was.0, was.1, was.3), (&is.0, is.1, is.3), "what the card says stays");
            assert_eq!(was.2, 0);
            assert_eq!(is.2, if is.3 { 0 } else { 60 * u32::from(HOURS) }, "{}", is.0);
            if is.3 { safety += 1 } else { quality += 1 }
        }
        // In the problem nothing is tighter, and nothing is looser by more than was allowed.
        let (strict, soft) = (&strict.assembled.problem, &soft.assembled.problem);
        let (was, is) = (greatest(strict), greatest(soft));
        assert_eq!(was.len(), is.len());
        for (was, is) in was.into_iter().zip(is) {
            assert_eq!(was.is_some(), is.is_some(), "{}", card.id);
            let more = is.unwrap_or(0) - was.unwrap_or(0);
            assert!((0..=i32::from(HOURS) * 4).contains(&more), "{}: {more} slots", card.id);
        }
    }
    assert!(20 < quality && 5 < safety, "{quality} of quality, {safety} for safety");
}

/// The baker is away from the Tuesday before the handover until it.
fn away(book: &mut Book) {
    let time = book.time.as_mut().expect("set up");
    for day in 8..13 {
        let exception = Exception {
            id: time.next_exception(),
            date: monday().plus_days(day),
            kind: ExceptionKind::NoBaking,
            label: "away".into(),
        };
        time.exceptions.push(exception);
    }
}

#[test]
fn an_order_that_cannot_be_fresh_fits_once_it_may_be_past_its_best() {
    let objective = |book: &Book| {
        let outlook = outlook(book);
        let problem = &outlook.assembled.problem;
        let standings = outlook.assembled.standings.as_ref();
        let mut planner = PackedPlanner::new(problem, 1, standings, None).expect("a sound problem");
        for _ in 0..200 {
            let progress = planner.improve(20);
            if progress.objective.is_some() || progress.finished {
                break;
            }
        }
        let plan = planner.plan();
        let breaches = check(planner.problem(), &plan).breaches;
        (plan.objective, breaches)
    };
    let mut strict = book("brownies", 0);
    away(&mut strict);
    let (none, breaches) = objective(&strict);
    assert_eq!(none, None, "brownies do not keep for five days");
    assert_ne!(breaches, []);
    let mut soft = book("brownies", 4 * 24);
    away(&mut soft);
    let (found, breaches) = objective(&soft);
    assert!(found.is_some());
    assert_eq!(breaches, []);
}
