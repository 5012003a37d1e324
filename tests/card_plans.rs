//! Every built-in product, alone and together, breaks down, plans without breach and is packed at every moment.
#![cfg(not(target_arch = "wasm32"))]

use std::collections::BTreeMap;

use rackweek::breakdown::Standings;
use rackweek::calendar::{Date, Wall, Zone};
use rackweek::card::{Card, builtin};
use rackweek::demo::demo;
use rackweek::kitchen::stow::{Fit, stow, verify};
use rackweek::kitchen::{Household, Place, Stay, presets};
use rackweek::order::{Handover, HandoverWay, Item, ItemId, Order, OrderId};
use rackweek::plan::check::check;
use rackweek::record::{Book, Outlook, PackedPlanner, PlanInput};

/// For each question put to the packer by the checks here.
const NODES: u64 = 20_000;

fn monday() -> Date {
    Date::new(2027, 2, 1).expect("a date")
}

fn products() -> Vec<Card> {
    builtin().into_iter().filter(|card| !card.component).collect()
}

fn item(number: u32, card: &str, count: u32, options: &[(&str, i64)]) -> Item {
    let options: BTreeMap<String, i64> =
        options.iter().map(|(id, value)| ((*id).to_owned(), *value)).collect();
    let like = demo(monday().at(0)).orders.values().next().expect("an order").items[0].clone();
    Item { id: ItemId(number), card: card.into(), count, spares: 0, options, ..like }
}

/// The demo's baker with these orders instead: day from the Monday, hour, items.
fn book(orders: Vec<(i64, u16, Vec<Item>)>) -> Book {
    let mut book = demo(monday().at(7 * 60));
    let like = book.orders.values().next().expect("an order").clone();
    book.orders = (1..)
        .zip(orders)
        .map(|(number, (day, hour, items))| {
            let at = monday().plus_days(day).at(hour * 60);
            let handover = Handover { at, way: HandoverWay::Collection };
            let id = OrderId(number);
            (id, Order { id, client: format!("Client {number}"), handover, items, ..like.clone() })
        })
        .collect();
    book
}

fn outlook(book: &Book, now: Wall) -> Outlook {
    let input = PlanInput { now, zone: Zone::fixed("kitchen", 0) };
    Outlook::of(book, &input).expect("kitchen and time are set up")
}

/// Plans until something packed is there, and judges it by the separate checker and packer. The number of moments
/// in which anything stands.
fn planned(book: &Book, what: &str, evaluations: u64) -> usize {
    let outlook = outlook(book, monday().at(7 * 60));
    for note in &outlook.work.notes {
        assert!(!note.problem, "{what}: {}", note.text);
    }
    let problem = &outlook.assembled.problem;
    let standings: &Standings = outlook.assembled.standings.as_ref().expect("a kitchen");
    let mut planner =
        PackedPlanner::new(problem, 1, Some(standings), None).expect("a sound problem");
    for _ in 0..evaluations / 20 {
        let progress = planner.improve(20);
        if progress.objective.is_some() || progress.finished {
            break;
        }
    }
    let plan = planner.plan();
    assert!(plan.objective.is_some(), "{what}: no packed plan");
    assert_eq!(check(planner.problem(), &plan).breaches, [], "{what}");
    let stays = standings.stays(planner.problem(), &plan);
    let stays: Vec<Stay> = stays.into_iter().map(|(_, stay)| stay).collect();
    let stowed = stow(&standings.kitchen, &standings.horizon, &stays, NODES);
    let wrong = verify(&standings.kitchen, &standings.horizon, &stays, &stowed);
    assert_eq!(wrong, Vec::<String>::new(), "{what}");
    let mut moments = 0;
    for place in &stowed {
        assert_eq!(place.unfit, [], "{what}");
        assert!(place.moments.iter().all(|moment| moment.fits == Fit::Packed), "{what}");
        moments += place.moments.iter().filter(|moment| !moment.standing.is_empty()).count();
    }
    moments
}

/// As many as an order usually has.
fn usual(card: &str) -> u32 {
    match card {
        "tall-layer-cake" | "sheet-cake" | "cheesecake" => 1,
        "tartlets" | "cupcakes" => 12,
        _ => 24,
    }
}

