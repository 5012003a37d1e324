//! The built-in cards' limits, added up over every way through the work, against published ones.
//!
//! Each rest of a card may keep its own limit while all of them together do not. Here the most time is
//! found that any plan at all could leave between the making of a perishable part and the handover,
//! without looking at a plan.
//!
//! Sources: FDA Food Code 3-501.17(A) (ready-to-eat food that needs temperature control keeps 7 days at
//! 5 °C or below, the day of preparation counted as day 1, so 6 times 24 hours at most are sure), with
//! time in the freezer not counted (Minnesota Rules 4626.0400). Local rules and licensed practice decide.
#![cfg(not(target_arch = "wasm32"))]

mod common;

use std::collections::BTreeMap;

use common::{Bench, item};
use rackweek::breakdown::{RestChoice, Step, StepId, Work};
use rackweek::kitchen::Place;

const DAY: i64 = 24 * 60;

/// A moment of a step.
type Moment = (StepId, bool);

fn start(id: &StepId) -> Moment {
    (id.clone(), false)
}

fn end(id: &StepId) -> Moment {
    (id.clone(), true)
}

/// Minutes that a choice can count at most towards a limit: all of it, or only what follows the freezer.
fn counted(choice: &RestChoice) -> Option<i64> {
    let frozen = choice.stay.as_ref().is_some_and(|stay| stay.place == Place::Freezer);
    if frozen {
        return Some(choice.tail.as_ref().map_or(0, |(minutes, _)| i64::from(*minutes)));
    }
    choice.greatest.map(i64::from)
}

fn duration(step: &Step) -> Option<i64> {
    let work: i64 = step.sittings.iter().map(|minutes| i64::from(*minutes)).sum();
    match step.sittings.len() {
        0 | 1 => Some(work),
        more => {
            let pauses = i64::try_from(more - 1).ok()?;
            Some(work + pauses * i64::from(step.pause_max?))
        }
    }
}

/// At most so many minutes lie between two moments: the cards' greatest times, told as arcs.
fn arcs(work: &Work) -> Vec<(Moment, Moment, i64)> {
    let mut arcs = Vec::new();
    for step in &work.steps {
        arcs.extend(duration(step).map(|minutes| (start(&step.id), end(&step.id), minutes)));
    }
    for rest in &work.rests {
        let longest: Option<Vec<i64>> = rest.choices.iter().map(counted).collect();
        if let Some(minutes) = longest.and_then(|minutes| minutes.into_iter().max()) {
            arcs.push((end(&rest.from), start(&rest.to), minutes));
        }
    }
    for limit in &work.limits {
        let to = if work.handovers.iter().any(|point| point.id == limit.to) { start } else { end };
        let from = if limit.from_start { start } else { end };
        arcs.push((from(&limit.from), to(&limit.to), i64::from(limit.greatest)));
    }
    arcs
}

/// The most minutes out of the freezer that any plan can leave between two moments: the shortest
/// chain of upper bounds. None: no bound at all.
fn at_most(work: &Work, from: &Moment, to: &Moment) -> Option<i64> {
    let arcs = arcs(work);
    let mut bound = BTreeMap::from([(from.clone(), 0_i64)]);
    for _ in 0..=work.steps.len() * 2 {
        for (a, b, minutes) in &arcs {
            let Some(reached) = bound.get(a).map(|sofar| sofar + minutes) else { continue };
            let known = bound.entry(b.clone()).or_insert(i64::MAX);
            *known = (*known).min(reached);
        }
    }
    bound.get(to).copied()
}

/// The most minutes from the making of a component to the handover of its order.
fn component_to_handover(work: &Work, component: &str) -> Vec<(String, Option<i64>)> {
    let handover = start(&work.handovers[0].id);
    let made = work.steps.iter().filter(|step| step.card == component);
    made.map(|step| (step.id.0.clone(), at_most(work, &end(&step.id), &handover))).collect()
}

