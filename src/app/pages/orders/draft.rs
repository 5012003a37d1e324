//! The unsent order form as it is typed, and what it means. Pure: no signal, no screen.

use std::collections::{BTreeMap, BTreeSet};

use rackweek::calendar::{Date, Wall};
use rackweek::card::{Card, OptionKind, find_card};
use rackweek::order::{Handover, HandoverWay, Item, ItemId, Order, OrderId, Picture, Stage};
use rackweek::plan::arrange::map_of;
use rackweek::record::Refusal;
use serde::{Deserialize, Serialize};

use crate::app::parts::number;

/// What is wrong, by field: `client`, `handover.date`, `items.0.count`, …
pub(super) type Errors = BTreeMap<String, String>;

/// The form.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct OrderDraft {
    /// None: the order is new.
    pub(super) order: Option<OrderId>,
    pub(super) client: String,
    pub(super) theme: String,
    pub(super) mark: String,
    pub(super) date: String,
    pub(super) time: String,
    pub(super) delivery: bool,
    pub(super) travel: String,
    pub(super) place: String,
    pub(super) items: Vec<ItemDraft>,
    pub(super) allergies: String,
    #[serde(default)]
    pub(super) agreed: String,
    pub(super) notes: String,
    /// How many guests there are; as written.
    #[serde(default)]
    pub(super) guests: String,
    /// Hours past a limit of quality, as written.
    #[serde(default)]
    pub(super) past_best: String,
    #[serde(default)]
    pub(super) pictures: Vec<Picture>,
    pub(super) stage: Stage,
}

/// An item in the form.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct ItemDraft {
    pub(super) id: ItemId,
    pub(super) card: String,
    pub(super) count: String,
    pub(super) spares: String,
    /// While nobody wrote spares, they follow the count.
    pub(super) spares_follow: bool,
    /// As written: lengths in cm, switches `0` and `1`.
    pub(super) options: BTreeMap<String, String>,
    pub(super) notes: String,
    /// Versions of cards that it was planned with.
    #[serde(default)]
    pub(super) versions: BTreeMap<String, u32>,
}

impl OrderDraft {
    /// An empty form.
    pub(super) fn new() -> Self {
        Self {
            order: None,
            client: String::new(),
            theme: String::new(),
            mark: String::new(),
            date: String::new(),
            time: "10:00".to_owned(),
            delivery: false,
            travel: "20".to_owned(),
            place: String::new(),
            items: Vec::new(),
            allergies: String::new(),
            agreed: String::new(),
            notes: String::new(),
            guests: String::new(),
            past_best: String::new(),
            pictures: Vec::new(),
            stage: Stage::Confirmed,
        }
    }

    /// The form filled with an order.
    pub(super) fn of(order: &Order, cards: &[Card]) -> Self {
        let at = order.handover.at.to_string();
        let (date, time) = at.split_once('T').unwrap_or((&at, ""));
        let (delivery, travel, place) = match &order.handover.way {
            HandoverWay::Collection => (false, "20".to_owned(), String::new()),
            HandoverWay::Delivery { travel, place } => (true, travel.to_string(), place.clone()),
        };
        Self {
            order: Some(order.id),
            client: order.client.clone(),
            theme: order.theme.clone(),
            mark: order.mark.clone(),
            date: date.to_owned(),
            time: time.to_owned(),
            delivery,
            travel,
            place,
            items: order.items.iter().map(|item| ItemDraft::of(item, cards)).collect(),
            allergies: order.allergies.clone(),
            agreed: order.agreed.clone(),
            notes: order.notes.clone(),
            guests: unless_none(order.guests),
            past_best: unless_none(u32::from(order.past_best)),
            pictures: order.pictures.clone(),
            stage: order.stage,
        }
    }

    /// The same again for another day: a new order without date.
    pub(super) fn again(order: &Order, cards: &[Card]) -> Self {
        let stage = Stage::Enquiry;
        let mut again = Self { order: None, date: String::new(), stage, ..Self::of(order, cards) };
        // What was allowed once is not allowed again without a word.
        again.past_best.clear();
        // A new order goes by the newest cards.
        again.items.iter_mut().for_each(|item| item.versions.clear());
        again
    }

