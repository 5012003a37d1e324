//! Keeping limits against the published numbers, and the rule that safety is never loosened.
#![cfg(not(target_arch = "wasm32"))]

use proptest::prelude::*;
use rackweek::keeping::{KeepingLimit, LIMITS, LimitKind, limits_of, safe_minutes};
use rackweek::kitchen::Place;

const DAY: u32 = 1440;

fn only(product: &str, place: Place) -> &'static KeepingLimit {
    match limits_of(product, place).as_slice() {
        [one] => one,
        other => panic!("{product} in the {place}: {other:?}"),
    }
}

#[test]
fn limits_stay_inside_the_published_numbers() {
    // Product, place, kind, least and greatest minutes that the source allows.
    let published = [
        // FSIS, "Danger Zone (40 °F – 140 °F)": never leave food out of refrigeration over 2 hours.
        ("meringue buttercream", Place::Counter, LimitKind::Safety, 0, 120),
        ("cookie dough", Place::Counter, LimitKind::Safety, 0, 120),
        ("fruit filling", Place::Counter, LimitKind::Safety, 0, 120),
        // FDA Food Code 3-501.19(B): 4 hours when time is the control.
        ("royal icing", Place::Counter, LimitKind::Safety, 0, 240),
        // FDA Food Code 3-501.17(A): 7 days with the day of making as day 1.
        ("meringue buttercream", Place::Fridge, LimitKind::Safety, 0, 7 * DAY),
        ("fruit filling", Place::Fridge, LimitKind::Safety, 0, 7 * DAY),
        ("cake pops", Place::Fridge, LimitKind::Safety, 0, 7 * DAY),
        // FoodKeeper, eggs, raw whites and yolks: 2–4 days refrigerated.
        ("cookie dough", Place::Fridge, LimitKind::Safety, 2 * DAY, 4 * DAY),
        ("royal icing", Place::Fridge, LimitKind::Safety, 2 * DAY, 4 * DAY),
        // FoodKeeper, commercial cakes and muffins: 3–7 days at room temperature.
        ("cake layers", Place::RoomShelf, LimitKind::Quality, 3 * DAY, 7 * DAY),
        ("cake pops", Place::RoomShelf, LimitKind::Quality, 3 * DAY, 7 * DAY),
        // FoodKeeper, cookie dough: frozen 2 months.
        ("cookie dough", Place::Freezer, LimitKind::Quality, 56 * DAY, 62 * DAY),
        // Clemson extension: unfrosted butter cake frozen 2–4 months.
        ("cake layers", Place::Freezer, LimitKind::Quality, 56 * DAY, 124 * DAY),
        // Georgia extension: cookies sealed at room temperature up to 2 weeks.
        ("baked cookies", Place::RoomShelf, LimitKind::Quality, 0, 14 * DAY),
        // FoodKeeper, frosting or icing: 2–3 weeks refrigerated after opening.
        ("sugar buttercream", Place::Fridge, LimitKind::Quality, 14 * DAY, 21 * DAY),
        // FoodKeeper, fruit pies: frozen 8 months.
        ("fruit filling", Place::Freezer, LimitKind::Quality, 224 * DAY, 248 * DAY),
        // FoodKeeper, solid chocolate: 1 year after opening.
        ("chocolate shells", Place::RoomShelf, LimitKind::Quality, 0, 366 * DAY),
    ];
    for (product, place, kind, least, greatest) in published {
        let limit = only(product, place);
        assert_eq!(limit.kind, kind, "{product} in the {place}");
        assert!((least..=greatest).contains(&limit.minutes), "{product} in the {place}: {limit:?}");
    }
}

#[test]
fn a_date_mark_of_seven_days_with_the_first_one_counted_is_six_whole_days() {
    // Southern Nevada Health District's example of Food Code 3-501.17: prepared on 1 April, the last
    // usable day is 7 April. Made on the 1st at any hour and kept 6 × 24 h, it is used on the 7th.
    let limit = only("meringue buttercream", Place::Fridge);
    for made in [0, 600, 1439] {
        let used = made + limit.minutes;
        assert_eq!(1 + used / DAY, 7, "made at minute {made} of day 1");
    }
}

#[test]
fn a_colder_place_never_keeps_shorter() {
    for limit in LIMITS {
        for colder in LIMITS.iter().filter(|other| other.product == limit.product) {
            if colder.place == Place::Freezer && limit.place != Place::Freezer {
                assert!(limit.minutes <= colder.minutes, "{limit:?} {colder:?}");
            }
            if colder.place == Place::Fridge && limit.place == Place::Counter {
                assert!(limit.minutes <= colder.minutes, "{limit:?} {colder:?}");
            }
        }
    }
}

#[test]
fn a_mixture_keeps_no_longer_than_its_shortest_keeping_part() {
    // FDA Food Code 3-501.17(D): a combined food keeps the earliest part's date.
    let cake = ["cake layers", "meringue buttercream", "royal icing"];
    assert_eq!(safe_minutes(&cake, Place::Fridge), Some(3 * DAY));
    assert_eq!(safe_minutes(&["cake layers"], Place::Fridge), None);
}

#[test]
fn every_limit_names_its_source() {
    for limit in LIMITS {
        assert!(10 < limit.source.len() && 0 < limit.minutes, "{limit:?}");
        let practice = limit.source.contains("no published source");
        assert_eq!(practice, limit.grade == rackweek::keeping::Grade::Practice, "{limit:?}");
    }
}

proptest! {
    #[test]
    fn safety_is_tightened_and_never_loosened(index in 0..LIMITS.len(), minutes in 0_u32..1_000_000) {
        let limit = &LIMITS[index];
        match limit.tighten(minutes) {
            Ok(new) => {
                prop_assert_eq!(new.minutes, minutes);
                prop_assert!(limit.kind == LimitKind::Quality || minutes <= limit.minutes);
            }
            Err(refusal) => {
                prop_assert!(limit.kind == LimitKind::Safety && limit.minutes < minutes);
                prop_assert!(refusal.message.contains(&limit.minutes.to_string()));
            }
        }
    }
}
