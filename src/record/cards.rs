//! Method cards in the book: newer versions, and the older ones that orders still go by.

use super::command::{After, put};
use super::{Book, Record, RecordKey, RecordKind};
use crate::card::{Card, builtin, check_components, find_card};
use crate::order::{Item, ItemId, Order, OrderId};
use crate::plan::arrange::set_of;
use crate::refusal::Refusal;

/// Older versions of a card that are kept although no order goes by them.
const OLDER_KEPT: usize = 10;
/// Most cards of her own.
const CARDS_MAX: usize = 300;
/// Components of components of … : as deep as the breakdown goes.
const DEEPEST: usize = 4;

/// A card that an item was planned with, and what it has become since.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewerCard {
    /// As the item was planned.
    pub before: Card,
    /// As it is now.
    pub now: Card,
}

impl Book {
    /// The newest version of a card: her own, or else the built-in one.
    pub fn card(&self, id: &str) -> Option<Card> {
        let own = self.cards.get(id).cloned();
        own.or_else(|| builtin().into_iter().find(|card| card.id == id))
    }

    /// The newest version of each card: the built-in ones in their order, with her own where they have the same
    /// name, and then her other ones.
    pub fn newest_cards(&self) -> Vec<Card> {
        let mut cards = builtin();
        for card in &mut cards {
            if let Some(own) = self.cards.get(&card.id) {
                card.clone_from(own);
            }
        }
        let known = set_of(cards.iter().map(|card| card.id.clone()));
        cards.extend(self.cards.values().filter(|card| !known.contains(&card.id)).cloned());
        cards
    }

    /// Every card in every version that there is, the newest of each first, as [`find_card`] wants them.
    pub fn all_cards(&self) -> Vec<Card> {
        let mut cards = self.newest_cards();
        cards.extend(self.older_cards.values().rev().cloned());
        cards
    }

    /// The same by her own rules, where they are stricter: what plans are made of.
    pub fn cards_in_force(&self) -> Vec<Card> {
        let cards = self.all_cards();
        // What stands in the book was taken, so its rules hold together.
        let Ok(profile) = self.settings.rules.profile() else { return cards };
        if profile.own_days_minutes().is_none() && profile.own_out_minutes().is_none() {
            return cards;
        }
        cards.into_iter().map(|card| card.under(&profile)).collect()
    }

    /// A card as it holds by her own rules, where they are stricter.
    pub fn in_force(&self, card: &Card) -> Card {
        match self.settings.rules.profile() {
            Ok(profile) => card.clone().under(&profile),
            Err(_) => card.clone(),
        }
    }

    /// The cards of an item that have newer versions than it was planned with.
    pub fn newer_cards(&self, item: &Item) -> Vec<NewerCard> {
        let mut newer = Vec::new();
        for (id, version) in &item.versions {
            let older = self.older_cards.get(&(id.clone(), *version));
            if let (Some(before), Some(now)) = (older, self.card(id))
                && before.version != now.version
            {
                newer.push(NewerCard { before: before.clone(), now });
            }
        }
        newer
    }

    /// The orders that go by some version of a card, as their product's or a component's.
    pub fn orders_with_card(&self, id: &str) -> Vec<&Order> {
        let cards = self.all_cards();
        let known: Vec<&Card> = cards.iter().collect();
        let uses = |order: &&Order| order.items.iter().any(|item| made_with(item, id, &known));
        self.orders.values().filter(uses).collect()
    }

    pub(super) fn save_card(&self, card: Card, after: &mut After) -> Result<String, Vec<Refusal>> {
        let label = format!("save the method card “{}”", card.name);
        let newest = self.card(&card.id);
        let current = newest.as_ref().map_or(0, |newest| newest.version);
        if newest
            .as_ref()
            .is_some_and(|newest| Card { version: current, ..card.clone() } == *newest)
        {
            return Ok(label);
        }
        let older = self.older_cards.keys().filter(|(id, _)| *id == card.id).map(|(_, v)| *v);
        let planned = self.items().filter_map(|item| item.versions.get(&card.id).copied());
        let highest = older.chain(planned).chain([current]).max().unwrap_or(0);
        let card = Card { version: highest.saturating_add(1), ..card };
        self.check_card(&card)?;
        if newest.is_none() && CARDS_MAX <= self.cards.len() {
            let message = format!("there are {CARDS_MAX} cards of your own; remove one first");
            return Err(vec![Refusal::of("", message)]);
        }
        if let Some(newest) = newest {
            self.retire(&newest, after);
        }
        put(after, Record::Card(card));
        Ok(label)
    }

