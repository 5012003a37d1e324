//! A bench to break items down at: an ordinary kitchen and the built-in cards.

#![allow(dead_code, reason = "every test file uses another part of it")]

use std::collections::BTreeMap;
use std::fmt::Write;

use rackweek::breakdown::{Longest, Rest, RestChoice, RestStay, Step, Work, break_down_within};
use rackweek::calendar::Date;
use rackweek::card::{Card, builtin};
use rackweek::kitchen::{Boxes, Counter, Household, Kitchen, Oven, Rack, Shelf, ShelfKind, Warmth};
use rackweek::margin::Margins;
use rackweek::order::{Handover, HandoverWay, Item, ItemId, Order, OrderId, Stage};

/// Kitchen, cards and longest sittings.
pub(crate) struct Bench {
    pub(crate) kitchen: Kitchen,
    pub(crate) cards: Vec<Card>,
    pub(crate) longest: Longest,
}

impl Default for Bench {
    fn default() -> Self {
        Self { kitchen: kitchen(), cards: builtin(), longest: Longest { hands_on: 180, fine: 120 } }
    }
}

impl Bench {
    pub(crate) fn work(&self, item: Item) -> Work {
        self.works(vec![item])
    }

    pub(crate) fn works(&self, items: Vec<Item>) -> Work {
        let order = order(items);
        let cards: Vec<&Card> = self.cards.iter().collect();
        break_down_within(&[&order], &cards, &self.kitchen, self.longest, &Margins::default())
    }
}

pub(crate) fn order(items: Vec<Item>) -> Order {
    Order {
        items,
        stage: Stage::Confirmed,
        ..Order::new(
            OrderId(1),
            "Somebody".into(),
            Handover {
                at: Date::new(2026, 12, 12).expect("a date").at(15 * 60),
                way: HandoverWay::Collection,
            },
        )
    }
}

pub(crate) fn item(card: &str, count: u32, spares: u32, options: &[(&str, i64)]) -> Item {
    let options: BTreeMap<String, i64> =
        options.iter().map(|(id, value)| ((*id).to_owned(), *value)).collect();
    Item {
        id: ItemId(1),
        card: card.into(),
        count,
        spares,
        options,
        notes: String::new(),
        versions: BTreeMap::new(),
    }
}

pub(crate) fn kitchen() -> Kitchen {
    let shelf = |name: &str, width, depth, height, household| Shelf {
        name: name.into(),
        kind: ShelfKind::Shelf,
        width,
        depth,
        height,
        household: Household::of_percent(width, household),
    };
    Kitchen {
        fridge: vec![shelf("top", 500, 330, 180, 50), shelf("tall", 500, 330, 380, 30)],
        freezer: vec![shelf("drawer", 420, 380, 200, 60)],
        racks: vec![Rack { name: "rack".into(), levels: 10, tray_width: 330, tray_depth: 457 }],
        counter: Counter { width: 2000, depth: 600, work_zone: 900 },
        room: vec![shelf("sideboard", 1200, 400, 400, 20)],
        oven: Oven { decks: 2, trays_per_deck: 1 },
        mixers: 1,
        clearings: Vec::new(),
        boxes: Boxes::usual(),
        warmth: Warmth::default(),
    }
}

pub(crate) fn step<'a>(work: &'a Work, id: &str) -> &'a Step {
    work.steps
        .iter()
        .find(|step| step.id.0 == format!("o1.i1.{id}"))
        .unwrap_or_else(|| panic!("no step {id} among {:?}", ids(work)))
}

pub(crate) fn rest<'a>(work: &'a Work, id: &str) -> &'a Rest {
    work.rests
        .iter()
        .find(|rest| rest.id == format!("o1.i1.{id}"))
        .unwrap_or_else(|| panic!("no rest {id} among {:?}", ids(work)))
}

pub(crate) fn ids(work: &Work) -> Vec<&str> {
    work.steps
        .iter()
        .map(|step| step.id.0.as_str())
        .chain(work.rests.iter().map(|rest| rest.id.as_str()))
        .collect()
}

/// Minutes of somebody's hands, set-up and clear-up included.
pub(crate) fn hands_on(work: &Work) -> u32 {
    use rackweek::card::StepKind::{Fine, Plain};
    work.steps
        .iter()
        .filter(|step| matches!(step.kind, Plain | Fine))
        .flat_map(|step| &step.sittings)
        .sum()
}

/// Everything in a few lines of text.
pub(crate) fn summary(work: &Work) -> String {
    let mut out = String::new();
    let short = |id: &str| id.trim_start_matches("o1.").trim_start_matches("i1.").to_owned();
    for note in work.notes.iter().filter(|note| note.problem) {
        let _ = writeln!(out, "PROBLEM {}", note.text);
    }
    for step in &work.steps {
        let minutes: Vec<String> = step.sittings.iter().map(u32::to_string).collect();
        let kind = format!("{:?}", step.kind).to_lowercase();
        let _ =
            writeln!(out, "{}: {kind} {} · {}", short(&step.id.0), minutes.join("+"), step.detail);
    }
    for rest in &work.rests {
        let choices: Vec<String> = rest.choices.iter().map(choice).collect();
        let _ = writeln!(
            out,
            "{} → {}: {}",
            short(&rest.from.0),
            short(&rest.to.0),
            choices.join(" | ")
        );
    }
    for limit in &work.limits {
        let _ = writeln!(
            out,
            "{}{} ⇥ {}: ≤ {}{}",
            if limit.from_start { "start of " } else { "" },
            short(&limit.from.0),
            short(&limit.to.0),
            span(limit.greatest),
            if limit.safety { " safe" } else { "" }
        );
    }
    out
}

fn choice(choice: &RestChoice) -> String {
    let mut out = format!("{} ≥ {}", stay(choice.stay.as_ref()), span(choice.least));
    if let Some(greatest) = choice.greatest {
        let _ = write!(out, " ≤ {}", span(greatest));
    }
    if choice.safety {
        out.push_str(" safe");
    }
    if let Some((minutes, place)) = &choice.tail {
        let _ = write!(out, ", last {} {}", span(*minutes), stay(place.as_ref()));
    }
    out
}

fn stay(stay: Option<&RestStay>) -> String {
    stay.map_or_else(
        || "anywhere".to_owned(),
        |stay| {
            let boxes: Vec<String> = stay
                .boxes
                .iter()
                .map(|b| format!("{}×{}×{}×{}", b.count, b.width, b.depth, b.height))
                .collect();
            format!("{:?} {}", stay.place, boxes.join(" "))
        },
    )
}

fn span(minutes: u32) -> String {
    match minutes {
        m if m % 1440 == 0 && 0 < m => format!("{} d", m / 1440),
        m if m % 60 == 0 && 0 < m => format!("{} h", m / 60),
        m => format!("{m} min"),
    }
}
