//! Keeping limits against the published numbers, and the rule that safety is never loosened.
#![cfg(not(target_arch = "wasm32"))]

use proptest::prelude::*;
use rackweek::keeping::{
    Control, KeepingLimit, LimitKind, Stayed, avoided, control, limits, limits_of, passed,
    safe_minutes, spent, together,
};
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
        // FSIS, Danger Zone; Ohio State and Illinois extension: cream and custard at most 2 hours out.
        ("cream-cheese frosting", Place::Counter, LimitKind::Safety, 0, 120),
        ("whipped cream", Place::Counter, LimitKind::Safety, 0, 120),
        ("pastry cream", Place::Counter, LimitKind::Safety, 0, 120),
        ("lemon curd", Place::Counter, LimitKind::Safety, 0, 120),
        ("ganache", Place::Counter, LimitKind::Safety, 0, 120),
        ("cut fruit", Place::Counter, LimitKind::Safety, 0, 120),
        ("filled cake", Place::Counter, LimitKind::Safety, 0, 120),
        // FDA Food Code 3-501.17(A).
        ("cream-cheese frosting", Place::Fridge, LimitKind::Safety, 0, 7 * DAY),
        ("lemon curd", Place::Fridge, LimitKind::Safety, 0, 7 * DAY),
        ("ganache", Place::Fridge, LimitKind::Safety, 0, 7 * DAY),
        ("filled cake", Place::Fridge, LimitKind::Safety, 0, 7 * DAY),
        // National Center for Home Food Preservation: lemon curd frozen up to 1 year.
        ("lemon curd", Place::Freezer, LimitKind::Quality, 0, 366 * DAY),
        // University of Missouri extension: whole-egg sponge frozen 4–6 months.
        ("sponge layers", Place::Freezer, LimitKind::Quality, 120 * DAY, 186 * DAY),
        // Georgia extension: cookies frozen up to 6 months; Kansas extension: frosted cookies 2 months.
        ("baked cookies", Place::Freezer, LimitKind::Quality, 0, 186 * DAY),
        ("iced cookies", Place::Freezer, LimitKind::Quality, 0, 62 * DAY),
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
    for limit in limits() {
        for colder in
            limits().filter(|other| other.product == limit.product && other.kind == limit.kind)
        {
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
    for limit in limits() {
        assert!(10 < limit.source.len() && 0 < limit.minutes, "{limit:?}");
        let practice = limit.source.contains("no published source");
        assert_eq!(practice, limit.grade == rackweek::keeping::Grade::Practice, "{limit:?}");
    }
}

proptest! {
    #[test]
    fn safety_is_tightened_and_never_loosened(index in 0..limits().count(), minutes in 0_u32..1_000_000) {
        let limit = limits().nth(index).expect("a limit");
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

#[test]
fn what_needs_cold_has_a_safety_limit_in_the_room() {
    let mut checked = 0;
    for limit in limits().filter(|limit| control(limit.product) == Some(Control::Needed)) {
        let in_room = safe_minutes(&[limit.product], Place::RoomShelf);
        assert!(in_room.is_some_and(|minutes| minutes <= 240), "{}", limit.product);
        checked += 1;
    }
    assert!(80 < checked, "only {checked}");
}

#[test]
fn no_place_is_both_limited_and_advised_against() {
    for avoid in avoided() {
        assert_eq!(limits_of(avoid.product, avoid.place), Vec::<&KeepingLimit>::new(), "{avoid:?}");
        assert!(10 < avoid.source.len() && !avoid.why.is_empty(), "{avoid:?}");
    }
}

#[test]
fn minutes_out_of_the_fridge_add_up_and_frozen_ones_do_not_count() {
    let stay = |place, minutes| Stayed { place, minutes };
    // FSIS: 2 hours out are 2 hours in all.
    let twice = [stay(Place::Counter, 70), stay(Place::Fridge, DAY), stay(Place::Rack, 51)];
    let over = passed(&["pastry cream"], &twice);
    assert_eq!(over.first().map(|passed| (passed.limit.minutes, passed.minutes)), Some((120, 121)));
    // Minnesota Rules 4626.0400: time in the freezer is not counted, time before it is.
    let frozen = [
        stay(Place::Fridge, 3 * DAY),
        stay(Place::Freezer, 40 * DAY),
        stay(Place::Fridge, 3 * DAY),
    ];
    assert_eq!(spent(&frozen).thawed(), 6 * DAY);
    assert_eq!(passed(&["meringue buttercream"], &frozen), []);
    let longer = [frozen[0], frozen[1], stay(Place::Fridge, 3 * DAY + 1)];
    let over = passed(&["meringue buttercream"], &longer);
    assert_eq!(over.first().map(|passed| passed.limit.kind), Some(LimitKind::Safety));
}

#[test]
fn a_part_of_which_nothing_is_known_leaves_the_whole_unjudged() {
    let known = together(&["cake layers", "meringue buttercream"], Place::Fridge);
    assert_eq!((known.minutes(), known.unknown.len()), (Some(2 * DAY), 0));
    let unknown = together(&["cake layers", "moon cheese"], Place::Fridge);
    assert_eq!((unknown.minutes(), unknown.unknown), (None, vec!["moon cheese".to_owned()]));
}

fn any_products() -> impl Strategy<Value = Vec<&'static str>> {
    proptest::collection::vec(
        (0..limits().count()).prop_map(|index| limits().nth(index).expect("one").product),
        1..6,
    )
}

fn any_stays() -> impl Strategy<Value = Vec<Stayed>> {
    let place = proptest::sample::select(Place::ALL.to_vec());
    proptest::collection::vec(
        (place, 0_u32..20_000).prop_map(|(place, minutes)| Stayed { place, minutes }),
        0..6,
    )
}

proptest! {
    #[test]
    fn combining_never_lengthens(parts in any_products(), more in any_products(), place in proptest::sample::select(Place::ALL.to_vec())) {
        let some = together(&parts, place);
        let all = together(&[parts.clone(), more].concat(), place);
        for (some, all) in [(some.safety, all.safety), (some.quality, all.quality)] {
            if let Some(some) = some {
                prop_assert!(all.is_some_and(|all| all.minutes <= some.minutes));
            }
        }
        prop_assert!(some.unknown.iter().all(|unknown| all.unknown.contains(unknown)));
        let alone = parts.iter().filter_map(|part| safe_minutes(&[part], place)).min();
        prop_assert_eq!(some.safety.map(|limit| limit.minutes), alone);
    }

    #[test]
    fn longer_never_passes_fewer_limits(parts in any_products(), stays in any_stays(), extra in any_stays()) {
        let before = passed(&parts, &stays);
        let after = passed(&parts, &[stays, extra].concat());
        for passed in before {
            prop_assert!(after.iter().any(|other| other.limit == passed.limit && passed.minutes <= other.minutes));
        }
    }
}

/// The tighter of safety and quality.
fn tightest(product: &str, places: &[Place]) -> Option<u32> {
    let held = limits().filter(|limit| limit.product == product && places.contains(&limit.place));
    held.map(|limit| limit.minutes).min()
}

#[test]
fn room_then_fridge_then_freezer_keep_longer_and_longer() {
    let mut compared = 0;
    for limit in limits() {
        let room = tightest(limit.product, &[Place::Counter, Place::RoomShelf, Place::Rack]);
        let fridge = tightest(limit.product, &[Place::Fridge]);
        let freezer = tightest(limit.product, &[Place::Freezer]);
        // Cake stales faster in the cold than in the room (Food Res. Int. 36 (2003) 863), which is taste.
        let stales = limit.product == "cake layers";
        let pairs = [(room, fridge, stales), (fridge, freezer, false), (room, freezer, false)];
        for (warm, cold, excused) in pairs {
            if let (Some(warm), Some(cold)) = (warm, cold) {
                assert!(warm <= cold || excused, "{}: {warm} against {cold}", limit.product);
                compared += 1;
            }
        }
    }
    assert!(200 < compared, "only {compared}");
}
