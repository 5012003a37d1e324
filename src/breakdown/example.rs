//! What a card comes to for an order made up as an example: for somebody who changes the card.

use std::collections::BTreeMap;

use super::{StepId, Work, break_down};
use crate::calendar::Date;
use crate::card::{Card, StepKind};
use crate::kitchen::Kitchen;
use crate::order::{Handover, HandoverWay, Item, ItemId, Order, OrderId};

/// The longest sitting that the example counts with, minutes; clear-up between sittings depends on it.
const LONGEST_SITTING: u32 = 180;

/// A card for so many pieces with its usual options.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Example {
    /// In the order of the breakdown: components first.
    pub steps: Vec<ExampleStep>,
    /// In the order of the breakdown, keeping until the handover last.
    pub waits: Vec<ExampleWait>,
    /// Minutes by hand.
    pub by_hand: u32,
    /// Least minutes from the first step's start to the end of the last, if everything follows at once.
    pub shortest: u32,
    /// What cannot be made so.
    pub problems: Vec<String>,
    /// All of it: amounts, sizes and reasons too.
    pub work: Work,
}

/// A step of the example.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ExampleStep {
    /// Its name in the breakdown.
    pub id: StepId,
    /// What to do.
    pub name: String,
    /// What kind of step.
    pub kind: StepKind,
    /// Minutes, all sittings together.
    pub minutes: u32,
    /// How many sittings.
    pub sittings: usize,
    /// How it came about.
    pub detail: String,
}

/// A wait of the example, in its usual way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ExampleWait {
    /// Its name in the breakdown.
    pub id: String,
    /// What rests.
    pub what: String,
    /// The usual way, for example "dry on the rack".
    pub way: String,
    /// Least minutes.
    pub least: u32,
    /// Greatest minutes, if there is a limit.
    pub greatest: Option<u32>,
}

/// How many pieces make an example of a card: a kilogram of a component, one whole cake, two dozen of all else.
pub fn example_count(card: &Card) -> u32 {
    if card.component {
        1000
    } else if card.piece.contains("cake") && !card.piece.contains("cup") {
        1
    } else {
        24
    }
}

/// Breaks one item of a card down, with the usual options and no spares. `cards` holds its components' cards.
pub fn example(card: &Card, cards: &[&Card], kitchen: &Kitchen, count: u32) -> Example {
    let date = Date::new(2026, 1, 5).unwrap_or(Date(chrono::NaiveDate::MIN));
    let item = Item {
        id: ItemId(1),
        card: card.id.clone(),
        count,
        spares: 0,
        options: BTreeMap::new(),
        notes: String::new(),
        versions: BTreeMap::new(),
    };
    let order = Order {
        items: vec![item],
        ..Order::new(
            OrderId(1),
            String::new(),
            Handover { at: date.at(0), way: HandoverWay::Collection },
        )
    };
    // The card itself wins over another of its id.
    let known: Vec<&Card> = std::iter::once(card).chain(cards.iter().copied()).collect();
    of_work(break_down(&[&order], &known, kitchen, LONGEST_SITTING))
}

fn of_work(work: Work) -> Example {
    let steps: Vec<ExampleStep> = work
        .steps
        .iter()
        .map(|step| ExampleStep {
            id: step.id.clone(),
            name: step.name.clone(),
            kind: step.kind,
            minutes: step.sittings.iter().sum(),
            sittings: step.sittings.len(),
            detail: step.detail.clone(),
        })
        .collect();
    let waits = work.rests.iter().filter_map(|rest| {
        let usual = rest.choices.first()?;
        Some(ExampleWait {
            id: rest.id.clone(),
            what: rest.what.clone(),
            way: usual.name.clone(),
            least: usual.least,
            greatest: usual.greatest,
        })
    });
    let waits = waits.collect();
    let by_hand = steps
        .iter()
        .filter(|step| matches!(step.kind, StepKind::Plain | StepKind::Fine))
        .map(|step| step.minutes)
        .sum();
    let problems = work.notes.iter().filter(|note| note.problem);
    let problems = problems.map(|note| note.text.clone()).collect();
    Example { waits, by_hand, shortest: shortest(&work, &steps), problems, steps, work }
}

/// The longest chain of steps and least waits. Cards have no circles, so that a round for each step is enough.
fn shortest(work: &Work, steps: &[ExampleStep]) -> u32 {
    let mut end: BTreeMap<&StepId, u32> = steps.iter().map(|s| (&s.id, s.minutes)).collect();
    for _ in steps {
        let mut changed = false;
        for rest in &work.rests {
            let least = rest.choices.iter().map(|choice| choice.least).min().unwrap_or(0);
            let Some(minutes) = steps.iter().find(|s| s.id == rest.to).map(|s| s.minutes) else {
                continue;
            };
            let Some(after) = end.get(&rest.from).map(|e| e.saturating_add(least)) else {
                continue;
            };
            let after = after.saturating_add(minutes);
            if let Some(known) = end.get_mut(&rest.to)
                && *known < after
            {
                *known = after;
                changed = true;
            }
        }
        if !changed {
            break;
        }
    }
    end.into_values().max().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::card::builtin;
    use crate::kitchen::presets;

    /// Shapes biscuits by hand for 10 minutes and 30 s a piece, bakes, cools for an hour, packs.
    fn card() -> Card {
        Card::parse(include_str!("../../tests/data/cards/plain-biscuits.json")).expect("is a card")
    }

    #[test]
    fn an_example_adds_hand_times_and_the_longest_chain() {
        let kitchen = presets().remove(0).kitchen;
        let all = example(&card(), &[], &kitchen, 24);
        assert_eq!(all.problems, Vec::<String>::new());
        let minutes: Vec<u32> = all.steps.iter().map(|step| step.minutes).collect();
        // 600 + 600 + 24 × 30 + 600 s = 42 min; 12 min in the oven, one load; 600 + 24 × 20 + 300 s = 23 min;
        // each sitting is rounded up to five minutes.
        assert_eq!(minutes, [45, 15, 25]);
        assert_eq!(all.by_hand, 45 + 25);
        assert_eq!(all.shortest, 45 + 15 + 60 + 25);
        let waits: Vec<_> = all.waits.iter().map(|w| (w.least, w.greatest)).collect();
        assert_eq!(waits, [(0, Some(30)), (60, None), (0, Some(14_400))]);
    }

    #[test]
    fn every_built_in_card_has_an_example_without_problems() {
        let (cards, kitchen) = (builtin(), presets().remove(0).kitchen);
        let known: Vec<&Card> = cards.iter().collect();
        for card in &cards {
            let all = example(card, &known, &kitchen, example_count(card));
            assert_eq!(all.problems, Vec::<String>::new(), "{}", card.id);
            assert!(0 < all.by_hand && all.by_hand <= all.shortest, "{}", card.id);
        }
    }
}
