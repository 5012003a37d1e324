//! The document.

use std::collections::BTreeMap;

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
    /// Minutes between "all boxed" and the handover.
    pub safety_margin: u32,
}

impl Default for Settings {
    fn default() -> Self {
        Self { safety_margin: 60 }
    }
}

/// Names a record in the store: `order/3`, `kitchen/`, `pin/o3.i1.flood`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RecordKey {
    /// `kitchen`, `time`, `order`, `card`, `pin`, `shown` or `settings`.
    pub kind: &'static str,
    /// Within its kind; empty for those that exist once.
    pub id: String,
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
