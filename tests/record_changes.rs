//! Commands, changes and undo: whatever is done can be taken back, followed and stored.
#![cfg(not(target_arch = "wasm32"))]

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use rackweek::breakdown::StepId;
use rackweek::calendar::{MyTime, Wall, Zone};
use rackweek::kitchen::{Cleared, Clearing, Place, presets};
use rackweek::order::{
    Handover, HandoverWay, Item, ItemId, Order, OrderId, Picture, PictureId, Stage,
};
use rackweek::record::{
    Backup, Book, Change, Command, History, Loaded, Record, RecordKey, RecordKind, RestorePreview,
    Shown,
};

fn wall(text: &str) -> Wall {
    text.parse().expect(text)
}

fn step(order: u32, item: u32, name: &str) -> StepId {
    StepId(format!("o{order}.i{item}.{name}"))
}

/// So many mm of a fridge shelf, for so many minutes.
fn clearing(shelf: usize, width: u16, minutes: i64) -> Clearing {
    let cleared = if width == 0 { Cleared::Whole } else { Cleared::Strip { width } };
    let from = wall("2026-11-27T18:00");
    let until = from.plus_minutes(minutes);
    Clearing { place: Place::Fridge, shelf, cleared, from, until }
}

fn order(id: u32, client: &str, items: &[(u32, &str)]) -> Order {
    Order {
        theme: "meadow".into(),
        items: items
            .iter()
            .map(|&(id, card)| Item {
                id: ItemId(id),
                card: card.into(),
                count: 24,
                spares: 4,
                options: BTreeMap::from([("colours".into(), 3)]),
                notes: String::new(),
                versions: std::collections::BTreeMap::new(),
            })
            .collect(),
        ..Order::new(
            OrderId(id),
            client.into(),
            Handover { at: wall("2026-12-05T10:00"), way: HandoverWay::Collection },
        )
    }
}

/// Keys of what a change touches.
fn touched(change: &Change) -> Vec<String> {
    change.swaps.iter().map(|swap| swap.key.to_string()).collect()
}

#[test]
fn removing_an_order_takes_its_pins_along_and_undo_brings_them_back() {
    let (mut book, mut history) = (Book::default(), History::default());
    let mut apply = |book: &mut Book, command| history.apply(book, command).expect("is taken");
    apply(&mut book, Command::PutOrder(order(1, "Mara", &[(1, "cake-pops")])));
    apply(&mut book, Command::PutOrder(order(11, "Noor", &[(1, "cake-pops")])));
    for id in [1, 11] {
        apply(&mut book, Command::PinStep(step(id, 1, "dip"), vec![wall("2026-12-01T18:00")]));
    }
    let before = book.clone();
    let change = apply(&mut book, Command::RemoveOrder(OrderId(1)));
    assert_eq!(touched(&change), ["order/1", "pin/o1.i1.dip"], "order 11 keeps its own");
    assert_eq!(change.label, "remove order MA");
    assert_eq!(book.next_order(), OrderId(12));
    assert_eq!(history.undo_label(), Some("remove order MA"));
    history.undo(&mut book).expect("something to undo").expect("no conflict");
    assert_eq!(book, before);
}

#[test]
fn pins_go_with_items_that_are_gone_or_made_otherwise() {
    let mut book = Book::default();
    let mut apply = |command| book.apply(command).expect("is taken");
    let items = [(1, "cake-pops"), (2, "cupcakes"), (3, "cupcakes")];
    apply(Command::PutOrder(order(1, "Mara", &items)));
    for item in 1..=3 {
        apply(Command::PinStep(step(1, item, "bake"), vec![wall("2026-12-01T18:00")]));
    }
    let edited = order(1, "Mara L.", &[(1, "cake-pops"), (2, "decorated-cookies")]);
    let change = apply(Command::PutOrder(edited));
    assert_eq!(touched(&change), ["order/1", "pin/o1.i2.bake", "pin/o1.i3.bake"]);
    assert_eq!(book.pins.keys().collect::<Vec<_>>(), [&step(1, 1, "bake")]);
}