    /// Whether anything was entered that would be missed.
    pub(super) fn is_empty(&self) -> bool {
        let texts =
            [&self.client, &self.theme, &self.date, &self.allergies, &self.agreed, &self.notes];
        self.items.is_empty()
            && self.pictures.is_empty()
            && texts.iter().all(|text| text.trim().is_empty())
    }

    /// Adds an item of a card, with what is usual for it.
    pub(super) fn add(&mut self, card: &Card) -> ItemId {
        let highest = self.items.iter().map(|item| item.id.0).max().unwrap_or(0);
        let id = ItemId(highest.saturating_add(1));
        let whole = card.piece.contains("cake") && !card.piece.contains("cup");
        let count = if whole { 1 } else { 12 };
        self.items.push(ItemDraft {
            id,
            card: card.id.clone(),
            count: count.to_string(),
            spares: usual_spares(card.spares, count).to_string(),
            spares_follow: true,
            options: BTreeMap::new(),
            notes: String::new(),
            versions: BTreeMap::new(),
        });
        id
    }

    /// The order that the form means, or what is wrong with it.
    pub(super) fn order(&self, id: OrderId, cards: &[Card]) -> Result<Order, Errors> {
        let mut errors = Errors::new();
        let mut wrong = |field: &str, text: String| {
            errors.entry(field.to_owned()).or_insert(text);
        };
        let date = self.date.trim().parse::<Date>();
        if date.is_err() {
            let text = if self.date.trim().is_empty() {
                "Choose the day, for example 2026-11-28".to_owned()
            } else {
                format!("“{}” is no date; write for example 2026-11-28", self.date)
            };
            wrong("handover.date", text);
        }
        let at =
            date.ok().and_then(|date| format!("{date}T{}", self.time.trim()).parse::<Wall>().ok());
        if at.is_none() && self.date.trim().parse::<Date>().is_ok() {
            wrong(
                "handover.time",
                format!("“{}” is no time of day; write for example 18:30", self.time),
            );
        }
        let way = if self.delivery {
            let travel = self.travel.trim().parse::<u16>();
            if travel.is_err() {
                wrong(
                    "handover.travel",
                    format!("“{}” is no number of minutes; write for example 25", self.travel),
                );
            }
            HandoverWay::Delivery { travel: travel.unwrap_or(0), place: self.place.clone() }
        } else {
            HandoverWay::Collection
        };
        let mut whole = |field: &str, text: &str, example: &str| match text.trim() {
            "" => 0,
            text => text.parse::<u32>().unwrap_or_else(|_| {
                wrong(field, format!("“{text}” is no whole number; write for example {example}"));
                0
            }),
        };
        let guests = whole("guests", &self.guests, "30");
        let past_best = whole("past_best", &self.past_best, "12");
        let mut items = Vec::new();
        for (index, draft) in self.items.iter().enumerate() {
            items.push(draft.item(index, cards, &mut wrong));
        }
        let Some(at) = at.filter(|_| errors.is_empty()) else {
            return Err(self.all_errors(errors));
        };
        Ok(Order {
            id,
            client: self.client.clone(),
            theme: self.theme.clone(),
            mark: self.mark.clone(),
            handover: Handover { at, way },
            items,
            allergies: self.allergies.clone(),
            agreed: self.agreed.clone(),
            // The book's own ticks and photos hold when it is saved.
            checked: BTreeSet::new(),
            handed: Vec::new(),
            notes: self.notes.clone(),
            guests,
            past_best: u16::try_from(past_best).unwrap_or(u16::MAX),
            pictures: self.pictures.clone(),
            stage: self.stage,
        })
    }

    /// What the library would say too, so that all errors show at once and not one after the other.
    fn all_errors(&self, mut errors: Errors) -> Errors {
        if self.client.trim().is_empty() {
            errors
                .entry("client".to_owned())
                .or_insert("Write who it is for, for example Mara L.".to_owned());
        }
        if self.items.is_empty() {
            errors
                .entry("items".to_owned())
                .or_insert("Add at least one item, for example 24 cookies".to_owned());
        }
        errors
    }