fn worst(work: &Work, component: &str) -> i64 {
    let found = component_to_handover(work, component);
    assert!(!found.is_empty(), "{component} is made");
    found
        .into_iter()
        .map(|(id, minutes)| minutes.unwrap_or_else(|| panic!("{id}: no limit at all")))
        .max()
        .expect("is made")
}

#[test]
fn egg_and_fruit_in_a_cake_are_eaten_within_the_week_of_the_food_code() {
    for layers in 2..=6 {
        for count in [1, 2, 7, 12, 40] {
            for (supports, lettering) in [(0, 0), (1, 1)] {
                let options =
                    [("layers", layers), ("supports", supports), ("lettering", lettering)];
                let work = Bench::default().work(item("tall-layer-cake", count, 0, &options));
                for component in ["meringue-buttercream", "fruit-filling"] {
                    let minutes = worst(&work, component);
                    assert!(minutes <= 6 * DAY, "{count} × {layers} {component}: {minutes} min");
                    assert!(minutes >= 2 * DAY, "{component}: so tight that nobody can plan it");
                }
            }
        }
    }
}

#[test]
fn egg_on_cupcakes_is_eaten_within_the_week_of_the_food_code() {
    for count in [12, 48, 200] {
        for filled in [0, 1] {
            let work = Bench::default().work(item("cupcakes", count, 0, &[("filled", filled)]));
            let minutes = worst(&work, "meringue-buttercream");
            assert!(minutes <= 6 * DAY, "{count} cupcakes, filled {filled}: {minutes} min");
        }
    }
}

#[test]
fn dairy_and_egg_in_every_other_product_are_eaten_within_the_week_of_the_food_code() {
    for (product, options, component) in [
        ("cupcakes", &[("cream-cheese", 1)][..], "cream-cheese-frosting"),
        ("sheet-cake", &[("cream-cheese", 1)], "cream-cheese-frosting"),
        ("cheesecake", &[("topped", 1)], "fruit-filling"),
        ("macarons", &[], "ganache"),
        ("tartlets", &[], "pastry-cream"),
        ("tartlets", &[("curd", 1)], "curd"),
        ("tall-layer-cake", &[("tiers", 3)], "meringue-buttercream"),
    ] {
        for count in [1, 4, 12] {
            let work = Bench::default().work(item(product, count, 0, options));
            let minutes = worst(&work, component);
            assert!(minutes <= 6 * DAY, "{count} {product} with {component}: {minutes} min");
            assert!(minutes >= DAY, "{product}: so tight that nobody can plan it");
        }
    }
}

#[test]
fn raw_egg_in_cookie_dough_is_baked_within_four_days() {
    // FoodKeeper (USDA FSIS and others): raw egg whites and yolks keep 2 to 4 days refrigerated.
    for count in [12, 60, 240] {
        let work = Bench::default().work(item("decorated-cookies", count, 0, &[]));
        let dough = work.steps.iter().find(|step| step.id.0 == "o1.i1.dough").expect("is made");
        let bake = work.steps.iter().find(|step| step.id.0 == "o1.i1.bake").expect("is baked");
        let minutes = at_most(&work, &end(&dough.id), &start(&bake.id)).expect("is limited");
        assert!(minutes <= 4 * DAY, "{count} cookies: {minutes} min");
    }
}

#[test]
fn the_check_itself_sees_a_limit_that_is_taken_away() {
    let mut work = Bench::default().work(item("tall-layer-cake", 2, 0, &[("layers", 4)]));
    let sound = worst(&work, "meringue-buttercream");
    work.limits.clear();
    let loose = worst(&work, "meringue-buttercream");
    assert!(loose > 6 * DAY && sound <= 6 * DAY, "{sound}, then {loose}");
    for rest in &mut work.rests {
        for choice in rest.choices.iter_mut().filter(|choice| counted(choice) == Some(2 * DAY)) {
            choice.greatest = None;
        }
    }
    let none = component_to_handover(&work, "meringue-buttercream");
    assert!(none.iter().any(|(_, minutes)| minutes.is_none()), "{none:?}");
}
