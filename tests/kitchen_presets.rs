//! Kitchens to start from: what a first order of the common products comes to in them.
#![cfg(not(target_arch = "wasm32"))]

mod common;

use std::collections::BTreeSet;

use common::{item, order};
use rackweek::calendar::{Wall, Zone};
use rackweek::demo::demo;
use rackweek::kitchen::{Kitchen, presets};
use rackweek::order::{Item, ItemId, OrderId};
use rackweek::plan::Planner;
use rackweek::plan::check::check;
use rackweek::record::{Book, Outlook, PlanInput};

/// Two dozen cookies, twenty pops and a tall cake for a Saturday in twelve days, in one order.
fn first_order(kitchen: Kitchen) -> Outlook {
    let now = Wall::new(2026, 11, 30, 7, 0).expect("a time");
    let numbered = |id: u32, item: Item| Item { id: ItemId(id), ..item };
    let items = vec![
        numbered(1, item("decorated-cookies", 24, 2, &[])),
        numbered(2, item("cake-pops", 20, 2, &[])),
        numbered(3, item("tall-layer-cake", 1, 0, &[])),
    ];
    let orders = [(OrderId(1), order(items))].into();
    let book = Book { kitchen: Some(kitchen), orders, ..demo(now) };
    let input = PlanInput { now, zone: Zone::fixed("kitchen", 0) };
    Outlook::of(&book, &input).expect("kitchen and time are set up")
}

/// What is too big or too long, each once.
fn troubles(outlook: &Outlook) -> BTreeSet<&str> {
    let notes = outlook.work.notes.iter().chain(&outlook.assembled.notes);
    notes.filter(|note| note.problem).map(|note| note.text.as_str()).collect()
}

#[test]
fn the_commonest_takes_a_first_order_without_a_breach() {
    let commonest = presets().into_iter().next().expect("there are presets");
    let outlook = first_order(commonest.kitchen);
    assert_eq!(troubles(&outlook), BTreeSet::new());
    let problem = &outlook.assembled.problem;
    let mut planner = Planner::new(problem, 1).expect("a sound problem");
    let mut report = check(problem, &planner.plan());
    for _ in 0..20 {
        if report.breaches.is_empty() {
            break;
        }
        planner.improve(100);
        report = check(problem, &planner.plan());
    }
    assert_eq!(report.breaches, []);
}

#[test]
fn only_the_low_fridge_is_too_small_for_a_tall_cake() {
    for preset in presets() {
        let outlook = first_order(preset.kitchen);
        let troubles = troubles(&outlook);
        // Its highest shelf is 200 mm clear: less than 180 of cake, 12 of board and 20 of air.
        let low = preset.id == "small-flat";
        assert_eq!(troubles.iter().any(|text| text.contains("200 mm clear")), low, "{troubles:#?}");
        assert_eq!(troubles.is_empty(), !low, "{}: {troubles:#?}", preset.id);
        assert!(!troubles.iter().any(|text| text.contains("cookie")), "{troubles:#?}");
    }
}