    /// Refusals of the library, at the fields of this form.
    pub(super) fn placed(&self, refusals: &[Refusal]) -> Errors {
        let mut errors = Errors::new();
        for refusal in refusals {
            let field = match refusal.field.as_str() {
                "handover.at" => "handover.date",
                other => other,
            };
            errors.entry(field.to_owned()).or_insert(refusal.message.clone());
        }
        self.all_errors(errors)
    }
}

impl ItemDraft {
    fn of(item: &Item, cards: &[Card]) -> Self {
        let card = card_of(cards, &item.card, &item.versions);
        let options = item.options.iter().map(|(id, value)| {
            let length = card.and_then(|card| card.options.iter().find(|option| option.id == *id));
            let scale = length.map_or(1, |option| scale(&option.kind));
            (id.clone(), number::written(*value, scale))
        });
        Self {
            id: item.id,
            card: item.card.clone(),
            count: item.count.to_string(),
            spares: item.spares.to_string(),
            spares_follow: false,
            options: map_of(options),
            notes: item.notes.clone(),
            versions: item.versions.clone(),
        }
    }

    /// Writes the count; the card's usual spares, per cent, follow unless somebody wrote others.
    pub(super) fn set_count(&mut self, text: String, usual: u8) {
        if self.spares_follow
            && let Ok(count) = text.trim().parse::<u32>()
        {
            self.spares = usual_spares(usual, count).to_string();
        }
        self.count = text;
    }

    /// An option as written, or the card's default.
    pub(super) fn option(&self, option: &rackweek::card::CardOption) -> String {
        self.options
            .get(&option.id)
            .cloned()
            .unwrap_or_else(|| number::written(option.default, scale(&option.kind)))
    }

    /// The item that it means; what cannot be read goes to `wrong`.
    pub(super) fn item(
        &self,
        index: usize,
        cards: &[Card],
        wrong: &mut impl FnMut(&str, String),
    ) -> Item {
        let mut whole = |name: &str, text: &str, example: &str| {
            text.trim().parse::<u32>().unwrap_or_else(|_| {
                wrong(
                    &format!("items.{index}.{name}"),
                    format!("“{text}” is no whole number; write for example {example}"),
                );
                0
            })
        };
        let count = whole("count", &self.count, "24");
        let spares = whole("spares", &self.spares, "4");
        let mut options = BTreeMap::new();
        let card = card_of(cards, &self.card, &self.versions);
        for option in card.map_or(&[][..], |card| &card.options) {
            let text = self.option(option);
            let (min, max) = range(&option.kind);
            let scale = scale(&option.kind);
            match number::read(&text, scale) {
                Some(value) if (min..=max).contains(&value) => {
                    if value != option.default {
                        options.insert(option.id.clone(), value);
                    }
                }
                _ => wrong(
                    &format!("items.{index}.{}", option.id),
                    format!(
                        "“{text}” is not possible; write {} to {}, for example {}",
                        number::written(min, scale),
                        number::written(max, scale),
                        number::written(option.default, scale)
                    ),
                ),
            }
        }
        Item {
            id: self.id,
            card: self.card.clone(),
            count,
            spares,
            options,
            notes: self.notes.clone(),
            versions: self.versions.clone(),
        }
    }
}

/// The card of an item, in the version that it was planned with.
pub(super) fn card_of<'a>(
    cards: &'a [Card],
    id: &str,
    versions: &BTreeMap<String, u32>,
) -> Option<&'a Card> {
    find_card(&cards.iter().collect::<Vec<_>>(), id, versions)
}

/// Lengths are written in cm and kept in mm.
pub(super) fn scale(kind: &OptionKind) -> i64 {
    if matches!(kind, OptionKind::Length { .. }) { 10 } else { 1 }
}

/// Least and greatest value.
pub(super) fn range(kind: &OptionKind) -> (i64, i64) {
    match kind {
        OptionKind::Count { min, max } | OptionKind::Length { min, max } => (*min, *max),
        OptionKind::Switch => (0, 1),
    }
}