#[test]
fn a_refused_command_changes_nothing_and_says_why() {
    let mut book = Book::default();
    book.apply(Command::PutOrder(order(1, "Mara", &[(1, "cake-pops")]))).expect("is taken");
    let mut kitchen = presets().remove(0).kitchen;
    kitchen.fridge[0].width = 0;
    let mut time = MyTime::typical();
    time.travel = 1000;
    let mut confirmed = book.orders[&OrderId(1)].clone();
    confirmed.stage = Stage::Confirmed;
    let mut bad_book = book.clone();
    bad_book.kitchen = Some(kitchen.clone());
    let starts = vec![wall("2026-12-01T18:00")];
    let twice = vec![wall("2026-12-01T18:00"), wall("2026-12-01T18:00")];
    let refused = [
        (Command::PutOrder(order(2, "", &[])), "client"),
        (Command::PutOrder(order(0, "Mara", &[(1, "cake-pops")])), "id"),
        (Command::PutOrder(confirmed), "stage"),
        (Command::SetStage(OrderId(1), Stage::HandedOver), "stage"),
        (Command::SetStage(OrderId(9), Stage::Quoted), "order"),
        (Command::RemoveOrder(OrderId(9)), "order"),
        (Command::SetKitchen(kitchen), "fridge.0.width"),
        (Command::AddClearing(clearing(0, 0, 900)), "kitchen"),
        (Command::SetTime(time), "travel"),
        (Command::PinStep(step(9, 1, "bake"), starts.clone()), "order"),
        (Command::PinStep(StepId("flour".into()), starts), "step"),
        (Command::PinStep(step(1, 1, "bake"), Vec::new()), "starts"),
        (Command::TickStep(step(1, 1, "bake"), twice), "starts"),
        (Command::SetSafetyMargin(1441), "safety_margin"),
        (Command::ReplaceAll(Box::new(bad_book)), "kitchen.fridge.0.width"),
    ];
    for (command, field) in refused {
        let before = book.clone();
        let what = format!("{command:?}");
        let refusals = book.apply(command).expect_err(&what);
        assert_eq!(refusals[0].field, field, "{what}");
        assert!(!refusals[0].message.is_empty() && !refusals[0].message.ends_with('.'));
        assert_eq!(book, before, "{what}");
    }
}

#[test]
fn room_is_cleared_for_a_while_and_taken_back() {
    let (mut book, mut history) = (Book::default(), History::default());
    history.apply(&mut book, Command::SetKitchen(presets().remove(0).kitchen)).expect("is taken");
    let night = clearing(1, 150, 16 * 60);
    let change = history.apply(&mut book, Command::AddClearing(night.clone())).expect("is taken");
    assert_eq!(change.label, "clear the second shelf of the fridge");
    assert_eq!(touched(&change), ["kitchen/"]);
    let refused = book.apply(Command::AddClearing(clearing(4, 0, 60))).expect_err("no such shelf");
    assert_eq!(refused[0].field, "shelf");
    let refused = book.apply(Command::RemoveClearing(clearing(1, 0, 60))).expect_err("not there");
    assert_eq!(refused[0].field, "clearing");
    history.undo(&mut book).expect("something").expect("no conflict");
    assert_eq!(book.kitchen.as_ref().map(|kitchen| kitchen.clearings.len()), Some(0));
    history.redo(&mut book).expect("something").expect("no conflict");
    assert_eq!(book.kitchen.as_ref().map(|k| k.clearings.clone()), Some(vec![night.clone()]));
    let change = book.apply(Command::RemoveClearing(night)).expect("is taken");
    assert_eq!(change.label, "no longer clear the second shelf of the fridge");
    assert_eq!(book.kitchen, Some(presets().remove(0).kitchen));
}

#[test]
fn a_stage_refusal_names_the_legal_moves() {
    let mut book = Book::default();
    book.apply(Command::PutOrder(order(1, "Mara", &[(1, "cake-pops")]))).expect("is taken");
    let refusals =
        book.apply(Command::SetStage(OrderId(1), Stage::HandedOver)).expect_err("a jump");
    assert_eq!(
        refusals[0].message,
        "enquiry cannot become handed over; it can become quoted or declined"
    );
}

