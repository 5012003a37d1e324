//! Cards are versioned: an order keeps the version that it was planned with until it is told to use a newer one.

mod common;

use rackweek::breakdown::StepId;
use rackweek::calendar::Zone;
use rackweek::card::{Card, builtin};
use rackweek::demo::demo;
use rackweek::order::{ItemId, Order, OrderId};
use rackweek::record::{
    Backup, Book, Command, History, Loaded, Outlook, PlanInput, Record, RecordKey,
};

const NOW: &str = "2026-11-30T07:00";

fn book() -> Book {
    let mut book = demo(NOW.parse().expect("a moment"));
    book.pins.clear();
    book.shown = None;
    book
}

fn cookies(book: &Book) -> (OrderId, ItemId) {
    let found = book.orders.values().filter(|order| order.is_planned()).find_map(|order| {
        let item = order.items.iter().find(|item| item.card == "decorated-cookies")?;
        Some((order.id, item.id))
    });
    found.expect("the demo has cookies to bake")
}

fn slower(book: &Book, id: &str, step: &str) -> Card {
    let mut card = book.card(id).expect(id);
    let step = card.steps.iter_mut().find(|found| found.id == step).expect(step);
    step.work.iter_mut().for_each(|term| term.each *= 3);
    card
}

/// Minutes of a step of the week as the book has it.
fn minutes(book: &Book, step: &str) -> u32 {
    let input = PlanInput { now: NOW.parse().expect("a moment"), zone: Zone::fixed("kitchen", 0) };
    let outlook = Outlook::of(book, &input).expect("is set up");
    let step = StepId(step.to_owned());
    let found = outlook.work.steps.iter().find(|found| found.id == step);
    found.expect(&step.0).sittings.iter().sum()
}

#[test]
fn an_order_keeps_its_version_until_it_takes_the_newer_one() {
    let mut book = book();
    let (order, item) = cookies(&book);
    let flood = format!("o{}.i{}.flood", order.0, item.0);
    let before = minutes(&book, &flood);
    let card = slower(&book, "decorated-cookies", "flood");
    book.apply(Command::SaveCard(Box::new(card))).expect("is sound");
    let version = builtin()[0].version;
    assert_eq!(book.card("decorated-cookies").expect("is there").version, version + 1);
    assert_eq!(minutes(&book, &flood), before, "the old order is as it was");

    let mut fresh = Order { id: book.next_order(), ..book.orders[&order].clone() };
    fresh.items.retain(|found| found.id == item);
    fresh.items[0].versions.clear();
    let id = fresh.id;
    book.apply(Command::PutOrder(fresh)).expect("is sound");
    let new = minutes(&book, &format!("o{}.i{}.flood", id.0, item.0));
    assert!(2 * before < new, "{before} → {new}: a new order takes the newest");

    let found = book.orders[&order].items.iter().find(|found| found.id == item).expect("is there");
    let newer = book.newer_cards(found);
    assert_eq!(newer.len(), 1);
    assert_eq!((newer[0].before.version, newer[0].now.version), (version, version + 1));
    book.apply(Command::UseNewestCards(order, item)).expect("is there");
    assert_eq!(minutes(&book, &flood), new);
    let found = book.orders[&order].items.iter().find(|found| found.id == item).expect("is there");
    assert_eq!(book.newer_cards(found), []);
}

#[test]
fn a_component_has_its_versions_too() {
    let mut book = book();
    let (order, item) = cookies(&book);
    let step = format!("o{}.i{}.royal-icing.mix", order.0, item.0);
    let icing = book.card("royal-icing").expect("built in");
    let first = &icing.steps[0].id;
    let step = step.replace("mix", first);
    let before = minutes(&book, &step);
    let card = slower(&book, "royal-icing", first);
    book.apply(Command::SaveCard(Box::new(card))).expect("is sound");
    assert_eq!(minutes(&book, &step), before);
    book.apply(Command::UseNewestCards(order, item)).expect("is there");
    assert!(before < minutes(&book, &step));
}

#[test]
fn several_versions_are_undone_stored_backed_up_and_loaded_as_they_are() {
    let mut book = book();
    let mut history = History::default();
    let start = book.clone();
    for _ in 0..3 {
        let card = slower(&book, "decorated-cookies", "flood");
        history.apply(&mut book, Command::SaveCard(Box::new(card))).expect("is sound");
    }
    let built_in = builtin()[0].version;
    let kept: Vec<u32> = book.older_cards.keys().map(|(_, version)| *version).collect();
    assert_eq!(kept, [built_in, built_in + 1, built_in + 2]);
    let (order, _) = cookies(&book);
    assert!(
        book.orders[&order].items.iter().any(|item| item.versions.values().any(|v| *v == built_in))
    );

    let texts =
        book.records().into_iter().map(|record| (record.key().to_string(), record.to_json()));
    assert_eq!(Loaded::from_store(texts), Loaded { book: book.clone(), ..Loaded::default() });
    let backup =
        Backup::of(book.clone(), NOW.parse().expect("a moment"), Zone::fixed("kitchen", 0));
    assert_eq!(Backup::from_json(&backup.to_json()), Ok(backup));
    let key = RecordKey::old_card("decorated-cookies", built_in + 1);
    assert_eq!(key.to_string(), format!("card/decorated-cookies@{}", built_in + 1));
    assert!(
        matches!(book.record(&key), Some(Record::OldCard(card)) if card.version == built_in + 1)
    );

    for _ in 0..3 {
        history.undo(&mut book).expect("a step").expect("no conflict");
    }
    assert_eq!(book, start);
}

