//! What handed-over orders brought in: by month, and by product.
//!
//! Only what was agreed counts as income, before tax. Hours are those of the breakdown with what was timed. An order's
//! price is shared among its items by what each costs: goods, oven and hours at her rate.

use std::collections::BTreeMap;

use super::Book;
use super::reckon::Reckoner;
use crate::calendar::Date;
use crate::card::find_card;
use crate::order::{Order, Stage};
use crate::plan::arrange::Arrange;
use crate::quote::{Costs, Effort, Minor, times};
use crate::supply::goods_of;

/// Most months told, the latest ones.
const MONTHS_MAX: usize = 24;

/// A month.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Month {
    /// Year and month, 1 to 12.
    pub month: (i32, u32),
    /// Orders handed over in it.
    pub orders: u32,
    /// What was agreed for them, before tax.
    pub income: Minor,
    /// Minutes by hand.
    pub minutes: u32,
    /// How many of them have no agreed price.
    pub unpriced: u32,
}

/// A product over all months.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Earner {
    /// Its name.
    pub product: String,
    /// Pieces made for clients.
    pub pieces: u32,
    /// Its share of what was agreed.
    pub income: Minor,
    /// Minutes by hand.
    pub minutes: u32,
    /// What an hour of it earned after goods, oven, road and overhead; none without an hour.
    pub hour: Option<Minor>,
}

/// All of it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Earned {
    /// From the first to the last month with an order, the ones between too.
    pub months: Vec<Month>,
    /// The best earners by the hour first.
    pub earners: Vec<Earner>,
}

/// An item's part of an order.
struct Part {
    product: String,
    pieces: u32,
    costs: Costs,
    effort: Effort,
}

impl Book {
    /// What handed-over orders brought in. Empty while there is no kitchen to reckon with.
    pub fn earned(&self) -> Earned {
        let Some(reckoner) = self.reckoner() else { return Earned::default() };
        let mut months: BTreeMap<(i32, u32), Month> = BTreeMap::new();
        let mut products: BTreeMap<String, (Earner, Minor)> = BTreeMap::new();
        for order in self.orders.values().filter(|order| order.stage == Stage::HandedOver) {
            let parts = self.parts(order, &reckoner);
            let agreed = self.pricing.agreed.get(&order.id).copied();
            let month = month_of(order.handover.at.date());
            let entry = months.entry(month).or_insert_with(|| empty(month));
            entry.orders += 1;
            entry.income += agreed.unwrap_or(0);
            entry.unpriced += u32::from(agreed.is_none());
            entry.minutes += parts.iter().map(|part| part.effort.hands_on).sum::<u32>();
            let Some(agreed) = agreed else { continue };
            for (part, income) in shared(agreed, &parts) {
                let (earner, paid) = products.entry(part.product.clone()).or_insert_with(|| {
                    let product = part.product.clone();
                    (Earner { product, pieces: 0, income: 0, minutes: 0, hour: None }, 0)
                });
                earner.pieces += part.pieces;
                earner.income += income;
                earner.minutes += part.effort.hands_on;
                *paid += part.costs.without_work();
            }
        }
        let mut earners: Vec<Earner> = products
            .into_values()
            .map(|(earner, paid)| {
                let hour = (0 < earner.minutes)
                    .then(|| times(earner.income - paid, 60, i64::from(earner.minutes)));
                Earner { hour, ..earner }
            })
            .collect();
        earners.arrange_by_key(|earner| (std::cmp::Reverse(earner.hour), earner.product.clone()));
        Earned { months: with_gaps(months), earners }
    }

    fn parts(&self, order: &Order, reckoner: &Reckoner<'_>) -> Vec<Part> {
        let known = reckoner.known();
        let parts = order.items.iter().enumerate().map(|(at, item)| {
            let one = Order { items: vec![item.clone()], ..order.clone() };
            let work = reckoner.work(&one, &self.margins);
            let mut effort = Effort::of(&work, &one);
            // The road is driven once.
            if 0 < at {
                effort.road = 0;
            }
            let goods = goods_of(&work, one.id, &self.supplies);
            let card = find_card(&known, &item.card, &item.versions);
            Part {
                product: card.map_or_else(|| item.card.clone(), |card| card.name.clone()),
                pieces: item.count,
                costs: Costs::of(&goods, effort, &self.pricing.rates),
                effort,
            }
        });
        parts.collect()
    }
}

