//! The waits of all orders that are not over, each card's and size's once.

use super::Book;
use crate::breakdown::{Wait, break_down};
use crate::card::Card;
use crate::plan::arrange::Arrange;

/// Longest sitting that is reckoned with, minutes; no wait depends on it.
const LONGEST_SITTING: u32 = 180;

impl Book {
    /// Waits whose length follows from size, of enquiries, quoted and confirmed orders, as they read in a list:
    /// by card, then in the order of the work. Empty without a kitchen.
    pub fn waits(&self) -> Vec<Wait> {
        let Some(kitchen) = &self.kitchen else { return Vec::new() };
        let orders: Vec<_> = self.orders.values().filter(|order| !order.is_over()).collect();
        let cards = self.all_cards();
        let cards: Vec<&Card> = cards.iter().collect();
        let mut waits: Vec<Wait> = Vec::new();
        for wait in break_down(&orders, &cards, kitchen, LONGEST_SITTING).waits {
            let same = |known: &Wait| {
                known.card == wait.card && known.wait == wait.wait && known.size == wait.size
            };
            if !waits.iter().any(same) {
                waits.push(wait);
            }
        }
        waits.arrange_by(|a, b| a.product.cmp(&b.product));
        waits
    }
}

#[cfg(test)]
mod tests {
    use crate::calendar::Date;
    use crate::demo::demo;

    #[test]
    fn each_wait_of_a_card_and_size_is_there_once_and_changes_when_it_is_timed() {
        let mut book = demo(Date::new(2026, 11, 23).expect("a date").at(12 * 60));
        let waits = book.waits();
        let mut names: Vec<_> =
            waits.iter().map(|w| (w.card.clone(), w.wait.clone(), w.size.clone())).collect();
        assert!(names.iter().any(|(card, ..)| card == "tall-layer-cake"), "{names:?}");
        names.sort();
        let all = names.len();
        names.dedup();
        assert_eq!(names.len(), all);

        let first = &waits[0];
        let kitchen = book.kitchen.as_mut().expect("a kitchen");
        let own = Some((first.reckoned, first.reckoned + 15));
        kitchen.warmth.time(&first.card, &first.wait, &first.size, own);
        let after = book.waits();
        assert_eq!((after[0].minutes, after[0].timed), (first.reckoned + 15, Some(true)));
        book.kitchen = None;
        assert!(book.waits().is_empty());
    }
}
