//! The document.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use serde::{Deserialize, Serialize};

use crate::breakdown::StepId;
use crate::calendar::{MyTime, Wall};
use crate::card::Card;
use crate::keeping::Rules;
use crate::kitchen::Kitchen;
use crate::order::{Order, OrderId, Picture, PictureId};
use crate::plan::arrange::set_of;
use crate::quote::Pricing;
use crate::supply::Supplies;

use super::{Progress, Timers};
use crate::margin::Margins;

/// Everything the baker has entered or decided.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Book {
    /// Her kitchen; none until it is set up.
    pub kitchen: Option<Kitchen>,
    /// Her time; none until it is set up.
    pub time: Option<MyTime>,
    /// All orders.
    pub orders: BTreeMap<OrderId, Order>,
    /// Her own cards, beside the built-in ones, in their newest versions.
    pub cards: BTreeMap<String, Card>,
    /// Versions that were the newest once, by id and version: what older orders go by.
    pub older_cards: BTreeMap<(String, u32), Card>,
    /// What she placed by hand or ticked off.
    pub pins: BTreeMap<StepId, Pin>,
    /// The plan that she saw last.
    pub shown: Option<Shown>,
    /// Choices that belong to the data, not to the device.
    pub settings: Settings,
    /// Her larder, packages and shopping.
    pub supplies: Supplies,
    /// Her rates, price list and what is agreed.
    pub pricing: Pricing,
    /// What really happened of each step.
    pub progress: BTreeMap<StepId, Progress>,
    /// Her timers.
    pub timers: Timers,
    /// What was timed of each step, of orders that are handed over.
    pub margins: Margins,
}

/// A step that stays where it is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Pin {
    /// Start of each sitting, on the wall clock.
    pub starts: Vec<Wall>,
    /// True when it is done, not merely pinned.
    pub done: bool,
}

/// The plan that was shown last: what stability is measured from, and what is seen at once on start.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Shown {
    /// Start of each sitting of each step, on the wall clock.
    pub starts: BTreeMap<StepId, Vec<Wall>>,
    /// Chosen way of each rest that has a choice.
    pub modes: BTreeMap<String, String>,
}

/// Choices that belong to the data.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Settings {
    /// Minutes between "all boxed" and the handover, 0 to 1440.
    pub safety_margin: u32,
    /// The highest order number ever given, so that none is given twice.
    #[serde(default)]
    pub orders_given: u32,
    /// By which region's rules she goes, and what she made stricter.
    #[serde(default)]
    pub rules: Rules,
    /// What tells this book from all others in files for other programs: letters and digits by chance; empty until one
    /// is needed.
    #[serde(default)]
    pub key: String,
}

impl Default for Settings {
    fn default() -> Self {
        Self { safety_margin: 60, orders_given: 0, rules: Rules::default(), key: String::new() }
    }
}

/// What there is of one kind, or that there is one of it. Sorted as records are listed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RecordKind {
    /// The kitchen; exists once.
    Kitchen,
    /// The baker's time; exists once.
    Time,
    /// Settings; exist once.
    Settings,
    /// A card of her own.
    Card,
    /// An order.
    Order,
    /// A pin.
    Pin,
    /// The plan shown last; exists once.
    Shown,
    /// Larder, packages, shopping; exist once.
    Supplies,
    /// Rates, prices, what is agreed; exist once.
    Pricing,
    /// What happened of a step.
    Progress,
    /// Timers; exist once.
    Timers,
    /// What was timed; exists once.
    Margins,
}

impl RecordKind {
    /// All of them.
    pub const ALL: [Self; 12] = [
        Self::Kitchen,
        Self::Time,
        Self::Settings,
        Self::Card,
        Self::Order,
        Self::Pin,
        Self::Shown,
        Self::Supplies,
        Self::Pricing,
        Self::Progress,
        Self::Timers,
        Self::Margins,
    ];

    /// As the store and files have it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Kitchen => "kitchen",
            Self::Time => "time",
            Self::Settings => "settings",
            Self::Card => "card",
            Self::Order => "order",
            Self::Pin => "pin",
            Self::Shown => "shown",
            Self::Supplies => "supplies",
            Self::Pricing => "pricing",
            Self::Progress => "progress",
            Self::Timers => "timers",
            Self::Margins => "margins",
        }
    }

    /// The kind of this name.
    pub fn of(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.name() == name)
    }
}

