//! A card of one's own may be safer than the built-in one, never less safe.
#![cfg(not(target_arch = "wasm32"))]

use rackweek::card::{Card, RestMode, Tail, When, builtin};
use rackweek::keeping::safe_minutes;
use rackweek::kitchen::Place;
use rackweek::record::Record;

fn card(id: &str) -> Card {
    builtin().into_iter().find(|card| card.id == id).expect(id)
}

#[test]
fn built_in_cards_are_as_safe_as_themselves() {
    for card in builtin() {
        assert_eq!(card.is_as_safe_as_built_in(), Ok(()), "{}", card.id);
        assert!(card.clone().obeying_built_in() == card, "{} stays as it is", card.id);
    }
}

#[test]
fn every_safety_limit_of_every_card_holds_against_a_minute_more() {
    let mut tried = 0;
    for original in builtin() {
        let mut changed: Vec<(Card, Card)> = Vec::new();
        for (index, mode) in original.keeps.iter().enumerate().filter(|(_, mode)| mode.safety) {
            let greatest = mode.greatest.expect("a safety limit has minutes");
            let (mut looser, mut tighter) = (original.clone(), original.clone());
            looser.keeps[index].greatest = Some(greatest + 1);
            tighter.keeps[index].greatest = Some(greatest - 1);
            changed.push((looser, tighter));
        }
        for (at, rest) in original.rests.iter().enumerate() {
            for (index, mode) in rest.modes.iter().enumerate().filter(|(_, mode)| mode.safety) {
                let greatest = mode.greatest.expect("a safety limit has minutes");
                let (mut looser, mut tighter) = (original.clone(), original.clone());
                looser.rests[at].modes[index].greatest = Some(greatest + 1);
                tighter.rests[at].modes[index].greatest = Some(greatest - 1);
                changed.push((looser, tighter));
            }
        }
        for (index, limit) in original.limits.iter().enumerate().filter(|(_, limit)| limit.safety) {
            let (mut looser, mut tighter) = (original.clone(), original.clone());
            looser.limits[index].greatest = limit.greatest + 1;
            tighter.limits[index].greatest = limit.greatest - 1;
            changed.push((looser, tighter));
        }
        for (looser, tighter) in changed {
            let error = looser.is_as_safe_as_built_in().expect_err(&original.id);
            assert!(error.message.contains("not loosened"), "{error}");
            assert!(looser.clone().obeying_built_in() == original, "a minute more is taken back");
            assert_eq!(tighter.is_as_safe_as_built_in(), Ok(()), "{}", original.id);
            assert_eq!(Record::Card(tighter).validate(), []);
            assert_eq!(Record::Card(looser).validate().len(), 1);
            tried += 1;
        }
    }
    assert!(12 <= tried, "only {tried} limits");
}

#[test]
fn a_limit_cannot_be_talked_away() {
    let original = card("meringue-buttercream");
    let mut renamed = original.clone();
    renamed.keeps[0].name = "somewhere cold".to_owned();
    renamed.keeps[0].greatest = Some(20_000);
    assert!(renamed.is_as_safe_as_built_in().is_err(), "another name, the same fridge");
    let mut quality = original.clone();
    quality.keeps[0].safety = false;
    assert!(quality.is_as_safe_as_built_in().is_err(), "called a matter of taste");
    let mut endless = original;
    endless.keeps[0].greatest = None;
    assert!(endless.is_as_safe_as_built_in().is_err(), "no end");

    let original = card("tall-layer-cake");
    let mut gone = original.clone();
    gone.limits.clear();
    assert_eq!(gone.is_as_safe_as_built_in().expect_err("gone").place, "limits");
    let mut later = original;
    later.limits[0].from_start = false;
    assert!(later.is_as_safe_as_built_in().is_err(), "counted from later on");

    // A card under a name of its own is the baker's.
    let mut own = card("cupcakes");
    own.id = "aunt-ida".to_owned();
    own.limits.clear();
    assert_eq!(own.is_as_safe_as_built_in(), Ok(()));
}

