//! Two books made one: what is here stays as it is, what only the other has comes in.

use super::Book;
use super::command::order_of;
use crate::breakdown::StepId;
use crate::order::{Order, OrderId};

impl Book {
    /// This book with everything that only the other one has. An order that stands in both, of the same client, stays as
    /// it is here; where two orders share a number by chance, the other's comes in under a new one, with what was
    /// placed and done of it.
    #[must_use]
    pub fn merged_with(&self, other: &Self) -> Self {
        let mut book = self.clone();
        for order in other.orders.values() {
            let here = book.orders.get(&order.id);
            if here.is_some_and(|here| is_same(here, order)) {
                continue;
            }
            let id = if here.is_none() { order.id } else { self.free_number(other, &book) };
            book.orders.insert(id, Order { id, ..order.clone() });
            book.settings.orders_given = book.settings.orders_given.max(id.0);
            let own = |step: &&StepId| order_of(step) == Some(order.id);
            for step in other.pins.keys().filter(own) {
                book.pins.insert(renamed(step, id), other.pins[step].clone());
            }
            for step in other.progress.keys().filter(own) {
                book.progress.insert(renamed(step, id), other.progress[step].clone());
            }
            if let Some(agreed) = other.pricing.agreed.get(&order.id) {
                book.pricing.agreed.insert(id, *agreed);
            }
        }
        for (id, card) in &other.cards {
            book.cards.entry(id.clone()).or_insert_with(|| card.clone());
        }
        for (key, card) in &other.older_cards {
            book.older_cards.entry(key.clone()).or_insert_with(|| card.clone());
        }
        let priced = |id: &str| self.pricing.prices.iter().any(|price| price.card == id);
        let prices = other.pricing.prices.iter().filter(|price| !priced(&price.card));
        book.pricing.prices.extend(prices.cloned());
        book.kitchen = book.kitchen.or_else(|| other.kitchen.clone());
        book.time = book.time.or_else(|| other.time.clone());
        book
    }

    /// A number that no order of either book has, nor will be given next in one of them.
    fn free_number(&self, other: &Self, so_far: &Self) -> OrderId {
        let next = [self.next_order(), other.next_order(), so_far.next_order()];
        next.into_iter().max().unwrap_or(OrderId(1))
    }
}

/// Whether two orders with one number are one order.
fn is_same(one: &Order, other: &Order) -> bool {
    one.client.trim().to_lowercase() == other.client.trim().to_lowercase()
}

/// The step of an order under the order's new number.
fn renamed(step: &StepId, order: OrderId) -> StepId {
    let rest = step.0.split_once('.').map_or("", |(_, rest)| rest);
    StepId(format!("o{}.{rest}", order.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::Stage;
    use crate::record::book::tests::full_book;
    use crate::record::{Command, Pin, RestorePreview};

    fn with(book: &Book, id: u32, client: &str) -> Book {
        let mut book = book.clone();
        let mut order = book.orders.values().next().expect("has one").clone();
        order.id = OrderId(id);
        order.client = client.to_owned();
        order.stage = Stage::Confirmed;
        book.orders.insert(order.id, order);
        book
    }

    #[test]
    fn a_book_with_itself_or_with_nothing_stays_what_it_is() {
        let book = full_book();
        assert_eq!(book.merged_with(&book), book);
        assert_eq!(book.merged_with(&Book::default()), book);
        let all = Book::default().merged_with(&book);
        assert_eq!(
            (&all.orders, &all.cards, &all.kitchen),
            (&book.orders, &book.cards, &book.kitchen)
        );
        assert_eq!(all.pins, book.pins);
    }

    #[test]
    fn what_is_here_stays_and_what_is_not_comes_in() {
        let here = with(&full_book(), 7, "Odd Larsen");
        let mut there = with(&full_book(), 8, "Wren Ashby");
        let first = there.orders.values_mut().next().expect("has one");
        first.notes = "an older state".to_owned();
        let step = StepId("o8.i1.bake".into());
        let pin = Pin { starts: vec!["2026-12-01T19:00".parse().expect("a moment")], done: false };
        there.pins.insert(step.clone(), pin.clone());
        let merged = here.merged_with(&there);
        assert_eq!(merged.orders.len(), here.orders.len() + 1);
        assert_eq!(merged.pins.get(&step), Some(&pin));
        let preview = RestorePreview::of(&here, &merged);
        assert!(preview.removes.is_empty(), "nothing is lost: {preview:?}");
        assert!(!preview.changes.iter().any(|key| key.id == "1"), "the order here stays");
        let mut book = here;
        book.apply(Command::ReplaceAll(Box::new(merged))).expect("holds together");
    }

    #[test]
    fn two_orders_that_share_a_number_by_chance_are_both_kept() {
        let here = with(&full_book(), 7, "Odd Larsen");
        let mut there = with(&full_book(), 7, "Wren Ashby");
        there.pricing.agreed.insert(OrderId(7), 12_300);
        let pin = Pin { starts: vec!["2026-12-01T19:00".parse().expect("a moment")], done: true };
        there.pins.insert(StepId("o7.i1.bake".into()), pin.clone());
        let merged = here.merged_with(&there);
        assert_eq!(merged.orders[&OrderId(7)].client, "Odd Larsen");
        let came =
            merged.orders.values().find(|order| order.client == "Wren Ashby").expect("came in");
        assert!(7 < came.id.0 && came.id.0 <= merged.settings.orders_given);
        let step = StepId(format!("o{}.i1.bake", came.id.0));
        assert_eq!(merged.pins.get(&step), Some(&pin));
        assert_eq!(merged.pricing.agreed.get(&came.id), Some(&12_300));
        assert!(!merged.pins.contains_key(&StepId("o7.i1.bake".into())));
        // Twice is once.
        assert_eq!(merged.merged_with(&here), merged);
    }
}
