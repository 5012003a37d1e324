//! An order as it is kept.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::{Picture, Stage};
use crate::calendar::Wall;

/// Names an order within the records, never reused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct OrderId(pub u32);

/// Names an item within its order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct ItemId(pub u32);

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
    /// Versions of cards that it was planned with, by card, components' cards too. A card that is not here
    /// is taken as it is now; saving a newer version writes the one before here.
    #[serde(default)]
    pub versions: BTreeMap<String, u32>,
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
    /// What was agreed where they clash with what is made, in her words; answers the clash.
    #[serde(default)]
    pub agreed: String,
    /// What was ticked off of its check list before the handover, by [`crate::care::HandoverCheck::id`].
    #[serde(default)]
    pub checked: BTreeSet<String>,
    /// Anything else.
    pub notes: String,
    /// Guests that it is for, 0 to 10,000; 0 while that was not said. Servings are reckoned with it.
    #[serde(default)]
    pub guests: u32,
    /// Hours that its products may be past a limit of quality, 0 to 168. A limit of safety never gives way.
    #[serde(default)]
    pub past_best: u16,
    /// What it should look like: photos and sketches, at most [`super::PICTURES_MAX`].
    #[serde(default)]
    pub pictures: Vec<Picture>,
    /// What it looked like when it was handed over, as many at most.
    #[serde(default)]
    pub handed: Vec<Picture>,
    /// Where it stands.
    pub stage: Stage,
}

impl Handover {
    /// When it leaves the kitchen: the agreed time, less the way there for a delivery.
    pub fn leaves(&self) -> Wall {
        match self.way {
            HandoverWay::Collection => self.at,
            HandoverWay::Delivery { travel, .. } => self.at.plus_minutes(-i64::from(travel)),
        }
    }
}

impl Order {
    /// An enquiry of which nothing is known yet but who asks and for when.
    pub fn new(id: OrderId, client: String, handover: Handover) -> Self {
        Self {
            id,
            client,
            theme: String::new(),
            mark: String::new(),
            handover,
            items: Vec::new(),
            allergies: String::new(),
            agreed: String::new(),
            checked: BTreeSet::new(),
            notes: String::new(),
            guests: 0,
            past_best: 0,
            pictures: Vec::new(),
            handed: Vec::new(),
            stage: Stage::Enquiry,
        }
    }

    /// Whether it asks for nothing more.
    pub fn is_over(&self) -> bool {
        matches!(self.stage, Stage::HandedOver | Stage::Declined)
    }

    /// Whether its steps are placed in the week: only once it is agreed.
    pub fn is_planned(&self) -> bool {
        self.stage == Stage::Confirmed
    }

    /// Two letters that stand for it on blocks: its own mark, or the initials of the client's first
    /// and last name, or the first two letters of a single name. A name without any letter gives
    /// the order's last digit.
    pub fn mark(&self) -> String {
        let own: String = self.mark.trim().chars().take(2).collect();
        if !own.is_empty() {
            return own;
        }
        let capital = |letter: char| letter.to_uppercase().next().unwrap_or(letter);
        let words: Vec<Vec<char>> = self
            .client
            .split_whitespace()
            .map(|word| word.chars().filter(|letter| letter.is_alphanumeric()).collect())
            .filter(|word: &Vec<char>| !word.is_empty())
            .collect();
        match words.as_slice() {
            [] => format!("O{}", self.id.0 % 10),
            [only] => only.iter().take(2).copied().map(capital).collect(),
            [first, .., last] => {
                first.iter().take(1).chain(last.iter().take(1)).copied().map(capital).collect()
            }
        }
    }

    /// A number for the next item, above all that are there.
    pub fn next_item(&self) -> ItemId {
        ItemId(self.items.iter().map(|item| item.id.0).max().unwrap_or(0).saturating_add(1))
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// An order as a test starts from.
    pub(crate) fn order(id: u32, client: &str) -> Order {
        Order {
            theme: "meadow".into(),
            items: vec![Item {
                id: ItemId(1),
                card: "decorated-cookies".into(),
                count: 24,
                spares: 4,
                options: BTreeMap::new(),
                notes: String::new(),
                versions: BTreeMap::new(),
            }],
            ..Order::new(
                OrderId(id),
                client.into(),
                Handover {
                    at: "2026-12-05T10:00".parse().expect("a time"),
                    way: HandoverWay::Delivery { travel: 25, place: "village hall".into() },
                },
            )
        }
    }

    #[test]
    fn marks_are_two_letters_in_any_script() {
        for (client, mark) in [
            ("Mara Lindqvist", "ML"),
            ("mara von der lindqvist", "ML"),
            ("Mara", "MA"),
            ("  x  ", "X"),
            ("Ægir Østby", "ÆØ"),
            ("ßabine", "SA"),
            ("Δέσποινα Παππά", "ΔΠ"),
            ("田中 花子", "田花"),
            ("— (Noor) —", "NO"),
            ("e\u{301}lodie", "EL"),
            ("🎂🎂", "O7"),
            ("", "O7"),
        ] {
            assert_eq!(order(7, client).mark(), mark, "{client}");
            assert!(order(7, client).mark().chars().count() <= 2);
        }
        let mut own = order(7, "Mara Lindqvist");
        own.mark = " ★birthday".into();
        assert_eq!(own.mark(), "★b");
    }

    #[test]
    fn a_delivery_leaves_earlier_and_a_collection_does_not() {
        let mut order = order(1, "Mara");
        assert_eq!(order.handover.leaves().to_string(), "2026-12-05T09:35");
        order.handover.way = HandoverWay::Collection;
        assert_eq!(order.handover.leaves(), order.handover.at);
        assert_eq!(order.next_item(), ItemId(2));
    }
}
