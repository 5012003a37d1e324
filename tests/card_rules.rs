//! Rules of the trade that the cards plan by: on unless switched off, and what each changes. All are common
//! practice, no published source, and say so.
#![cfg(not(target_arch = "wasm32"))]

mod common;

use common::{Bench, item, rest, step};
use rackweek::breakdown::Work;
use rackweek::card::{Card, OptionKind, builtin};
use rackweek::kitchen::Place;

fn make(card: &str, count: u32, options: &[(&str, i64)]) -> Work {
    Bench::default().work(item(card, count, 0, options))
}

fn card(id: &str) -> Card {
    builtin().into_iter().find(|card| card.id == id).expect(id)
}

fn place_of(work: &Work, id: &str) -> Option<Place> {
    rest(work, id).choices[0].stay.as_ref().map(|stay| stay.place)
}

#[test]
fn every_rule_is_a_switch_that_is_on_and_says_what_it_rests_on() {
    let mut rules = 0;
    for card in builtin() {
        for option in card.options.iter().filter(|option| option.rule) {
            assert_eq!((&option.kind, option.default), (&OptionKind::Switch, 1), "{}", option.id);
            assert!(
                option.help.contains("common practice, no published source"),
                "{} {}",
                card.id,
                option.id
            );
            rules += 1;
        }
    }
    assert!(15 <= rules, "only {rules}");
}

#[test]
fn pops_chill_ahead_and_come_out_about_an_hour_before_they_are_dipped() {
    let on = make("cake-pops", 24, &[]);
    let choice = &rest(&on, "stick-chill").choices[0];
    assert_eq!(choice.tail.as_ref().map(|(minutes, _)| *minutes), Some(60));
    let off = make("cake-pops", 24, &[("chilled-ahead", 0)]);
    let choice = &rest(&off, "stick-chill").choices[0];
    assert!(choice.tail.is_none() && choice.least < 60);
}

#[test]
fn details_on_coating_are_royal_icing_as_gel_colour_does_not_set() {
    let has_icing = |work: &Work| work.steps.iter().any(|step| step.card == "royal-icing");
    let plain = make("cake-pops", 24, &[]);
    assert!(!has_icing(&plain), "no details, no icing");
    let on = make("cake-pops", 24, &[("details", 1)]);
    assert!(has_icing(&on));
    assert_eq!(rest(&on, "decor-set").choices[0].least, 240, "and it sets for four hours");
    let off = make("cake-pops", 24, &[("details", 1), ("icing-on-coating", 0)]);
    assert!(!has_icing(&off));
    assert_eq!(rest(&off, "decor-set").choices[0].least, 30, "coloured coating sets at once");
}

#[test]
fn dark_beside_pale_dries_a_whole_day() {
    let least = |options: &[(&str, i64)]| {
        rest(&make("decorated-cookies", 12, options), "base-dry").choices[0].least
    };
    assert_eq!(least(&[]), 8 * 60);
    assert_eq!(least(&[("dark-next-to-pale", 1)]), 24 * 60);
    assert_eq!(least(&[("dark-next-to-pale", 1), ("dark-dries-a-day", 0)]), 8 * 60);
}

#[test]
fn deep_colours_develop_two_days_and_are_never_warm_for_long() {
    let on = make("decorated-cookies", 12, &[("deep-colour", 1)]);
    assert_eq!(rest(&on, "deep-icing.freeze").choices[0].least, 2 * 1440);
    assert_eq!(place_of(&on, "deep-icing.freeze"), Some(Place::Freezer));
    let off = make("decorated-cookies", 12, &[("deep-colour", 1), ("colour-develops", 0)]);
    assert_eq!(rest(&off, "deep-icing.freeze").choices[0].least, 0);
    assert_eq!(place_of(&off, "deep-icing.freeze"), Some(Place::Fridge));
    // FDA Food Code 3-501.13(A): it thaws in the fridge; FoodKeeper, raw whites: 2–4 days, 3 taken.
    for work in [&on, &off] {
        let thaw = &rest(work, "deep-icing.keep.details").choices;
        assert!(thaw.iter().all(|choice| choice.safety));
        assert!(thaw.iter().all(|choice| {
            choice.stay.as_ref().is_some_and(|stay| stay.place == Place::Fridge)
                && choice.tail.as_ref().is_none_or(|(minutes, _)| *minutes <= 120)
        }));
    }
    let fridge: u32 = [rest(&off, "deep-icing.freeze"), rest(&off, "deep-icing.keep.details")]
        .iter()
        .map(|rest| rest.choices[0].greatest.expect("limited"))
        .sum();
    assert!(fridge <= 3 * 1440, "{fridge}");
}