/// A rest of a card that has a safety limit in the fridge, by its place among the card's.
fn limited(card: &Card) -> Option<usize> {
    let cold = |mode: &RestMode| {
        mode.safety && mode.stay.as_ref().is_some_and(|stay| stay.place == Place::Fridge)
    };
    card.rests.iter().position(|rest| rest.modes.iter().any(cold))
}

#[test]
fn a_limited_rest_can_neither_go_nor_go_elsewhere_for_longer() {
    let mut tried = 0;
    for original in builtin() {
        let Some(at) = limited(&original) else { continue };
        let refused = |change: &dyn Fn(&mut Card), what: &str| {
            let mut card = original.clone();
            change(&mut card);
            let error = card.is_as_safe_as_built_in();
            let error = error.expect_err(&format!("{}: {what}", original.id));
            // One that was kept before the rule came is made to obey, and can be used.
            let obeying = card.clone().obeying_built_in();
            assert_eq!(obeying.is_as_safe_as_built_in(), Ok(()), "{}: {what}", original.id);
            if card.validate().is_ok() {
                assert_eq!(obeying.validate(), Ok(()), "{}: {what}", original.id);
            }
            assert!(error.message.contains("not loosened"), "{what}: {error}");
        };
        let shortest = original.rests[at].modes.iter().filter(|mode| mode.safety);
        let shortest = shortest.filter_map(|mode| mode.greatest).min().expect("has a limit");
        let has_room = original.rests[at]
            .modes
            .iter()
            .any(|mode| mode.stay.as_ref().is_some_and(|stay| stay.place == Place::RoomShelf));
        if !has_room {
            let to_room = |card: &mut Card, minutes: Option<u32>, safety: bool| {
                for mode in &mut card.rests[at].modes {
                    if let Some(stay) = &mut mode.stay {
                        stay.place = Place::RoomShelf;
                    }
                    (mode.greatest, mode.safety) = (minutes, safety);
                }
            };
            refused(&|card| to_room(card, None, false), "to the room, without an end");
            refused(&|card| to_room(card, Some(shortest + 1), true), "to the room, a minute more");
            refused(
                &|card| to_room(card, Some(shortest), false),
                "to the room, as a matter of taste",
            );
            let mut moved = original.clone();
            to_room(&mut moved, Some(shortest), true);
            for mode in &mut moved.rests[at].modes {
                mode.tail = None;
            }
            assert_eq!(moved.is_as_safe_as_built_in(), Ok(()), "{}", original.id);
        }
        refused(&|card| drop(card.rests.remove(at)), "removed");
        refused(
            &|card| {
                let rest = &mut card.rests[at];
                rest.id = "renamed".to_owned();
                for mode in &mut rest.modes {
                    (mode.greatest, mode.safety) = (None, false);
                }
                let last = card.steps.last().expect("has steps").id.clone();
                card.rests[at].to = last;
            },
            "under another name, to another step",
        );
        refused(
            &|card| {
                let other = When { option: "never".to_owned(), at_least: 1, not: false };
                card.rests[at].when = Some(other);
            },
            "only sometimes",
        );
        refused(
            &|card| {
                for mode in &mut card.rests[at].modes {
                    mode.tail = Some(Tail { minutes: 1441, heat: None, stay: None });
                }
            },
            "a day out of the fridge at its end",
        );
        tried += 1;
    }
    assert!(5 <= tried, "only {tried} cards have a limited rest");
}

#[test]
fn taking_a_step_away_keeps_the_limits_or_says_which_would_be_lost() {
    let (mut kept, mut refused) = (0, 0);
    for original in builtin() {
        for step in &original.steps {
            let mut card = original.clone();
            card.remove_step(&step.id);
            match card.is_as_safe_as_built_in() {
                Ok(()) => kept += 1,
                Err(error) => {
                    assert!(error.message.contains("not loosened"), "{error}");
                    refused += 1;
                }
            }
        }
    }
    assert!(refused * 4 < kept, "{refused} of {} steps cannot be removed", refused + kept);
}

