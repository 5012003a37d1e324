//! What stands on the label of a product, and the sheets of labels that there are.

use std::collections::BTreeMap;

use crate::allergen::{List, contains_line, content};
use crate::breakdown::Work;
use crate::card::{Card, find_card};
use crate::kitchen::Place;
use crate::order::{Item, ItemId, Order};
use crate::plan::arrange::Arrange;
use crate::supply::{Kind, good};

/// What is said beside labels: a card knows flour, but not what stands on the packet of a coating.
pub const CHECK_PACKETS: &str = "Check every packet: what bought things are made of belongs on the label too. What a label \
must say, and how large, your local food rules decide.";

/// The label of one product.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// Of which item.
    pub item: ItemId,
    /// What it is, for example "Decorated cookies".
    pub product: String,
    /// Ingredients in falling order of weight, components' among them; true where one brings an allergen of the list,
    /// which Europe wants set apart (Regulation (EU) 1169/2011, article 21).
    pub ingredients: Vec<(String, bool)>,
    /// "Contains: milk, egg, wheat."
    pub contains: Option<String>,
    /// Allergens of which the packet has to be read: "soy: chocolate coating".
    pub check: Vec<String>,
    /// Ingredients of which nothing is known.
    pub unknown: Vec<String>,
    /// "Keep in the fridge."
    pub keep: &'static str,
    /// How many boxes, and so labels, there are.
    pub boxes: u32,
}

/// A label for each item of an order. `work` is the breakdown of this order alone, or holds it among others.
pub fn labels(order: &Order, work: &Work, cards: &[&Card], list: List) -> Vec<Label> {
    order.items.iter().map(|item| label(order, item, work, cards, list)).collect()
}

fn label(order: &Order, item: &Item, work: &Work, cards: &[&Card], list: List) -> Label {
    let mut weights: BTreeMap<&str, u64> = BTreeMap::new();
    let own = work.supplies.iter().filter(|used| (used.order, used.item) == (order.id, item.id));
    for used in own {
        if let Some(good) = good(&used.of).filter(|good| good.kind == Kind::Ingredient) {
            *weights.entry(&good.name).or_default() += used.milli;
        }
    }
    let mut falling: Vec<(&str, u64)> = weights.into_iter().collect();
    falling.arrange_by_key(|(name, milli)| (std::cmp::Reverse(*milli), *name));
    let brings = |name: &str| contains_line(&content([name]), list).is_some();
    let holds = content(falling.iter().map(|(name, _)| *name));
    let (place, boxes) = last_stay(order, item, work);
    let card = find_card(cards, &item.card, &item.versions);
    Label {
        item: item.id,
        product: card.map_or_else(|| item.card.clone(), |card| card.name.clone()),
        ingredients: falling.iter().map(|(name, _)| ((*name).to_owned(), brings(name))).collect(),
        contains: contains_line(&holds, list),
        check: super::to_read(&holds),
        unknown: holds.unknown.clone(),
        keep: match place {
            Some(Place::Fridge) => "Keep in the fridge.",
            Some(Place::Freezer) => "Keep frozen.",
            Some(Place::Rack | Place::Counter | Place::RoomShelf) | None => {
                "Keep cool and dry, out of the sun."
            }
        },
        boxes,
    }
}

/// Where the finished thing stands as a rule, and in how many boxes; at least one.
fn last_stay(order: &Order, item: &Item, work: &Work) -> (Option<Place>, u32) {
    let of_item = |id: &crate::breakdown::StepId| {
        work.steps.iter().any(|step| step.id == *id && step.item == item.id)
    };
    let rest = work.last_of(order.id).find(|rest| of_item(&rest.from));
    let stay = rest.and_then(|rest| rest.choices.iter().find_map(|choice| choice.stay.as_ref()));
    let boxes = stay.map_or(0, |stay| stay.boxes.iter().map(|one| u32::from(one.count)).sum());
    (stay.map(|stay| stay.place), boxes.max(1))
}

/// A sheet of labels, in hundredths of a mm.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LabelSheet {
    /// "A4, 21 labels of 63.5 × 38.1 mm".
    pub name: &'static str,
    /// Whether it is A4; else US Letter.
    pub a4: bool,
    /// Labels side by side.
    pub columns: u32,
    /// Labels below each other.
    pub rows: u32,
    /// Width of a label.
    pub width: u32,
    /// Height of a label.
    pub height: u32,
    /// Blank at the left.
    pub left: u32,
    /// Blank at the top.
    pub top: u32,
    /// Blank between two columns.
    pub gap: u32,
}

/// Sheets as they are commonly sold, by their measures (from memory, no published standard: measure yours, and print one
/// on plain paper first).
pub const LABEL_SHEETS: [LabelSheet; 5] = [
    LabelSheet {
        name: "A4, 8 labels of 99.1 × 67.7 mm",
        a4: true,
        columns: 2,
        rows: 4,
        width: 9910,
        height: 6770,
        left: 465,
        top: 1310,
        gap: 250,
    },
    LabelSheet {
        name: "A4, 14 labels of 99.1 × 38.1 mm",
        a4: true,
        columns: 2,
        rows: 7,
        width: 9910,
        height: 3810,
        left: 465,
        top: 1515,
        gap: 250,
    },
    LabelSheet {
        name: "A4, 21 labels of 63.5 × 38.1 mm",
        a4: true,
        columns: 3,
        rows: 7,
        width: 6350,
        height: 3810,
        left: 725,
        top: 1515,
        gap: 250,
    },
    LabelSheet {
        name: "Letter, 10 labels of 4 × 2 in",
        a4: false,
        columns: 2,
        rows: 5,
        width: 10_160,
        height: 5080,
        left: 397,
        top: 1270,
        gap: 476,
    },
    LabelSheet {
        name: "Letter, 30 labels of 2⅝ × 1 in",
        a4: false,
        columns: 3,
        rows: 10,
        width: 6668,
        height: 2540,
        left: 476,
        top: 1270,
        gap: 317,
    },
];

impl LabelSheet {
    /// How many labels it has.
    pub fn count(&self) -> u32 {
        self.columns * self.rows
    }

    /// Width and height of the paper, hundredths of a mm (ISO 216; ANSI/ASME Y14.1).
    pub fn paper(&self) -> (u32, u32) {
        if self.a4 { (21_000, 29_700) } else { (21_590, 27_940) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sheet_fills_its_paper() {
        for sheet in LABEL_SHEETS {
            let (width, height) = sheet.paper();
            let across =
                sheet.columns * sheet.width + (sheet.columns - 1) * sheet.gap + 2 * sheet.left;
            let down = sheet.rows * sheet.height + 2 * sheet.top;
            assert!(across.abs_diff(width) <= 10, "{}: {across} of {width}", sheet.name);
            assert!(down.abs_diff(height) <= 10, "{}: {down} of {height}", sheet.name);
            assert!(sheet.name.contains(&format!(" {} labels", sheet.count())), "{}", sheet.name);
        }
    }
}