/// An amount shared by costs to the last minor unit: what rounding leaves goes to the first.
fn shared(amount: Minor, parts: &[Part]) -> Vec<(&Part, Minor)> {
    let weight = |part: &Part| part.costs.total().max(1);
    let all: Minor = parts.iter().map(weight).sum();
    let mut shares: Vec<(&Part, Minor)> = parts
        .iter()
        .map(|part| {
            let share = i128::from(amount) * i128::from(weight(part)) / i128::from(all.max(1));
            (part, Minor::try_from(share).unwrap_or(0))
        })
        .collect();
    let given: Minor = shares.iter().map(|(_, share)| share).sum();
    if let Some((_, first)) = shares.first_mut() {
        *first += amount - given;
    }
    shares
}

fn month_of(date: Date) -> (i32, u32) {
    let (year, month, _) = date.parts();
    (year, month)
}

fn empty(month: (i32, u32)) -> Month {
    Month { month, orders: 0, income: 0, minutes: 0, unpriced: 0 }
}

/// The months with those between that had no order.
fn with_gaps(mut months: BTreeMap<(i32, u32), Month>) -> Vec<Month> {
    let (Some(&first), Some(&last)) = (months.keys().next(), months.keys().next_back()) else {
        return Vec::new();
    };
    let mut all = Vec::new();
    let mut month = first;
    while month <= last {
        all.push(months.remove(&month).unwrap_or_else(|| empty(month)));
        month = if month.1 == 12 { (month.0 + 1, 1) } else { (month.0, month.1 + 1) };
    }
    let more = all.len().saturating_sub(MONTHS_MAX);
    all.drain(..more);
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo::demo;
    use crate::order::OrderId;

    fn book(agreed: &[(u32, &str, Option<Minor>)]) -> Book {
        let mut book = demo("2026-11-30T07:00".parse().expect("a moment"));
        book.pricing.rates.hour = 2000;
        let pattern = book.orders.values().next().expect("has one").clone();
        book.orders.clear();
        for (id, at, price) in agreed {
            let mut order = pattern.clone();
            order.id = OrderId(*id);
            order.stage = Stage::HandedOver;
            order.handover.at = at.parse().expect("a moment");
            book.orders.insert(order.id, order);
            if let Some(price) = price {
                book.pricing.agreed.insert(OrderId(*id), *price);
            }
        }
        book
    }

    #[test]
    fn months_run_on_over_the_turn_of_a_year_and_hold_what_was_agreed() {
        let book = book(&[
            (1, "2025-11-29T10:00", Some(12_000)),
            (2, "2025-11-30T23:00", Some(8_050)),
            (3, "2026-02-01T10:00", None),
        ]);
        let months = book.earned().months;
        let told: Vec<_> =
            months.iter().map(|m| (m.month, m.orders, m.income, m.unpriced)).collect();
        assert_eq!(
            told,
            [
                ((2025, 11), 2, 20_050, 0),
                ((2025, 12), 0, 0, 0),
                ((2026, 1), 0, 0, 0),
                ((2026, 2), 1, 0, 1),
            ]
        );
        assert_eq!(months[0].minutes, 2 * months[3].minutes, "the same order twice and once");
        assert!(0 < months[3].minutes);
    }

    #[test]
    fn shares_of_items_add_up_to_the_price_and_dearer_items_have_more() {
        let mut book = book(&[(1, "2026-11-28T10:00", Some(10_001))]);
        let all = demo("2026-11-30T07:00".parse().expect("a moment"));
        let items = all.orders.values().flat_map(|order| order.items.clone());
        let mut items: Vec<_> = items.collect();
        items.dedup_by(|a, b| a.card == b.card);
        items.truncate(3);
        for (item, id) in items.iter_mut().zip(1..) {
            item.id = crate::order::ItemId(id);
        }
        let order = book.orders.get_mut(&OrderId(1)).expect("is there");
        order.items = items;
        let earned = book.earned();
        assert!(2 <= earned.earners.len(), "{earned:?}");
        assert_eq!(earned.earners.iter().map(|earner| earner.income).sum::<Minor>(), 10_001);
        let minutes: u32 = earned.earners.iter().map(|earner| earner.minutes).sum();
        assert_eq!(minutes, earned.months[0].minutes);
        let hours: Vec<_> = earned.earners.iter().map(|earner| earner.hour).collect();
        assert!(hours.windows(2).all(|pair| pair[1] <= pair[0]), "the best first: {hours:?}");
    }

    #[test]
    fn what_is_not_handed_over_is_no_income() {
        let mut book = book(&[(1, "2026-11-28T10:00", Some(10_000))]);
        book.orders.get_mut(&OrderId(1)).expect("is there").stage = Stage::Confirmed;
        assert_eq!(book.earned(), Earned::default());
        book.orders.get_mut(&OrderId(1)).expect("is there").stage = Stage::HandedOver;
        book.kitchen = None;
        assert_eq!(book.earned(), Earned::default());
    }
}
