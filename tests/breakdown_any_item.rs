//! Whatever is ordered within a card's limits can be broken down.
#![cfg(not(target_arch = "wasm32"))]

mod common;

use std::collections::{BTreeMap, BTreeSet};

use common::Bench;
use proptest::prelude::*;
use rackweek::breakdown::{Longest, Work};
use rackweek::card::{Card, OptionKind, StepKind, builtin};
use rackweek::order::{Item, ItemId};

/// Any product with any options, in amounts that one person makes in her evenings.
fn any_item() -> impl Strategy<Value = Item> {
    let products: Vec<Card> = builtin().into_iter().filter(|card| !card.component).collect();
    let which = 0..products.len();
    (which, 1_u32..=48, 0_u32..=6, proptest::collection::vec(any::<u16>(), 12)).prop_map(
        move |(which, count, spares, draws)| {
            let card = &products[which];
            let options: BTreeMap<String, i64> = card
                .options
                .iter()
                .zip(draws)
                .map(|(option, draw)| {
                    let (min, max) = match option.kind {
                        OptionKind::Count { min, max } | OptionKind::Length { min, max } => {
                            (min, max)
                        }
                        OptionKind::Switch => (0, 1),
                    };
                    (option.id.clone(), min + i64::from(draw) % (max - min + 1))
                })
                .collect();
            let few = ["tall-layer-cake", "sheet-cake", "cheesecake"].contains(&card.id.as_str());
            let (count, spares) = if few { (1 + count % 3, 0) } else { (count, spares) };
            Item {
                id: ItemId(1),
                card: card.id.clone(),
                count,
                spares,
                options,
                notes: String::new(),
                versions: std::collections::BTreeMap::new(),
            }
        },
    )
}

fn position(work: &Work) -> BTreeMap<&str, usize> {
    work.steps.iter().enumerate().map(|(at, step)| (step.id.0.as_str(), at)).collect()
}

/// Steps in an order in which every rest leads forward; fewer than all when rests go round.
fn in_order(work: &Work) -> usize {
    let mut done: BTreeSet<&str> = BTreeSet::new();
    loop {
        let ready: Vec<&str> = work
            .steps
            .iter()
            .map(|step| step.id.0.as_str())
            .filter(|id| !done.contains(id))
            .filter(|id| {
                work.rests
                    .iter()
                    .filter(|rest| rest.to.0 == *id)
                    .all(|rest| done.contains(rest.from.0.as_str()))
            })
            .collect();
        if ready.is_empty() {
            return done.len();
        }
        done.extend(ready);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn it_is_whole(item in any_item()) {
        let bench = Bench { longest: Longest { hands_on: 300, fine: 180 }, ..Bench::default() };
        let work = bench.work(item.clone());
        for note in &work.notes {
            prop_assert!(!note.problem, "{}", note.text);
        }

        // Every end exists, names are unique, and nothing goes round.
        let steps = position(&work);
        prop_assert_eq!(steps.len(), work.steps.len());
        let rests: BTreeSet<&str> = work.rests.iter().map(|rest| rest.id.as_str()).collect();
        prop_assert_eq!(rests.len(), work.rests.len());
        let handover = "o1.handover";
        for rest in &work.rests {
            prop_assert!(steps.contains_key(rest.from.0.as_str()), "{}", rest.id);
            prop_assert!(rest.to.0 == handover || steps.contains_key(rest.to.0.as_str()), "{}", rest.id);
            prop_assert!(!rest.choices.is_empty(), "{}", rest.id);
            for choice in &rest.choices {
                prop_assert!(choice.greatest.is_none_or(|greatest| choice.least <= greatest));
                let tail = choice.tail.as_ref().map_or(0, |(minutes, _)| *minutes);
                prop_assert!(tail <= choice.least);
                prop_assert!(!choice.safety || 3 < choice.source.len());
            }
        }
        for limit in &work.limits {
            prop_assert!(steps.contains_key(limit.from.0.as_str()), "{}", limit.id);
            prop_assert!(limit.to.0 == handover || steps.contains_key(limit.to.0.as_str()), "{}", limit.id);
        }
        prop_assert_eq!(in_order(&work), work.steps.len());

        // Everything leads to the handover, through exactly one last rest.
        let last: Vec<_> = work.rests.iter().filter(|rest| rest.to.0 == handover).collect();
        prop_assert_eq!(last.len(), 1);
        for step in &work.steps {
            let leads = work.rests.iter().any(|rest| rest.from == step.id);
            prop_assert!(leads, "{} leads nowhere", step.id.0);
        }

        // Counts are right, and no sitting is too long or too short to be worth it.
        let made = format!("{} ", item.count);
        prop_assert!(work.notes.iter().any(|note| note.text.contains(&made)), "{:?}", work.notes);
        for step in &work.steps {
            let longest = match step.kind {
                StepKind::Plain => 300,
                StepKind::Fine => 180,
                StepKind::Oven | StepKind::Wait => u32::MAX,
            };
            for minutes in &step.sittings {
                prop_assert!(*minutes <= longest && 15 <= *minutes, "{} {minutes}", step.id.0);
                prop_assert_eq!(minutes % 5, 0);
            }
            if 1 < step.sittings.len() {
                prop_assert!(step.sittings.iter().all(|minutes| 45 <= *minutes), "{}", step.id.0);
                prop_assert!(step.pause_max.is_some() && step.pause_at.is_some(), "{}", step.id.0);
            }
        }

        // The same wish gives the same work.
        prop_assert_eq!(work, bench.work(item));
    }

    #[test]
    fn more_pieces_never_take_less_time(item in any_item()) {
        let bench = Bench { longest: Longest { hands_on: 300, fine: 180 }, ..Bench::default() };
        let more = Item { count: item.count + 5, ..item.clone() };
        prop_assert!(common::hands_on(&bench.work(item)) <= common::hands_on(&bench.work(more)));
    }
}

#[test]
fn what_cannot_be_made_as_asked_is_said() {
    let bench = Bench::default();
    let trouble = |item: Item| -> String {
        let work = bench.work(item);
        let texts = work.notes.into_iter().filter(|note| note.problem).map(|note| note.text);
        texts.collect::<Vec<_>>().join(" / ")
    };
    let unknown = trouble(common::item("croquembouche", 3, 0, &[]));
    assert!(unknown.contains("croquembouche"), "{unknown}");
    let none = trouble(common::item("cupcakes", 0, 0, &[]));
    assert!(none.contains("nothing is ordered"), "{none}");
    let size = trouble(common::item("decorated-cookies", 12, 0, &[("size", 400)]));
    assert!(size.contains("50 to 130"), "{size}");
    let long = Bench { longest: Longest { hands_on: 20, fine: 20 }, ..Bench::default() };
    let notes = long.work(common::item("moulded-chocolate-shells", 24, 0, &[])).notes;
    assert!(
        notes.iter().any(|note| note.problem && note.text.contains("your evenings allow 20")),
        "{notes:?}"
    );
    let no_oven = {
        let mut bench = Bench::default();
        bench.kitchen.oven.decks = 0;
        bench.work(common::item("cupcakes", 12, 0, &[])).notes
    };
    assert!(no_oven.iter().any(|note| note.problem && note.text.contains("no oven")));
    let small_tray = {
        let mut bench = Bench::default();
        bench.kitchen.racks[0].tray_width = 80;
        bench.work(common::item("decorated-cookies", 12, 0, &[])).notes
    };
    assert!(
        small_tray.iter().any(|note| note.problem && note.text.contains("does not fit the tray"))
    );
}