#[test]
fn saving_what_is_there_changes_nothing() {
    let mut book = book();
    let before = book.clone();
    let change = book.apply(Command::SaveCard(Box::new(builtin().remove(0)))).expect("is sound");
    assert!(change.is_empty());
    assert_eq!(book, before);
}

#[test]
fn versions_that_nobody_goes_by_are_let_go() {
    let mut book = book();
    for _ in 0..20 {
        let mut card = book.card("decorated-cookies").expect("is there");
        card.steps[0].setup += 60;
        book.apply(Command::SaveCard(Box::new(card))).expect("is sound");
    }
    let older: Vec<u32> = book.older_cards.keys().map(|(_, version)| *version).collect();
    let first = builtin()[0].version;
    assert!(older.contains(&first), "an order goes by it: {older:?}");
    assert!((11..=12).contains(&older.len()), "{older:?}");
    assert_eq!(older.last(), Some(&(first + 19)));
    assert_eq!(book.validate(), []);
}

#[test]
fn a_card_that_is_removed_stays_for_the_orders_made_by_it() {
    let mut book = book();
    let mine = builtin().remove(0).copy_as("mine".into(), "My cookies".into());
    book.apply(Command::SaveCard(Box::new(mine))).expect("is sound");
    let (order, item) = cookies(&book);
    let mut changed = book.orders[&order].clone();
    changed.items.iter_mut().find(|found| found.id == item).expect("is there").card = "mine".into();
    book.apply(Command::PutOrder(changed)).expect("is sound");
    let flood = format!("o{}.i{}.flood", order.0, item.0);
    let before = minutes(&book, &flood);
    book.apply(Command::RemoveCard("mine".into())).expect("is there");
    assert_eq!(book.card("mine"), None);
    assert_eq!(minutes(&book, &flood), before);
    let again = book.apply(Command::RemoveCard("mine".into())).expect_err("is gone");
    assert!(again[0].message.contains("no card “mine” of your own"), "{again:?}");
}

#[test]
fn going_back_to_a_built_in_card_gives_it_the_last_word() {
    let mut book = book();
    let card = slower(&book, "decorated-cookies", "flood");
    book.apply(Command::SaveCard(Box::new(card))).expect("is sound");
    let change = book.apply(Command::RemoveCard("decorated-cookies".into())).expect("is there");
    assert_eq!(change.label, "go back to the built-in card “Decorated cookies”");
    assert_eq!(book.card("decorated-cookies"), Some(builtin().remove(0)));
    let card = slower(&book, "decorated-cookies", "flood");
    book.apply(Command::SaveCard(Box::new(card))).expect("is sound");
    let version = book.card("decorated-cookies").expect("is there").version;
    assert_eq!(version, builtin()[0].version + 2, "no number is given twice");
}

#[test]
fn impossible_cards_are_refused_in_words_at_their_place() {
    let mut book = book();
    let before = book.clone();
    let mut refused = |change: &dyn Fn(&mut Card), id: &str, place: &str, part: &str| {
        let mut card = book.card(id).expect(id);
        change(&mut card);
        let refusals = book.apply(Command::SaveCard(Box::new(card))).expect_err(part);
        assert!(refusals[0].field.starts_with(place), "{refusals:?}");
        assert!(refusals[0].message.contains(part), "{refusals:?}");
    };
    let cake = "tall-layer-cake";
    refused(&|card| card.rests[0].to = card.rests[0].from.clone(), cake, "rests", "itself");
    refused(
        &|card| {
            let mode = card
                .rests
                .iter_mut()
                .flat_map(|rest| &mut rest.modes)
                .find(|m| !m.least.is_empty());
            let mode = mode.expect("something waits");
            mode.greatest = Some(1);
            mode.source = "common practice".into();
        },
        cake,
        "rests",
        "less than the least",
    );
    refused(&|card| card.steps[0].name.clear(), cake, "steps[0].name", "say something");
    refused(
        &|card| card.components[0].card = "marzipan".into(),
        cake,
        "components[0].card",
        "no card",
    );
    refused(
        &|card| {
            let limit = card.limits.iter_mut().find(|limit| limit.safety).expect("has one");
            limit.greatest += 60;
        },
        cake,
        "limits",
        "may be tightened",
    );
    refused(&|card| card.components[0].card = cake.into(), cake, "components[0].card", "itself");
    assert_eq!(book, before, "nothing has changed");
}

#[test]
fn a_component_is_not_taken_from_the_cards_made_with_it() {
    let mut book = book();
    let mut filling = Card::blank("plum-jam".into(), "Plum jam".into());
    filling.component = true;
    book.apply(Command::SaveCard(Box::new(filling))).expect("is sound");
    let mut cookies = book.card("decorated-cookies").expect("is there");
    let mut part = cookies.components[0].clone();
    part.card = "plum-jam".into();
    part.id = Some("jam".into());
    part.pass.clear();
    part.set.clear();
    cookies.components.push(part);
    book.apply(Command::SaveCard(Box::new(cookies))).expect("is sound");
    let refusals = book.apply(Command::RemoveCard("plum-jam".into())).expect_err("is used");
    assert!(
        refusals[0].message.contains("“Decorated cookies” is made with “Plum jam”"),
        "{refusals:?}"
    );
}
