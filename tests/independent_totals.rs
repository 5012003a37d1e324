//! Amounts and prices against a second reckoning in another language: `tests/independent/totals.py` works the cards out by
//! their documented rules, in whole fractions, and prices invented orders and quotes. To the milligram and the minor unit.
#![cfg(not(target_arch = "wasm32"))]

mod common;

use std::collections::{BTreeMap, BTreeSet};

use common::Bench;
use rackweek::calendar::Date;
use rackweek::kitchen::boxes::Container;
use rackweek::order::{Item, ItemId, OrderId};
use rackweek::quote::{Costs, Dues, Effort, Goods, Rates, tax};
use rackweek::supply::{Pack, Supplies, catalogue, good, goods_of, with_waste};
use serde::Deserialize;

#[derive(Deserialize)]
struct Totals {
    packs: BTreeMap<String, (u32, i64)>,
    kitchen: Put,
    orders: Vec<Ordered>,
    quotes: Vec<Quoted>,
}

/// What things are put into.
#[derive(Deserialize)]
struct Put {
    containers: Vec<Container>,
    tray: (u16, u16),
}

#[derive(Deserialize)]
struct Ordered {
    card: String,
    count: u32,
    spares: u32,
    options: BTreeMap<String, i64>,
    milli: BTreeMap<String, u64>,
    ingredients: i64,
    packaging: i64,
}

#[derive(Deserialize)]
struct Quoted {
    ingredients: i64,
    packaging: i64,
    hands_on: u32,
    oven: u32,
    road: u32,
    hour: i64,
    oven_hour: i64,
    road_hour: i64,
    overhead: u32,
    margin: u32,
    tax: u32,
    deposit: u32,
    costs: i64,
    price: i64,
    total: i64,
    at_once: i64,
}

fn totals() -> Totals {
    serde_json::from_str(include_str!("data/totals.json")).expect("as the script writes it")
}

#[test]
fn what_orders_use_up_and_cost_agrees_to_the_milligram_and_the_cent() {
    let Totals { packs, kitchen, orders, .. } = totals();
    assert_eq!(
        packs.keys().collect::<BTreeSet<_>>(),
        catalogue().iter().map(|good| &good.id).collect()
    );
    let packs =
        packs.into_iter().map(|(id, (size, price))| (id, vec![Pack { size, price: Some(price) }]));
    let supplies = Supplies { packs: packs.collect(), ..Supplies::default() };
    let mut bench = Bench::default();
    bench.kitchen.boxes.containers = kitchen.containers;
    for rack in &mut bench.kitchen.racks {
        (rack.tray_width, rack.tray_depth) = kitchen.tray;
    }
    let (mut cards, mut amounts) = (BTreeSet::new(), BTreeMap::new());
    for of in orders {
        let item = Item {
            id: ItemId(1),
            card: of.card.clone(),
            count: of.count,
            spares: of.spares,
            options: of.options.clone(),
            notes: String::new(),
            versions: BTreeMap::new(),
        };
        let work = bench.work(item);
        let mut milli: BTreeMap<String, u64> = BTreeMap::new();
        for used in &work.supplies {
            *milli.entry(used.of.clone()).or_default() += with_waste(used);
        }
        let what = format!("{} {} + {} {:?}", of.card, of.count, of.spares, of.options);
        assert_eq!(milli, of.milli, "{what}");
        let goods = goods_of(&work, OrderId(1), &supplies);
        let costs = (goods.ingredients, goods.packaging);
        assert_eq!(costs, (of.ingredients, of.packaging), "{what}");
        for id in milli.keys() {
            let kind = good(id).expect("of the catalogue").kind;
            *amounts.entry(kind).or_insert(0) += 1;
        }
        cards.insert(of.card);
    }
    let products = rackweek::card::builtin().into_iter().filter(|card| !card.component).count();
    assert_eq!(cards.len(), products);
    assert!(amounts.values().all(|count| 300 < *count), "{amounts:?}");
}

#[test]
fn quotes_agree_to_the_cent() {
    let quotes = totals().quotes;
    assert_eq!(quotes.len(), 200);
    for of in quotes {
        let rates = Rates {
            hour: of.hour,
            overhead: of.overhead,
            margin: of.margin,
            oven_hour: of.oven_hour,
            road_hour: of.road_hour,
            tax: of.tax,
            deposit: of.deposit,
            ..Rates::default()
        };
        let goods =
            Goods { ingredients: of.ingredients, packaging: of.packaging, unpriced: Vec::new() };
        let effort = Effort { hands_on: of.hands_on, oven: of.oven, road: of.road };
        let costs = Costs::of(&goods, effort, &rates);
        let price = costs.price(&rates);
        let total = price + tax(&[price], rates.tax, rates.rounding);
        let dues = Dues::of(total, Date::new(2026, 12, 1).expect("a date"), &rates);
        assert_eq!((costs.total(), price, total), (of.costs, of.price, of.total));
        assert_eq!((dues.deposit, dues.balance), (of.at_once, of.total - of.at_once));
    }
}