/// Names a record in the store: `order/3`, `kitchen/`, `pin/o3.i1.flood`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RecordKey {
    /// What it is.
    pub kind: RecordKind,
    /// Within its kind; empty for those that exist once.
    pub id: String,
}

impl RecordKey {
    /// The key of what exists once.
    pub fn once(kind: RecordKind) -> Self {
        Self { kind, id: String::new() }
    }

    /// An order's key.
    pub fn order(id: OrderId) -> Self {
        Self { kind: RecordKind::Order, id: id.0.to_string() }
    }

    /// The key of an older version of a card: `card/royal-icing@2`.
    pub fn old_card(id: &str, version: u32) -> Self {
        Self { kind: RecordKind::Card, id: format!("{id}@{version}") }
    }

    /// A pin's key.
    pub fn pin(step: &StepId) -> Self {
        Self { kind: RecordKind::Pin, id: step.0.clone() }
    }

    /// The key of what happened of a step.
    pub fn progress(step: &StepId) -> Self {
        Self { kind: RecordKind::Progress, id: step.0.clone() }
    }

    /// Reads `order/3`. None for a kind that this build does not know.
    pub fn read(text: &str) -> Option<Self> {
        let (kind, id) = text.split_once('/')?;
        Some(Self { kind: RecordKind::of(kind)?, id: id.to_owned() })
    }
}

impl fmt::Display for RecordKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.kind.name(), self.id)
    }
}

/// One record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Record {
    /// The kitchen.
    Kitchen(Kitchen),
    /// The baker's time.
    Time(MyTime),
    /// An order.
    Order(Order),
    /// A card of her own.
    Card(Card),
    /// An older version of a card.
    OldCard(Card),
    /// A pin.
    Pin(StepId, Pin),
    /// The plan shown last.
    Shown(Shown),
    /// Settings.
    Settings(Settings),
    /// Larder, packages, shopping.
    Supplies(Supplies),
    /// Rates, prices, what is agreed.
    Pricing(Pricing),
    /// What happened of a step.
    Progress(StepId, Progress),
    /// Timers.
    Timers(Timers),
    /// What was timed.
    Margins(Margins),
}

impl Record {
    /// Its name in the store.
    pub fn key(&self) -> RecordKey {
        match self {
            Self::Kitchen(_) => RecordKey::once(RecordKind::Kitchen),
            Self::Time(_) => RecordKey::once(RecordKind::Time),
            Self::Settings(_) => RecordKey::once(RecordKind::Settings),
            Self::Shown(_) => RecordKey::once(RecordKind::Shown),
            Self::Supplies(_) => RecordKey::once(RecordKind::Supplies),
            Self::Pricing(_) => RecordKey::once(RecordKind::Pricing),
            Self::Order(order) => RecordKey::order(order.id),
            Self::Card(card) => RecordKey { kind: RecordKind::Card, id: card.id.clone() },
            Self::OldCard(card) => RecordKey::old_card(&card.id, card.version),
            Self::Pin(step, _) => RecordKey::pin(step),
            Self::Progress(step, _) => RecordKey::progress(step),
            Self::Timers(_) => RecordKey::once(RecordKind::Timers),
            Self::Margins(_) => RecordKey::once(RecordKind::Margins),
        }
    }
}

impl Book {
    /// A number for the next order, never given before.
    pub fn next_order(&self) -> OrderId {
        let highest = self.orders.keys().next_back().map_or(0, |id| id.0);
        OrderId(highest.max(self.settings.orders_given).saturating_add(1))
    }