#[test]
fn supports_go_in_before_chilling() {
    let on = make("tall-layer-cake", 1, &[]);
    assert_eq!(place_of(&on, "settle"), Some(Place::Counter));
    assert!(rest(&on, "settle").choices[0].greatest.is_some_and(|most| most <= 60));
    let off = make("tall-layer-cake", 1, &[("supports-first", 0)]);
    assert_eq!(place_of(&off, "settle"), Some(Place::Fridge));
}

#[test]
fn coating_is_melted_in_short_bursts() {
    let minutes = |card: &str, options: &[(&str, i64)]| -> u32 {
        step(&make(card, 12, options), "dip").sittings.iter().sum()
    };
    for product in ["cake-pops", "dipped-pretzels"] {
        assert_eq!(
            minutes(product, &[]),
            minutes(product, &[("short-bursts", 0)]) + 5,
            "{product}"
        );
        let notes: String =
            card(product).steps.iter().flat_map(|step| step.notes.clone()).collect();
        assert!(notes.contains("hand-warm, not hot"), "{product}: never hot over set detail");
    }
}

#[test]
fn a_batch_of_small_pieces_has_extras_and_a_cake_has_none() {
    for card in builtin().into_iter().filter(|card| !card.component) {
        let whole = ["tall-layer-cake", "sheet-cake", "cheesecake"].contains(&card.id.as_str());
        assert_eq!(card.spares == 0, whole, "{}", card.id);
        assert!(card.spares <= 20, "{}", card.id);
    }
}

#[test]
fn work_never_done_before_takes_twice_its_estimate() {
    for card in builtin().into_iter().filter(|card| !card.component) {
        let minutes = |first| -> u32 {
            let work = make(&card.id, 6, &[("first-time", first)]);
            work.steps
                .iter()
                .filter(|step| {
                    use rackweek::card::StepKind::{Fine, Plain};
                    matches!(step.kind, Plain | Fine)
                })
                .flat_map(|step| &step.sittings)
                .sum()
        };
        let (usual, new) = (minutes(0), minutes(1));
        // Each sitting is rounded up to 5 minutes; what nobody can do wrong is not doubled.
        assert!(usual * 17 / 10 <= new && new <= usual * 23 / 10, "{}: {usual} → {new}", card.id);
    }
}

#[test]
fn fine_handwork_is_spread_over_days() {
    let bench = Bench {
        longest: rackweek::breakdown::Longest { hands_on: 300, fine: 300 },
        ..Bench::default()
    };
    let work = |options: &[(&str, i64)]| bench.work(item("decorated-cookies", 48, 0, options));
    let (on, off) = (work(&[]), work(&[("spread-fine", 0)]));
    let details = |work: &Work| step(work, "details").sittings.clone();
    assert!(details(&on).iter().all(|minutes| *minutes <= 120), "{:?}", details(&on));
    assert!(details(&off).iter().any(|minutes| 120 < *minutes), "{:?}", details(&off));
    // Every card's piping and painting that may be cut is spread, wherever it has such work.
    for card in builtin() {
        for step in card.steps.iter().filter(|step| step.cut_min.is_some()) {
            let fine = step.kind == rackweek::card::StepKind::Fine;
            assert_eq!(step.cut_max.is_some(), fine, "{}.{}", card.id, step.id);
        }
    }
}

#[test]
fn macarons_mature_a_day_and_toppers_dry_two_or_three() {
    let least = |card: &str, id: &str, options: &[(&str, i64)]| {
        rest(&make(card, 12, options), id).choices[0].least
    };
    assert_eq!(least("macarons", "mature", &[]), 1440);
    assert_eq!(least("macarons", "mature", &[("mature", 0)]), 30);
    assert_eq!(least("toppers", "dry", &[]), 2 * 1440);
    assert_eq!(least("toppers", "dry", &[("thick", 1)]), 3 * 1440);
}
