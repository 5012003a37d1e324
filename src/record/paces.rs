//! Estimate against real, order by order: how long what was timed took beside what was reckoned for it.
//!
//! In: the book's margins, and its orders for names and dates. Out: one line an order, the newest first.

use std::collections::BTreeMap;

use super::Book;
use crate::calendar::Date;
use crate::order::OrderId;
use crate::plan::arrange::Arrange;

/// What was timed of one order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pace {
    /// Which.
    pub order: OrderId,
    /// When it was handed over; none once the order is gone from the book.
    pub date: Option<Date>,
    /// The client; "order 3" once the order is gone.
    pub title: String,
    /// Minutes that practised hands take for it by the cards.
    pub estimated: u32,
    /// Minutes that it took.
    pub real: u32,
    /// Steps that were timed.
    pub steps: u32,
}

impl Book {
    /// Every order of which anything was timed, the newest first.
    pub fn paces(&self) -> Vec<Pace> {
        let mut found: BTreeMap<u32, Pace> = BTreeMap::new();
        for timed in self.margins.steps.values().flatten() {
            let id = OrderId(timed.order);
            let pace = found.entry(timed.order).or_insert_with(|| {
                let order = self.orders.get(&id);
                Pace {
                    order: id,
                    date: order.map(|order| order.handover.at.date()),
                    title: order
                        .map_or_else(|| format!("order {}", id.0), |order| order.client.clone()),
                    estimated: 0,
                    real: 0,
                    steps: 0,
                }
            });
            pace.estimated = pace.estimated.saturating_add(timed.estimated);
            pace.real = pace.real.saturating_add(timed.real);
            pace.steps += 1;
        }
        let mut paces: Vec<Pace> = found.into_values().collect();
        paces.arrange_by_key(|pace| std::cmp::Reverse((pace.date, pace.order)));
        paces
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::margin::Timed;
    use crate::record::book::tests::full_book;

    #[test]
    fn what_was_timed_is_added_up_by_order_the_newest_first() {
        let mut book = full_book();
        book.margins = crate::margin::Margins::default();
        assert_eq!(book.paces(), []);
        let timed = |order, estimated, real| Timed { order, estimated, real };
        book.margins.learn("decorated-cookies", "flood", timed(1, 60, 75));
        book.margins.learn("decorated-cookies", "roll", timed(1, 30, 25));
        book.margins.learn("decorated-cookies", "roll", timed(900, 40, 40));
        let paces = book.paces();
        assert_eq!(paces.len(), 2);
        assert_eq!((paces[0].estimated, paces[0].real, paces[0].steps), (90, 100, 2));
        assert_eq!(paces[0].title, book.orders[&OrderId(1)].client);
        // Of an order that is gone the times stay, and go last.
        assert_eq!((paces[1].title.as_str(), paces[1].date), ("order 900", None));
    }
}