/// A number as written; nothing for none.
fn unless_none(number: u32) -> String {
    if number == 0 { String::new() } else { number.to_string() }
}

/// So many per cent more, rounded up; with fewer than six pieces none is made twice.
fn usual_spares(percent: u8, count: u32) -> u32 {
    if count < 6 { 0 } else { count.saturating_mul(u32::from(percent)).div_ceil(100) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rackweek::card::builtin;
    use rackweek::demo::demo;
    use wasm_bindgen_test::wasm_bindgen_test;

    fn now() -> Wall {
        "2026-11-25T17:40".parse().expect("a moment")
    }

    #[wasm_bindgen_test]
    fn an_order_comes_back_from_its_form_as_it_was() {
        let cards = builtin();
        let orders = demo(now()).orders;
        assert!(orders.len() > 2);
        for (id, mut order) in orders {
            (order.guests, order.past_best) = (30 * id.0, 12);
            let draft = OrderDraft::of(&order, &cards);
            // An option at its default is the same as one that is not chosen.
            for item in &mut order.items {
                let card = cards.iter().find(|card| card.id == item.card).expect("built in");
                item.options.retain(|id, value| {
                    card.options.iter().any(|option| option.id == *id && option.default != *value)
                });
            }
            assert_eq!(draft.order(id, &cards), Ok(order));
        }
    }

    #[wasm_bindgen_test]
    fn lengths_are_written_in_centimetres() {
        let cards = builtin();
        let card = cards.iter().find(|card| card.id == "decorated-cookies").expect("built in");
        let size = card.options.iter().find(|option| option.id == "size").expect("has a size");
        let mut draft = OrderDraft::new();
        draft.add(card);
        assert_eq!(draft.items[0].option(size), "9", "90 mm");
        draft.items[0].options.insert("size".to_owned(), "7,5".to_owned());
        let item = draft.items[0].item(0, &cards, &mut |field, text| panic!("{field}: {text}"));
        assert_eq!(item.options.get("size"), Some(&75));
    }

    #[wasm_bindgen_test]
    fn all_that_is_wrong_is_said_at_once_with_an_example_each() {
        let cards = builtin();
        let mut draft = OrderDraft { time: "half past".to_owned(), ..OrderDraft::new() };
        draft.date = "2026-12-12".to_owned();
        draft.add(&cards[0]);
        draft.items[0].set_count("many".to_owned(), 16);
        draft.items[0].options.insert("size".to_owned(), "900".to_owned());
        (draft.guests, draft.past_best) = ("a lot".to_owned(), "-1".to_owned());
        let errors = draft.order(OrderId(1), &cards).expect_err("wrong in six places");
        let fields: Vec<&str> = errors.keys().map(String::as_str).collect();
        assert_eq!(
            fields,
            ["client", "guests", "handover.time", "items.0.count", "items.0.size", "past_best"]
        );
        for (field, text) in &errors {
            assert!(text.contains("for example"), "{field}: {text}");
        }
    }

    #[wasm_bindgen_test]
    fn spares_follow_the_count_until_somebody_writes_them() {
        let cards = builtin();
        let mut draft = OrderDraft::new();
        draft.add(&cards[0]);
        let item = &mut draft.items[0];
        item.set_count("24".to_owned(), 16);
        assert_eq!(item.spares, "4");
        item.spares = "1".to_owned();
        item.spares_follow = false;
        item.set_count("48".to_owned(), 16);
        assert_eq!(item.spares, "1");
    }

    #[wasm_bindgen_test]
    fn an_unsent_form_survives_being_stored() {
        let cards = builtin();
        let mut draft = OrderDraft::new();
        draft.client = "Ines “K.”\n<b>".to_owned();
        draft.add(&cards[0]);
        let text = serde_json::to_string(&draft).expect("plain data");
        assert_eq!(serde_json::from_str::<OrderDraft>(&text).expect("the same"), draft);
        assert!(!draft.is_empty() && OrderDraft::new().is_empty());
    }
}