    /// The record of this name, if there is one. Settings, supplies, pricing, timers and margins always are.
    pub fn record(&self, key: &RecordKey) -> Option<Record> {
        match key.kind {
            RecordKind::Kitchen => self.kitchen.clone().map(Record::Kitchen),
            RecordKind::Time => self.time.clone().map(Record::Time),
            RecordKind::Settings => Some(Record::Settings(self.settings.clone())),
            RecordKind::Shown => self.shown.clone().map(Record::Shown),
            RecordKind::Supplies => Some(Record::Supplies(self.supplies.clone())),
            RecordKind::Pricing => Some(Record::Pricing(self.pricing.clone())),
            RecordKind::Card => match version_of(&key.id) {
                Some(version) => self.older_cards.get(&version).cloned().map(Record::OldCard),
                None => self.cards.get(&key.id).cloned().map(Record::Card),
            },
            RecordKind::Order => {
                let id = OrderId(key.id.parse().ok()?);
                self.orders.get(&id).cloned().map(Record::Order)
            }
            RecordKind::Pin => {
                let step = StepId(key.id.clone());
                let pin = self.pins.get(&step).cloned()?;
                Some(Record::Pin(step, pin))
            }
            RecordKind::Progress => {
                let step = StepId(key.id.clone());
                let progress = self.progress.get(&step).cloned()?;
                Some(Record::Progress(step, progress))
            }
            RecordKind::Timers => Some(Record::Timers(self.timers.clone())),
            RecordKind::Margins => Some(Record::Margins(self.margins.clone())),
        }
    }

    /// What an order should look like; nothing when it is not here.
    pub fn pictures_of(&self, order: OrderId) -> &[Picture] {
        self.orders.get(&order).map_or(&[], |order| &order.pictures)
    }

    /// The pictures that its orders mention.
    pub fn picture_ids(&self) -> BTreeSet<PictureId> {
        let of = |order: &Order| -> Vec<PictureId> {
            order.pictures.iter().chain(&order.handed).map(|picture| picture.id).collect()
        };
        set_of(self.orders.values().flat_map(of))
    }

    /// Every record, in the order of their keys' kinds.
    pub fn records(&self) -> Vec<Record> {
        let mut records = Vec::new();
        records.extend(self.kitchen.clone().map(Record::Kitchen));
        records.extend(self.time.clone().map(Record::Time));
        records.push(Record::Settings(self.settings.clone()));
        records.extend(self.cards.values().cloned().map(Record::Card));
        records.extend(self.older_cards.values().cloned().map(Record::OldCard));
        records.extend(self.orders.values().cloned().map(Record::Order));
        records.extend(self.pins.iter().map(|(step, pin)| Record::Pin(step.clone(), pin.clone())));
        records.extend(self.shown.clone().map(Record::Shown));
        records.push(Record::Supplies(self.supplies.clone()));
        records.push(Record::Pricing(self.pricing.clone()));
        let went = self.progress.iter();
        records.extend(went.map(|(step, went)| Record::Progress(step.clone(), went.clone())));
        records.push(Record::Timers(self.timers.clone()));
        records.push(Record::Margins(self.margins.clone()));
        records
    }

    /// Adds a record, or replaces the one of its name.
    pub(super) fn put(&mut self, record: Record) {
        match record {
            Record::Kitchen(kitchen) => self.kitchen = Some(kitchen),
            Record::Time(time) => self.time = Some(time),
            Record::Settings(settings) => self.settings = settings,
            Record::Shown(shown) => self.shown = Some(shown),
            Record::Supplies(supplies) => self.supplies = supplies,
            Record::Pricing(pricing) => self.pricing = pricing,
            Record::Card(card) => {
                self.cards.insert(card.id.clone(), card);
            }
            Record::OldCard(card) => {
                self.older_cards.insert((card.id.clone(), card.version), card);
            }
            Record::Order(order) => {
                self.orders.insert(order.id, order);
            }
            Record::Pin(step, pin) => {
                self.pins.insert(step, pin);
            }
            Record::Progress(step, progress) => {
                self.progress.insert(step, progress);
            }
            Record::Timers(timers) => self.timers = timers,
            Record::Margins(margins) => self.margins = margins,
        }
    }

    /// Removes the record of this name; settings, supplies, pricing, timers and margins go back to
    /// their defaults.
    pub(super) fn remove(&mut self, key: &RecordKey) {
        match key.kind {
            RecordKind::Kitchen => self.kitchen = None,
            RecordKind::Time => self.time = None,
            RecordKind::Settings => self.settings = Settings::default(),
            RecordKind::Shown => self.shown = None,
            RecordKind::Supplies => self.supplies = Supplies::default(),
            RecordKind::Pricing => self.pricing = Pricing::default(),
            RecordKind::Card => match version_of(&key.id) {
                Some(version) => drop(self.older_cards.remove(&version)),
                None => drop(self.cards.remove(&key.id)),
            },
            RecordKind::Order => {
                if let Ok(id) = key.id.parse() {
                    self.orders.remove(&OrderId(id));
                }
            }
            RecordKind::Pin => {
                self.pins.remove(&StepId(key.id.clone()));
            }
            RecordKind::Progress => {
                self.progress.remove(&StepId(key.id.clone()));
            }
            RecordKind::Timers => self.timers = Timers::default(),
            RecordKind::Margins => self.margins = Margins::default(),
        }
    }
}

