//! Orders: what a client wants, how many, for which handover, and where the order stands.
//!
//! Knows cards only by name. Money and quotes are another room.

use serde::{Deserialize, Serialize};

use crate::calendar::Wall;
use std::collections::BTreeMap;

/// Names an order within the records, never reused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct OrderId(pub u32);

/// Names an item within its order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct ItemId(pub u32);

/// Where an order stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Stage {
    /// Asked for; not planned.
    Enquiry,
    /// A price was named; not planned.
    Quoted,
    /// Agreed; planned.
    Confirmed,
    /// Done.
    HandedOver,
    /// Not taken.
    Declined,
}

/// When and how the client gets it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Handover {
    /// When the client has it in hand, on the wall clock.
    pub at: Wall,
    /// How.
    pub way: HandoverWay,
}

/// Collection or delivery.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "how")]
pub enum HandoverWay {
    /// The client comes.
    Collection,
    /// The baker drives.
    Delivery {
        /// Minutes one way.
        travel: u16,
        /// Where to, in her words.
        place: String,
    },
}

/// One product in an order.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Item {
    /// Within its order.
    pub id: ItemId,
    /// The method card's id, for example `decorated-cookies`.
    pub card: String,
    /// Pieces that the client gets, 1 to 1000.
    pub count: u32,
    /// Extra pieces in case of breakage.
    pub spares: u32,
    /// Options by the card's option ids; missing ones take the card's default. Switches are 0 or 1.
    pub options: BTreeMap<String, i64>,
    /// What it should look like.
    pub notes: String,
}

/// What one client wants for one handover.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Order {
    /// Never reused.
    pub id: OrderId,
    /// The client's name, as she writes it.
    pub client: String,
    /// Theme and colours.
    pub theme: String,
    /// Two letters at most, shown on blocks; derived from the client's name when empty.
    pub mark: String,
    /// When and how.
    pub handover: Handover,
    /// What.
    pub items: Vec<Item>,
    /// Allergies that the client named, in her words.
    pub allergies: String,
    /// Anything else.
    pub notes: String,
    /// Where it stands.
    pub stage: Stage,
}