#[test]
fn undo_of_a_move_brings_the_week_back_that_was_seen_before_it() {
    let (mut book, mut history) = (Book::default(), History::default());
    let show = |at: &str| {
        let starts = BTreeMap::from([(step(1, 1, "bake"), vec![wall(at)])]);
        Command::Show(Shown { starts, modes: BTreeMap::new() })
    };
    let put = Command::PutOrder(order(1, "Mara", &[(1, "cake-pops")]));
    history.apply(&mut book, put).expect("is taken");
    history.apply(&mut book, show("2026-12-01T18:00")).expect("is taken");
    let before = book.clone();
    let pin = Command::PinStep(step(1, 1, "bake"), vec![wall("2026-12-02T19:00")]);
    history.apply(&mut book, pin).expect("is taken");
    // The planner answers, twice.
    history.apply(&mut book, show("2026-12-02T19:00")).expect("is taken");
    history.apply(&mut book, show("2026-12-02T19:15")).expect("is taken");
    assert_eq!(history.undo_label(), Some("move Bake the cake · MA"), "showing is no step");
    let moved = book.clone();
    let change = history.undo(&mut book).expect("something").expect("no conflict");
    assert_eq!(book, before);
    assert_eq!(touched(&change), ["shown/", "pin/o1.i1.bake"]);
    // The planner answers again; redo is still there, and undo after it.
    history.apply(&mut book, show("2026-12-01T18:15")).expect("is taken");
    assert_eq!(history.redo_label(), Some("move Bake the cake · MA"));
    history.redo(&mut book).expect("something").expect("no conflict");
    assert_eq!(book, moved);
    history.undo(&mut book).expect("something").expect("no conflict");
    assert_eq!(book.pins, before.pins);
}

#[test]
fn a_photo_of_what_leaves_ticks_its_line_and_can_be_taken_back() {
    let (mut book, mut history) = (Book::default(), History::default());
    let photo = |name: &str| Picture {
        id: PictureId::of(name),
        width: 1600,
        height: 1200,
        words: " the\ttable ".into(),
    };
    let put = Command::PutOrder(order(1, "Mara", &[(1, "cupcakes")]));
    history.apply(&mut book, put).expect("is taken");
    let set = |pictures: Vec<Picture>| Command::SetHanded(OrderId(1), pictures);
    history.apply(&mut book, set(vec![photo("a")])).expect("is taken");
    let kept = &book.orders[&OrderId(1)];
    assert!(kept.checked.contains(rackweek::care::PHOTO));
    assert_eq!((kept.handed[0].words.as_str(), book.picture_ids().len()), ("the table", 1));
    let before = book.clone();
    for (wrong, field) in [
        (vec![photo("a"), photo("a")], "handed"),
        ((0..13).map(|at| photo(&at.to_string())).collect(), "handed"),
        (vec![Picture { width: 0, ..photo("a") }], "handed.0"),
        (vec![Picture { words: "x".repeat(201), ..photo("a") }], "handed.0"),
    ] {
        let refusals = history.apply(&mut book, set(wrong)).expect_err("is refused");
        assert_eq!(refusals[0].field, field, "{refusals:?}");
        assert_eq!(book, before);
    }
    history.undo(&mut book).expect("something").expect("no conflict");
    assert!(book.picture_ids().is_empty() && book.orders[&OrderId(1)].checked.is_empty());
}

#[test]
fn a_change_made_elsewhere_in_between_is_not_undone() {
    let (mut book, mut history) = (Book::default(), History::default());
    history.apply(&mut book, Command::SetSafetyMargin(90)).expect("is taken");
    history.apply(&mut book, Command::SetKitchen(presets().remove(0).kitchen)).expect("is taken");
    // Another tab.
    book.apply(Command::SetKitchen(presets().remove(1).kitchen)).expect("is taken");
    let before = book.clone();
    let conflict = history.undo(&mut book).expect("something").expect_err("a conflict");
    assert_eq!(conflict.key, RecordKey::once(RecordKind::Kitchen));
    assert!(conflict.to_string().starts_with("the kitchen was changed in the meantime"));
    assert_eq!(book, before);
    // The step before it is still there.
    history.undo(&mut book).expect("something").expect("no conflict");
    assert_eq!(book.settings.safety_margin, 60);
    assert!(history.undo(&mut book).is_none());
}

#[test]
fn doing_the_same_twice_is_one_change() {
    let (mut book, mut history) = (Book::default(), History::default());
    let set = || Command::SetKitchen(presets().remove(0).kitchen);
    assert_eq!(history.apply(&mut book, set()).expect("is taken").swaps.len(), 1);
    assert!(history.apply(&mut book, set()).expect("is taken").is_empty());
    let release = Command::ReleaseStep(step(1, 1, "bake"));
    assert!(history.apply(&mut book, release).expect("is taken").is_empty());
    history.undo(&mut book).expect("something").expect("no conflict");
    assert!(history.undo(&mut book).is_none(), "what changed nothing is no step");
}