/// The card and version that an id names: `royal-icing@2`.
fn version_of(id: &str) -> Option<(String, u32)> {
    let (card, version) = id.split_once('@')?;
    Some((card.to_owned(), version.parse().ok()?))
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::kitchen::presets;
    use crate::order::Stage;
    use crate::order::tests::order;

    fn wall(text: &str) -> Wall {
        text.parse().expect(text)
    }

    /// A book that holds every kind of record.
    pub(in crate::record) fn full_book() -> Book {
        let mut book = Book {
            kitchen: Some(presets().remove(0).kitchen),
            time: Some(MyTime::typical()),
            settings: Settings { orders_given: 2, ..Settings::default() },
            ..Book::default()
        };
        for (id, client) in [(1, "Mara Lindqvist"), (2, "Noor \"the\" Ω\n")] {
            let mut order = order(id, client).cleaned();
            order.stage = Stage::Confirmed;
            order.items[0].options.insert("colours".into(), 4);
            order.pictures.push(crate::order::Picture {
                id: crate::order::PictureId::of("abc"),
                width: 1600,
                height: 1200,
                words: "last year’s \"meadow\"".into(),
            });
            book.orders.insert(order.id, order);
        }
        let mut card = crate::card::builtin().remove(0);
        card.id = "tea-cakes".into();
        book.older_cards.insert((card.id.clone(), card.version), card.clone());
        card.version += 1;
        book.cards.insert(card.id.clone(), card);
        let step = |name: &str| StepId(name.into());
        let starts = vec![wall("2026-12-01T18:00"), wall("2026-12-02T18:15")];
        book.pins.insert(step("o1.i1.flood"), Pin { starts: starts.clone(), done: false });
        let baked = Pin { starts: vec![wall("2026-11-30T19:00")], done: true };
        book.pins.insert(step("o1.i1.bake"), baked);
        let own = crate::supply::Pack { size: 1000, price: Some(199) };
        book.supplies.packs.insert("flour".into(), vec![own]);
        let bought = crate::supply::Bought { milli: 1_000_000, paid: None };
        book.supplies.bought.insert("flour".into(), bought);
        book.pricing.agreed.insert(OrderId(1), 12_000);
        let went = Progress { open_at: Some(1_796_148_000), ..Progress::default() };
        let went = went.after(crate::record::Deed::Start, 1_796_148_000).expect("begins");
        book.progress.insert(step("o1.i1.ice"), went);
        let (id, name) = ("own-1".to_owned(), "syrup".to_owned());
        let timer = crate::record::Timer { id, name, ends: 1_796_150_000, heard: false };
        book.timers.list.push(timer);
        let timed = crate::margin::Timed { order: 9, estimated: 60, real: 75 };
        book.margins.learn("royal-icing", "mix", timed);
        book.shown = Some(Shown {
            starts: BTreeMap::from([(step("o1.i1.flood"), starts)]),
            modes: BTreeMap::from([("o1.i1.keep".into(), "boxed".into())]),
        });
        book
    }

    #[test]
    fn keys_are_written_and_read() {
        for record in full_book().records() {
            let key = record.key();
            assert_eq!(RecordKey::read(&key.to_string()), Some(key.clone()));
            assert_eq!(full_book().record(&key), Some(record));
        }
        assert_eq!(RecordKey::order(OrderId(3)).to_string(), "order/3");
        assert_eq!(RecordKey::once(RecordKind::Kitchen).to_string(), "kitchen/");
        assert_eq!(RecordKey::read("price/3"), None);
        assert_eq!(RecordKey::read("order"), None);
    }

    #[test]
    fn an_order_number_is_never_given_twice() {
        let mut book = full_book();
        assert_eq!(book.next_order(), OrderId(3));
        book.orders.clear();
        assert_eq!(book.next_order(), OrderId(3), "removed orders keep their numbers");
        book.settings.orders_given = 0;
        assert_eq!(book.next_order(), OrderId(1));
    }
}
