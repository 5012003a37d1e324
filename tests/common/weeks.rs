//! Weeks to hand on.

#![allow(dead_code, reason = "every test file uses another part of it")]

use std::collections::{BTreeMap, BTreeSet};

use rackweek::breakdown::{Longest, break_down_within};
use rackweek::calendar::{Date, Horizon, Span, Wall, Zone};
use rackweek::card::{Card, StepKind, builtin};
use rackweek::demo::demo;
use rackweek::kitchen::presets;
use rackweek::margin::Margins;
use rackweek::order::{Handover, HandoverWay, Item, ItemId, Order, OrderId};
use rackweek::plan::Planner;
use rackweek::plan::check::check;
use rackweek::record::{Book, Outlook, PlanInput};
use rackweek::share::{Choice, Named};
use rackweek::week::{BlockKind, Doing, DoingKind, WeekInput, doings};

/// What happens, and whose orders it is for.
pub(crate) struct Weeks {
    pub(crate) book: Book,
    pub(crate) horizon: Horizon,
    pub(crate) doings: Vec<Doing>,
    pub(crate) now: Wall,
}

impl Weeks {
    /// Everything, by theme and with allergies.
    pub(crate) fn all(&self) -> Choice {
        Choice {
            days: (0..70).map(|day| self.horizon.start.plus_days(day)).collect(),
            without: BTreeSet::new(),
            named: Named::Theme,
            allergies: true,
            note: String::new(),
        }
    }
}

/// The demo as it is planned, in a zone.
pub(crate) fn demo_weeks(zone: Zone) -> Weeks {
    let now = Date::new(2027, 2, 1).expect("a date").at(12 * 60);
    let book = demo(now);
    let outlook = Outlook::of(&book, &PlanInput { now, zone }).expect("all is set up");
    let mut planner = Planner::new(&outlook.assembled.problem, 1).expect("a sound problem");
    planner.improve(50);
    let plan = planner.plan();
    let report = check(&outlook.assembled.problem, &plan);
    let doings = doings(WeekInput {
        book: &book,
        outlook: &outlook,
        plan: &plan,
        report: &report,
        now,
        first_day: 0,
        unfolded: &BTreeSet::new(),
    });
    Weeks { horizon: outlook.horizon, doings, now, book }
}

/// So many sittings of every product that the built-in cards make, each of another number: as different as
/// a week can be. One order a product; the sittings stand one after the other in the evenings.
pub(crate) fn mixed_week(sittings: usize) -> Weeks {
    let now = Date::new(2027, 2, 1).expect("a date").at(9 * 60);
    let horizon = Horizon::from_monday_of(now.date(), 42, Zone::fixed("kitchen", 0));
    let cards = builtin();
    let known: Vec<&Card> = cards.iter().collect();
    let kitchen = presets().remove(0).kitchen;
    let mut orders = BTreeMap::new();
    for (index, card) in (1_u32..).zip(cards.iter().filter(|card| !card.component)) {
        let item = Item {
            id: ItemId(1),
            card: card.id.clone(),
            count: 5 + 7 * index,
            spares: index % 5,
            options: BTreeMap::new(),
            notes: "as last year".into(),
            versions: BTreeMap::new(),
        };
        let order = Order {
            theme: format!("theme {index}"),
            items: vec![item],
            allergies: if index % 3 == 0 { "no nuts".into() } else { String::new() },
            stage: rackweek::order::Stage::Confirmed,
            ..Order::new(
                OrderId(index),
                format!("Somebody {index}"),
                Handover { at: now.plus_minutes(60 * 24 * 10), way: HandoverWay::Collection },
            )
        };
        orders.insert(order.id, order);
    }
    let own: Vec<&Order> = orders.values().collect();
    let work = break_down_within(
        &own,
        &known,
        &kitchen,
        Longest { hands_on: 120, fine: 90 },
        &Margins::default(),
    );
    let mut doings = Vec::new();
    let mut at = now.date().at(18 * 60);
    for step in work.steps.iter().filter(|step| step.kind != StepKind::Wait) {
        for (index, minutes) in step.sittings.iter().enumerate() {
            let end = at.plus_minutes(i64::from(*minutes));
            let kind = match step.kind {
                StepKind::Fine => BlockKind::Fine,
                StepKind::Oven => BlockKind::Oven,
                _ => BlockKind::Plain,
            };
            doings.push(Doing {
                id: format!("{}#{index}", step.id.0),
                order: step.order,
                kind: DoingKind::Work(kind),
                span: Span { start: horizon.elapsed(at), end: horizon.elapsed(end) },
                title: step.name.clone(),
                product: step.product.clone(),
                detail: step.detail.clone(),
                part: (step.sittings.len() > 1).then_some((index + 1, step.sittings.len())),
                done: false,
            });
            let next = end.plus_minutes(15);
            at = if next.minute_of_day() > 22 * 60 || next.date() != at.date() {
                at.date().plus_days(1).at(18 * 60)
            } else {
                next
            };
        }
    }
    assert!(doings.len() >= sittings, "{}", doings.len());
    doings.truncate(sittings);
    Weeks { book: Book { orders, ..Book::default() }, horizon, doings, now }
}