    pub(super) fn remove_card(&self, id: &str, after: &mut After) -> Result<String, Vec<Refusal>> {
        let Some(card) = self.cards.get(id) else {
            let message = format!("there is no card “{id}” of your own; look at the list again");
            return Err(vec![Refusal::of("card", message)]);
        };
        let built_in = builtin().into_iter().find(|other| other.id == id);
        let cards = self.newest_cards();
        let left: Vec<&Card> =
            cards.iter().filter(|other| other.id != id).chain(built_in.as_ref()).collect();
        for user in cards.iter().filter(|user| user.components.iter().any(|part| part.card == id)) {
            if let Err(fault) = check_components(user, &left) {
                let message = format!(
                    "“{}” is made with “{}” ({}); change that card first",
                    user.name, card.name, fault.message
                );
                return Err(vec![Refusal::of("card", message)]);
            }
        }
        self.retire(card, after);
        after.insert(RecordKey { kind: RecordKind::Card, id: id.to_owned() }, None);
        Ok(if built_in.is_some() {
            format!("go back to the built-in card “{}”", card.name)
        } else {
            format!("remove the method card “{}”", card.name)
        })
    }

    pub(super) fn use_newest_cards(
        &self,
        order: OrderId,
        item: ItemId,
        after: &mut After,
    ) -> Result<String, Vec<Refusal>> {
        let mut order = self.order(order)?.clone();
        let found = order.items.iter_mut().find(|found| found.id == item).ok_or_else(|| {
            let message = "this item is no longer in the order; look at it again";
            vec![Refusal::of("item", message)]
        })?;
        let cards = self.newest_cards();
        found.versions.retain(|id, _| !cards.iter().any(|card| card.id == *id));
        let label = format!("use the newest method cards for {}", order.mark());
        put(after, Record::Order(order));
        Ok(label)
    }

    /// A card that may be kept, beside the other newest ones: sound, as safe as what it goes by, made of cards that
    /// exist, and still what the cards made with it want.
    pub fn check_card(&self, card: &Card) -> Result<(), Vec<Refusal>> {
        let cards = self.newest_cards();
        let others = cards.iter().filter(|other| other.id != card.id);
        let known: Vec<&Card> = others.chain([card]).collect();
        let users = known.iter().filter(|user| {
            user.id != card.id && user.components.iter().any(|part| part.card == card.id)
        });
        let of_users = || {
            users.clone().try_for_each(|user| {
                check_components(user, &known).map_err(|fault| {
                    Refusal::of(
                        "options",
                        format!("“{}” is made with this card: {}", user.name, fault.message),
                    )
                })
            })
        };
        card.validate()
            .and_then(|()| card.is_as_safe_as_built_in())
            .and_then(|()| check_components(card, &known))
            .map_err(|fault| Refusal::of(fault.place, fault.message))
            .and_then(|()| of_users())
            .map_err(|refusal| vec![refusal])
    }

    fn items(&self) -> impl Iterator<Item = &Item> {
        self.orders.values().flat_map(|order| &order.items)
    }

    /// Keeps a version that was the newest until now for the items that were planned with it, and writes it into
    /// them. Versions that nobody goes by are kept for a while.
    fn retire(&self, newest: &Card, after: &mut After) {
        let cards = self.all_cards();
        let known: Vec<&Card> = cards.iter().collect();
        let mut used = false;
        for order in self.orders.values() {
            let mut order = order.clone();
            for item in &mut order.items {
                if !item.versions.contains_key(&newest.id) && made_with(item, &newest.id, &known) {
                    item.versions.insert(newest.id.clone(), newest.version);
                    used = true;
                }
            }
            if self.orders.get(&order.id) != Some(&order) {
                put(after, Record::Order(order));
            }
        }
        if used || self.cards.contains_key(&newest.id) {
            put(after, Record::OldCard(newest.clone()));
        }
        let planned = set_of(self.items().flat_map(|item| &item.versions));
        let older = self
            .older_cards
            .keys()
            .rev()
            .filter(|(id, version)| *id == newest.id && !planned.contains(&(id, version)));
        for (id, version) in older.skip(OLDER_KEPT - 1) {
            after.insert(RecordKey::old_card(id, *version), None);
        }
    }
}

/// Whether an item is made by a card, or with it, in the versions that it was planned with.
fn made_with(item: &Item, id: &str, cards: &[&Card]) -> bool {
    let mut level = vec![item.card.as_str()];
    for _ in 0..=DEEPEST {
        if level.contains(&id) {
            return true;
        }
        let found = level.iter().filter_map(|id| find_card(cards, id, &item.versions));
        level = found.flat_map(|card| card.components.iter().map(|c| c.card.as_str())).collect();
    }
    false
}