fn any_order() -> impl Strategy<Value = Order> {
    let cards =
        prop::sample::subsequence(vec!["cake-pops", "cupcakes", "decorated-cookies"], 1..=3);
    (1..5_u32, "[A-Za-zäΩ田 \\n\"\\\\]{1,12}", cards, 0..5_usize, 0..20_000_i64).prop_map(
        |(id, client, cards, stage, minutes)| {
            let items: Vec<(u32, &str)> = (1..).zip(cards).collect();
            let mut order = order(id, &format!("x{client}"), &items);
            order.stage = Stage::ALL[stage];
            order.handover.at = wall("2026-11-24T10:00").plus_minutes(minutes);
            order
        },
    )
}

fn any_step() -> impl Strategy<Value = StepId> {
    (1..5_u32, 1..3_u32, prop::sample::select(vec!["bake", "dip", "whip"]))
        .prop_map(|(order, item, name)| step(order, item, name))
}

fn any_starts() -> impl Strategy<Value = Vec<Wall>> {
    prop::collection::btree_set(0..20_000_i64, 1..3).prop_map(|minutes: BTreeSet<i64>| {
        minutes.into_iter().map(|m| wall("2026-11-24T10:00").plus_minutes(m)).collect()
    })
}

/// Pictures of which some are too many, too large, or the same twice.
fn any_pictures() -> impl Strategy<Value = Vec<Picture>> {
    let one = ("[a-c]{1,2}", 0..5000_u16, "[a-zΩ\n\"]{0,9}").prop_map(|(name, width, words)| {
        Picture { id: PictureId::of(&name), width, height: 1200, words }
    });
    prop::collection::vec(one, 0..4)
}

/// Commands of which some are refused.
fn any_command() -> impl Strategy<Value = Command> {
    prop_oneof![
        4 => any_order().prop_map(Command::PutOrder),
        2 => (1..5_u32, 0..5_usize)
            .prop_map(|(id, stage)| Command::SetStage(OrderId(id), Stage::ALL[stage])),
        1 => (1..5_u32).prop_map(|id| Command::RemoveOrder(OrderId(id))),
        1 => (1..5_u32, any_pictures())
            .prop_map(|(id, pictures)| Command::SetHanded(OrderId(id), pictures)),
        1 => (0..3_usize).prop_map(|i| Command::SetKitchen(presets().swap_remove(i).kitchen)),
        2 => (0..6_usize, 0..300_u16, 0..3000_i64)
            .prop_map(|(shelf, mm, minutes)| Command::AddClearing(clearing(shelf, mm, minutes))),
        1 => (0..300_u16).prop_map(|travel| Command::SetTime(MyTime { travel, ..MyTime::typical() })),
        3 => (any_step(), any_starts()).prop_map(|(step, starts)| Command::PinStep(step, starts)),
        2 => (any_step(), any_starts()).prop_map(|(step, starts)| Command::TickStep(step, starts)),
        1 => any_step().prop_map(Command::ReleaseStep),
        2 => prop::collection::btree_map(any_step(), any_starts(), 0..4)
            .prop_map(|starts| Command::Show(Shown { starts, modes: BTreeMap::new() })),
        1 => (0..2000_u32).prop_map(Command::SetSafetyMargin),
        1 => Just(Command::ReplaceAll(Box::default())),
    ]
}

fn any_commands() -> impl Strategy<Value = Vec<Command>> {
    prop::collection::vec(any_command(), 0..40)
}