#[test]
fn every_product_alone_is_planned_and_packed_in_the_demo_kitchen() {
    for card in products() {
        let items = vec![item(1, &card.id, usual(&card.id), &[])];
        let moments = planned(&book(vec![(12, 14, items)]), &card.id, 6_000);
        assert!(1 < moments, "{}: something stands somewhere", card.id);
    }
}

#[test]
fn every_product_alone_is_planned_and_packed_beside_a_family_s_full_fridge() {
    for card in products() {
        let items = vec![item(1, &card.id, usual(&card.id), &[])];
        let mut book = book(vec![(12, 14, items)]);
        let kitchen = book.kitchen.as_mut().expect("a kitchen");
        *kitchen = presets()[0].kitchen.clone();
        // The family keeps all of the fridge but its two large shelves.
        for (index, shelf) in kitchen.fridge.iter_mut().enumerate() {
            let theirs = !matches!(index, 1 | 2);
            shelf.household = if theirs { Household::Whole } else { Household::Nothing };
        }
        let free = kitchen.free_shelves(Place::Fridge).len();
        assert_eq!(free, 2);
        planned(&book, &card.id, 6_000);
    }
}

/// Every option that a product can have switched the other way, one at a time.
#[test]
fn every_switch_of_every_product_can_be_planned_the_other_way() {
    let mut tried = 0;
    for card in products() {
        for option in &card.options {
            let other = match option.kind {
                rackweek::card::OptionKind::Switch => 1 - option.default,
                rackweek::card::OptionKind::Count { min, max } if max - min <= 10 => {
                    if option.default == max { min } else { option.default + 1 }
                }
                _ => continue,
            };
            // A fifth layer is higher than this fridge's shelves: the breakdown says so, and one fewer is tried.
            let other = if option.id == "layers" { option.default - 1 } else { other };
            // A sheet with cream-cheese frosting needs a fridge that takes it: a smaller one here.
            let mut options = vec![(option.id.as_str(), other)];
            if card.id == "sheet-cake" {
                options.extend([("width", 203), ("depth", 203)]);
            }
            // Several tiers need shelves of their own: small ones here.
            if option.id == "tiers" {
                options.extend([("diameter", 150), ("layers", 2)]);
            }
            let count = usual(&card.id).min(12);
            let items = vec![item(1, &card.id, count, &options)];
            planned(&book(vec![(13, 14, items)]), &format!("{} {}", card.id, option.id), 6_000);
            tried += 1;
        }
    }
    assert!(50 < tried, "only {tried}");
}

/// A small seeded source of numbers.
struct Draw(u64);

impl Draw {
    fn below(&mut self, most: u64) -> u64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % most
    }
}

/// Every product once or more over four weeks, an order or two each Saturday, Sunday and Wednesday, in invented
/// amounts.
fn month(seed: u64) -> Book {
    let mut draw = Draw(seed);
    let mut names: Vec<String> = products().into_iter().map(|card| card.id).collect();
    for at in (1..names.len()).rev() {
        let with = usize::try_from(draw.below(at as u64 + 1)).expect("small");
        names.swap(at, with);
    }
    let mut days = Vec::new();
    for week in 1..=4_i64 {
        for day in [2, 5, 5, 6] {
            days.push((week * 7 + day, 12 + u16::try_from(draw.below(7)).expect("small")));
        }
    }
    let orders = days
        .into_iter()
        .zip(names.iter().cycle())
        .map(|((day, hour), name)| {
            let most = u64::from(usual(name));
            let count = most.div_ceil(2) + draw.below(most.div_ceil(2));
            (day, hour, vec![item(1, name, u32::try_from(count).expect("small"), &[])])
        })
        .collect();
    book(orders)
}

#[test]
fn a_month_of_invented_orders_through_all_cards_is_planned_and_packed() {
    for seed in 1..=4 {
        let mut book = month(seed);
        // A cheesecake and a tall cake on one day need a tall shelf each: the family leaves her two.
        let kitchen = book.kitchen.as_mut().expect("a kitchen");
        for shelf in &mut kitchen.fridge[1..=2] {
            shelf.household = Household::Nothing;
        }
        assert_eq!(book.orders.len(), 16);
        let made: std::collections::BTreeSet<&str> =
            book.orders.values().map(|order| order.items[0].card.as_str()).collect();
        assert_eq!(made.len(), products().len(), "all products");
        let moments = planned(&book, &format!("month {seed}"), 12_000);
        assert!(80 < moments, "{moments} moments");
    }
}
