//! The document.

use std::collections::BTreeMap;
use std::fmt;

use serde::{Deserialize, Serialize};

use crate::breakdown::StepId;
use crate::calendar::{MyTime, Wall};
use crate::card::Card;
use crate::kitchen::Kitchen;
use crate::order::{Order, OrderId};

/// Everything the baker has entered or decided.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Book {
    /// Her kitchen; none until it is set up.
    pub kitchen: Option<Kitchen>,
    /// Her time; none until it is set up.
    pub time: Option<MyTime>,
    /// All orders.
    pub orders: BTreeMap<OrderId, Order>,
    /// Her own cards, beside the built-in ones.
    pub cards: BTreeMap<String, Card>,
    /// What she placed by hand or ticked off.
    pub pins: BTreeMap<StepId, Pin>,
    /// The plan that she saw last.
    pub shown: Option<Shown>,
    /// Choices that belong to the data, not to the device.
    pub settings: Settings,
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
}

impl Default for Settings {
    fn default() -> Self {
        Self { safety_margin: 60, orders_given: 0 }
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
}

impl RecordKind {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::Kitchen,
        Self::Time,
        Self::Settings,
        Self::Card,
        Self::Order,
        Self::Pin,
        Self::Shown,
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

    /// A pin's key.
    pub fn pin(step: &StepId) -> Self {
        Self { kind: RecordKind::Pin, id: step.0.clone() }
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
    /// A pin.
    Pin(StepId, Pin),
    /// The plan shown last.
    Shown(Shown),
    /// Settings.
    Settings(Settings),
}

impl Record {
    /// Its name in the store.
    pub fn key(&self) -> RecordKey {
        match self {
            Self::Kitchen(_) => RecordKey::once(RecordKind::Kitchen),
            Self::Time(_) => RecordKey::once(RecordKind::Time),
            Self::Settings(_) => RecordKey::once(RecordKind::Settings),
            Self::Shown(_) => RecordKey::once(RecordKind::Shown),
            Self::Order(order) => RecordKey::order(order.id),
            Self::Card(card) => RecordKey { kind: RecordKind::Card, id: card.id.clone() },
            Self::Pin(step, _) => RecordKey::pin(step),
        }
    }
}

impl Book {
    /// A number for the next order, never given before.
    pub fn next_order(&self) -> OrderId {
        let highest = self.orders.keys().next_back().map_or(0, |id| id.0);
        OrderId(highest.max(self.settings.orders_given).saturating_add(1))
    }

    /// The record of this name, if there is one. Settings always are.
    pub fn record(&self, key: &RecordKey) -> Option<Record> {
        match key.kind {
            RecordKind::Kitchen => self.kitchen.clone().map(Record::Kitchen),
            RecordKind::Time => self.time.clone().map(Record::Time),
            RecordKind::Settings => Some(Record::Settings(self.settings.clone())),
            RecordKind::Shown => self.shown.clone().map(Record::Shown),
            RecordKind::Card => self.cards.get(&key.id).cloned().map(Record::Card),
            RecordKind::Order => {
                let id = OrderId(key.id.parse().ok()?);
                self.orders.get(&id).cloned().map(Record::Order)
            }
            RecordKind::Pin => {
                let step = StepId(key.id.clone());
                let pin = self.pins.get(&step).cloned()?;
                Some(Record::Pin(step, pin))
            }
        }
    }

    /// Every record, in the order of their keys' kinds.
    pub fn records(&self) -> Vec<Record> {
        let mut records = Vec::new();
        records.extend(self.kitchen.clone().map(Record::Kitchen));
        records.extend(self.time.clone().map(Record::Time));
        records.push(Record::Settings(self.settings.clone()));
        records.extend(self.cards.values().cloned().map(Record::Card));
        records.extend(self.orders.values().cloned().map(Record::Order));
        records.extend(self.pins.iter().map(|(step, pin)| Record::Pin(step.clone(), pin.clone())));
        records.extend(self.shown.clone().map(Record::Shown));
        records
    }

    /// Adds a record, or replaces the one of its name.
    pub(super) fn put(&mut self, record: Record) {
        match record {
            Record::Kitchen(kitchen) => self.kitchen = Some(kitchen),
            Record::Time(time) => self.time = Some(time),
            Record::Settings(settings) => self.settings = settings,
            Record::Shown(shown) => self.shown = Some(shown),
            Record::Card(card) => {
                self.cards.insert(card.id.clone(), card);
            }
            Record::Order(order) => {
                self.orders.insert(order.id, order);
            }
            Record::Pin(step, pin) => {
                self.pins.insert(step, pin);
            }
        }
    }

    /// Removes the record of this name; settings go back to their defaults.
    pub(super) fn remove(&mut self, key: &RecordKey) {
        match key.kind {
            RecordKind::Kitchen => self.kitchen = None,
            RecordKind::Time => self.time = None,
            RecordKind::Settings => self.settings = Settings::default(),
            RecordKind::Shown => self.shown = None,
            RecordKind::Card => {
                self.cards.remove(&key.id);
            }
            RecordKind::Order => {
                if let Ok(id) = key.id.parse() {
                    self.orders.remove(&OrderId(id));
                }
            }
            RecordKind::Pin => {
                self.pins.remove(&StepId(key.id.clone()));
            }
        }
    }
}