/// A book as a session leaves it.
fn book_of(commands: Vec<Command>) -> Book {
    let mut book = Book::default();
    for command in commands {
        let _ = book.apply(command);
    }
    book
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn a_change_and_its_inverse_are_nothing(commands in any_commands()) {
        let mut book = Book::default();
        for command in commands {
            let before = book.clone();
            let Ok(change) = book.apply(command) else {
                prop_assert_eq!(&book, &before, "a refusal leaves all as it was");
                continue;
            };
            let after = book.clone();
            prop_assert_eq!(change.is_empty(), before == after);
            prop_assert_eq!(change.inverse().inverse(), change.clone());
            book.follow(&change.inverse()).expect("follows");
            prop_assert_eq!(&book, &before);
            book.follow(&change).expect("follows");
            prop_assert_eq!(&book, &after);
        }
    }

    #[test]
    fn a_session_can_be_undone_to_its_start_and_redone_to_its_end(commands in any_commands()) {
        let (mut book, mut history) = (Book::default(), History::default());
        for command in commands {
            let _ = history.apply(&mut book, command);
        }
        let end = book.clone();
        while let Some(change) = history.undo(&mut book) {
            prop_assert!(change.is_ok());
        }
        // What was shown before the first step is all that may be left.
        prop_assert_eq!(&Book { shown: None, ..book.clone() }, &Book::default());
        while let Some(change) = history.redo(&mut book) {
            prop_assert!(change.is_ok());
        }
        let shown = end.shown.clone();
        prop_assert_eq!(&Book { shown, ..book.clone() }, &end);
    }

    #[test]
    fn a_second_tab_that_follows_ends_with_the_same_book(commands in any_commands(), undos in 0..6_usize) {
        let (mut writer, mut history, mut follower) =
            (Book::default(), History::default(), Book::default());
        let mut sent = Vec::new();
        for command in commands {
            sent.extend(history.apply(&mut writer, command));
        }
        for _ in 0..undos {
            sent.extend(history.undo(&mut writer).and_then(Result::ok));
        }
        for change in &sent {
            prop_assert!(follower.follow(change).is_ok());
        }
        prop_assert_eq!(&follower, &writer);
        // A change that is missed is noticed by the first later one on the same record.
        if let Some(first) = sent.iter().find(|change| !change.is_empty()) {
            let mut late = Book::default();
            late.follow(first).expect("follows");
            let again = late.clone();
            prop_assert!(late.follow(first).is_err(), "a change does not apply twice");
            prop_assert_eq!(late, again);
        }
    }

    #[test]
    fn what_is_stored_after_each_change_loads_as_the_book(commands in any_commands()) {
        let mut book = Book::default();
        let mut store = BTreeMap::new();
        for command in commands {
            for swap in book.apply(command).into_iter().flat_map(|change| change.swaps) {
                match swap.after {
                    Some(record) => store.insert(swap.key.to_string(), record.to_json()),
                    None => store.remove(&swap.key.to_string()),
                };
            }
        }
        let loaded = Loaded::from_store(store);
        prop_assert_eq!(loaded, Loaded { book, ..Loaded::default() });
    }

    #[test]
    fn records_and_backups_come_back_as_they_were(commands in any_commands(), offset in -720..840_i32) {
        let book = book_of(commands);
        for record in book.records() {
            prop_assert_eq!(Record::from_json(&record.to_json()), Ok(record));
        }
        let backup = Backup::of(book.clone(), wall("2026-11-25T17:40"), Zone::fixed("kitchen", offset));
        let text = backup.to_json();
        prop_assert_eq!(Backup::from_json(&text), Ok(backup));
        // Restoring it does what the preview says.
        let mut other = Book::default();
        let preview = RestorePreview::of(&other, &book);
        let change = other.apply(Command::ReplaceAll(Box::new(book.clone()))).expect("is taken");
        prop_assert_eq!(&other, &book);
        let mut previewed: Vec<RecordKey> =
            preview.adds.into_iter().chain(preview.changes).chain(preview.removes).collect();
        previewed.sort();
        let mut keys: Vec<RecordKey> = change.swaps.into_iter().map(|swap| swap.key).collect();
        keys.sort();
        prop_assert_eq!(previewed, keys);
    }

    #[test]
    fn no_text_at_all_makes_a_reader_panic(text in "\\PC{0,200}", keys in "[a-z{}\\[\\]\":,0-9e.\\- ]{0,200}") {
        for text in [text, keys] {
            prop_assert!(Record::from_json(&text).is_err());
            prop_assert!(Backup::from_json(&text).is_err());
            let loaded = Loaded::from_store([("order/1".to_owned(), text.clone())]);
            prop_assert_eq!(loaded.set_aside.len(), 1);
            prop_assert_eq!(&loaded.set_aside[0].text, &text, "kept as it was");
        }
    }

    #[test]
    fn a_flipped_byte_neither_panics_nor_lets_an_unsound_book_in(
        commands in any_commands(),
        at in any::<prop::sample::Index>(),
        to in any::<u8>(),
    ) {
        let backup = Backup::of(book_of(commands), wall("2026-11-25T17:40"), Zone::fixed("kitchen", 0));
        let mut bytes = backup.to_json().into_bytes();
        let at = at.index(bytes.len());
        bytes[at] = to;
        let Ok(text) = String::from_utf8(bytes) else { return Ok(()) };
        match Backup::from_json(&text) {
            // A digit or a letter inside a value may change what is read; it is still a sound book.
            Ok(read) => prop_assert_eq!(read.book.validate(), vec![]),
            Err(error) => prop_assert!(!error.place.is_empty() && !error.message.is_empty()),
        }
    }
}
