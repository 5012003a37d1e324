//! A card of one's own may be safer than the built-in one, never less safe.
#![cfg(not(target_arch = "wasm32"))]

use rackweek::card::{Card, builtin};
use rackweek::record::Record;

fn card(id: &str) -> Card {
    builtin().into_iter().find(|card| card.id == id).expect(id)
}

#[test]
fn built_in_cards_are_as_safe_as_themselves() {
    for card in builtin() {
        assert_eq!(card.is_as_safe_as_built_in(), Ok(()), "{}", card.id);
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
