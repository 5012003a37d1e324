//! Promise: what a baker makes stricter than her region's rules holds in every plan; looser is refused; the rules and the
//! book's key outlive older records and undo.

use rackweek::calendar::{Wall, Zone};
use rackweek::card::builtin;
use rackweek::demo::demo;
use rackweek::keeping::{Region, Rules};
use rackweek::kitchen::Place;
use rackweek::record::{Book, Command, History, Outlook, PlanInput, Record};

fn now() -> Wall {
    "2026-11-30T07:00".parse().expect("a moment")
}

fn outlook(book: &Book) -> Outlook {
    let input = PlanInput { now: now(), zone: Zone::fixed("kitchen", 0) };
    Outlook::of(book, &input).expect("there is a kitchen")
}

/// Every safety limit of the breakdown: where it holds (none across steps), its minutes and its source.
fn limits(book: &Book) -> Vec<(Option<Place>, u32, String)> {
    let work = outlook(book).work;
    let choices = work.rests.iter().flat_map(|rest| &rest.choices).filter(|choice| choice.safety);
    let mut all: Vec<_> = choices
        .filter_map(|choice| {
            let place = choice.stay.as_ref().map(|stay| stay.place);
            Some((Some(place.unwrap_or(Place::Counter)), choice.greatest?, choice.source.clone()))
        })
        .collect();
    let across = work.limits.iter().filter(|limit| limit.safety);
    all.extend(across.map(|limit| (None, limit.greatest, limit.source.clone())));
    all
}

#[test]
fn stricter_rules_shorten_every_safety_limit_and_no_other() {
    let mut book = demo(now());
    let before = limits(&book);
    assert!(10 < before.len(), "{}", before.len());
    let rules = Rules { days: 2, out_minutes: 60, ..Rules::of(Region::UnitedStates) };
    book.apply(Command::SetRules(rules)).expect("stricter");
    let after = limits(&book);
    let mut shortened = 0;
    for ((place, minutes, source), (_, old, _)) in after.iter().zip(&before) {
        let most = match place {
            Some(Place::Fridge) | None => 24 * 60,
            Some(Place::Freezer) => u32::MAX,
            Some(_) => 60,
        };
        assert_eq!(*minutes, most.min(*old), "{place:?} {source}");
        assert_eq!(source.starts_with("your own rule"), minutes < old, "{source}");
        shortened += usize::from(minutes < old);
    }
    assert!(3 < shortened, "{shortened}");
    // Quality is hers to judge, and stays.
    let quality = |book: &Book| {
        let work = outlook(book).work;
        let all = work.limits.iter().filter(|limit| !limit.safety).map(|limit| limit.greatest);
        all.collect::<Vec<_>>()
    };
    assert_eq!(quality(&book), quality(&demo(now())));
}

#[test]
fn a_regions_own_rules_change_no_plan() {
    let before = limits(&demo(now()));
    for region in Region::ALL {
        let mut book = demo(now());
        book.apply(Command::SetRules(Rules::of(region))).expect("the region's own");
        assert_eq!(limits(&book), before, "{}", region.name());
        assert_eq!(book.cards_in_force(), book.all_cards());
    }
}

#[test]
fn looser_is_refused_with_the_rule_and_nothing_changes() {
    let mut book = demo(now());
    let before = book.clone();
    let usual = Rules::of(Region::EuropeanUnion);
    for (rules, field) in [
        (Rules { days: 8, ..usual }, "days"),
        (Rules { cold: 6, ..usual }, "cold"),
        (Rules { out_minutes: 121, ..usual }, "out_minutes"),
    ] {
        let refusals = book.apply(Command::SetRules(rules)).expect_err("looser");
        assert_eq!(refusals[0].field, field);
        assert!(refusals[0].message.contains("give for example"), "{}", refusals[0].message);
    }
    assert_eq!(book, before);
}

#[test]
fn no_card_grows_longer_by_any_rule() {
    for region in Region::ALL {
        for days in 2..=7 {
            let rules = Rules { days, out_minutes: 60, ..Rules::of(region) };
            let profile = rules.profile().expect("stricter");
            for card in builtin() {
                let under = card.clone().under(&profile);
                assert_eq!(under.is_as_safe_as(&card), Ok(()), "{}", card.id);
            }
        }
    }
}

#[test]
fn settings_of_an_older_build_are_read_and_the_key_outlives_undo() {
    let old =
        r#"{"kind":"settings","id":"","schema":1,"body":{"safety_margin":90,"orders_given":4}}"#;
    let Record::Settings(settings) = Record::from_json(old).expect("reads") else {
        panic!("settings");
    };
    assert_eq!((settings.safety_margin, settings.rules), (90, Rules::default()));
    assert_eq!(settings.key, "");

    let (mut book, mut history) = (demo(now()), History::default());
    history.apply(&mut book, Command::SetSafetyMargin(90)).expect("is taken");
    history.apply(&mut book, Command::SetKey("4f1a9c".to_owned())).expect("is taken");
    history.apply(&mut book, Command::SetKey("another".to_owned())).expect("is no step");
    assert_eq!(book.settings.key, "4f1a9c", "given once");
    assert_eq!(history.undo_label(), Some("change the time before the handover"));
    history.undo(&mut book).expect("a step").expect("no conflict");
    assert_eq!((book.settings.safety_margin, book.settings.key.as_str()), (60, "4f1a9c"));
    history.redo(&mut book).expect("a step").expect("no conflict");
    assert_eq!((book.settings.safety_margin, book.settings.key.as_str()), (90, "4f1a9c"));
    let wrong = Command::SetKey("a b".to_owned());
    assert!(Book::default().apply(wrong).is_err());
}