/// What a safety limit of a card is about, by the tables' names, and the minutes that the card allows in
/// the fridge before it begins.
fn parts_of(card: &str, what: &str) -> Option<(&'static [&'static str], u32)> {
    Some(match (card, what) {
        ("cupcakes", "iced cupcakes") => {
            (&["cake layers", "meringue buttercream", "cream-cheese frosting"], 2880)
        }
        ("cupcakes", "filled cupcakes") => (&["cake layers", "fruit filling"], 2880),
        (
            "decorated-cookies" | "drop-cookies",
            "cookie dough" | "cut cookies" | "scooped dough",
        ) => (&["cookie dough"], 0),
        ("sheet-cake", _) => (&["cake layers", "cream-cheese frosting"], 2880),
        ("cheesecake", _) => (&["cheesecake"], 0),
        ("macarons", _) => (&["macarons", "ganache"], 2880),
        ("tartlets", "tart dough" | "lined tins") => (&["tart dough"], 0),
        ("tartlets", _) => (&["tartlets", "pastry cream", "lemon curd"], 4320),
        ("tall-layer-cake", "stacked cake") => (&["filled cake"], 0),
        ("tall-layer-cake", "filled cake") => {
            (&["filled cake", "fruit filling", "meringue buttercream"], 2880)
        }
        ("fruit-filling", _) => (&["fruit filling"], 0),
        ("meringue-buttercream", _) => (&["meringue buttercream"], 0),
        ("royal-icing" | "deep-icing", _) => (&["royal icing"], 0),
        ("ganache", _) => (&["ganache"], 0),
        ("cream-cheese-frosting", _) => (&["cream-cheese frosting"], 0),
        ("pastry-cream", _) => (&["pastry cream"], 0),
        ("curd", _) => (&["lemon curd"], 0),
        _ => return None,
    })
}

#[test]
fn every_safety_limit_of_every_card_stays_within_the_keeping_tables() {
    let mut compared = 0;
    for card in builtin() {
        let parts = |what: &str| {
            parts_of(&card.id, what)
                .unwrap_or_else(|| panic!("{}: {what} has no parts named", card.id))
        };
        let kept = card.keeps.iter().map(|mode| (card.id.as_str(), mode));
        let rests = card
            .rests
            .iter()
            .flat_map(|rest| rest.modes.iter().map(|mode| (rest.what.as_str(), mode)));
        for (what, mode) in kept.chain(rests).filter(|(_, mode)| mode.safety) {
            let (parts, _) = parts(what);
            let place = mode.stay.as_ref().map_or(Place::Counter, |stay| stay.place);
            let most = safe_minutes(parts, place)
                .unwrap_or_else(|| panic!("{}: {what}, {}", card.id, mode.name));
            let greatest = mode.greatest.expect("a safety limit has minutes");
            assert!(
                greatest <= most,
                "{}: {what}, {}: {greatest} against {most}",
                card.id,
                mode.name
            );
            compared += 1;
        }
        for limit in card.limits.iter().filter(|limit| limit.safety) {
            let (parts, before) = if ["cookie dough", "tart dough"].contains(&limit.what.as_str()) {
                (parts(&limit.what).0, 2880)
            } else {
                parts(&limit.what)
            };
            let most =
                safe_minutes(parts, Place::Fridge).expect("its parts have a limit in the fridge");
            assert!(
                limit.greatest + before <= most,
                "{}: {}: {} + {before} against {most}",
                card.id,
                limit.id,
                limit.greatest
            );
            compared += 1;
        }
    }
    assert!(14 <= compared, "only {compared} were compared");
}
