//! The quote: what is asked, compared with what it costs and what an hour would earn; dues; and what meets a budget.
//!
//! In: an order, its costs, her rates and price list. Out: amounts to be shown side by side, and cheaper forms of the
//! order. Those are priced here and planned elsewhere.

use crate::calendar::Date;
use crate::order::Order;
use crate::plan::arrange::Arrange;

use super::costs::{Costs, Effort, Rates};
use super::money::{Minor, deposit, tax};
use super::prices::Price;

/// Where a price comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Basis {
    /// All costs, her hours at her rate, and her margin.
    Costs,
    /// Her price list.
    List,
    /// What she wrote.
    Own,
}

/// A price before tax, and what it means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Way {
    /// Where it comes from.
    pub basis: Basis,
    /// Before tax.
    pub price: Minor,
    /// With tax.
    pub total: Minor,
    /// What is left beyond all costs, her hours at her rate included; negative where the price does not cover them.
    pub left: Minor,
    /// What an hour of her work earns; none without work.
    pub hour: Option<Minor>,
}

/// Prices side by side, what costs make first.
pub fn compare(
    costs: &Costs,
    effort: Effort,
    rates: &Rates,
    list: Option<&[Minor]>,
    own: Option<Minor>,
) -> Vec<Way> {
    let way = |basis, lines: &[Minor]| {
        let price: Minor = lines.iter().sum();
        let total = price + tax(lines, rates.tax, rates.rounding);
        let (left, hour) = (price - costs.total(), costs.hour_at(price, effort));
        Way { basis, price, total, left, hour }
    };
    let mut out = vec![way(Basis::Costs, &[costs.price(rates)])];
    out.extend(list.map(|lines| way(Basis::List, lines)));
    out.extend(own.map(|price| way(Basis::Own, &[price])));
    out
}

/// What is asked for each item by the list, in the order of the items; none while one of them is not on it.
/// `option` gives the value of an item's option.
pub fn by_list(
    order: &Order,
    prices: &[Price],
    option: impl Fn(&crate::order::Item, &str) -> i64,
) -> Option<Vec<Minor>> {
    let asked = |item: &crate::order::Item| {
        let price = prices.iter().find(|price| price.card == item.card)?;
        Some(price.asks(item, |id| option(item, id)).amount)
    };
    order.items.iter().map(asked).collect()
}

/// What is to be paid when.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Dues {
    /// At once.
    pub deposit: Minor,
    /// The rest.
    pub balance: Minor,
    /// The last day for the rest.
    pub balance_by: Date,
}

impl Dues {
    /// Of a total with tax, for a handover on a day.
    pub fn of(total: Minor, handover: Date, rates: &Rates) -> Self {
        let (deposit, balance) = deposit(total, rates.deposit);
        let balance_by = handover.plus_days(-i64::from(rates.balance_days));
        Self { deposit, balance, balance_by }
    }
}

/// A cheaper form of an order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cheaper {
    /// What is given up, for example "18 instead of 24".
    pub words: String,
    /// The order in this form.
    pub order: Order,
    /// With tax.
    pub total: Minor,
}

/// Forms of an order that cost the client no more than a budget, those that give up least first. `total` prices a form,
/// with tax; `name` names an item's product; each option of `plain` (item, option, words) may be given up.
pub fn within_budget(
    order: &Order,
    budget: Minor,
    total: impl Fn(&Order) -> Option<Minor>,
    name: impl Fn(&crate::order::Item) -> String,
    plain: &[(crate::order::ItemId, String, String)],
) -> Vec<Cheaper> {
    let mut out: Vec<Cheaper> = Vec::new();
    let mut offer = |words: String, order: Order| {
        let fits = total(&order).filter(|total| *total <= budget);
        if let Some(total) = fits {
            out.push(Cheaper { words, order, total });
        }
        fits.is_some()
    };
    let mut plainer = order.clone();
    let mut given_up: Vec<String> = Vec::new();
    for (item, option, words) in plain {
        let without = |order: &mut Order| {
            for of in order.items.iter_mut().filter(|of| of.id == *item) {
                of.options.insert(option.clone(), 0);
            }
        };
        let mut alone = order.clone();
        without(&mut alone);
        offer(format!("without {words}"), alone);
        without(&mut plainer);
        given_up.push(words.clone());
    }
    if given_up.len() > 1 {
        offer(format!("without {}", given_up.join(" and ")), plainer);
    }
    for item in &order.items {
        // From the most pieces down, in quarters: the first that fits gives up least.
        for quarters in [3, 2, 1] {
            let count = item.count * quarters / 4;
            if count == 0 || count == item.count {
                continue;
            }
            let mut fewer = order.clone();
            for of in fewer.items.iter_mut().filter(|of| of.id == item.id) {
                of.count = count;
            }
            if offer(format!("{count} instead of {} {}", item.count, name(item)), fewer) {
                break;
            }
        }
        if order.items.len() > 1 {
            let mut none = order.clone();
            none.items.retain(|of| of.id != item.id);
            offer(format!("no {}", name(item)), none);
        }
    }
    // What costs the client most gives up least.
    out.arrange_by_key(|cheaper| std::cmp::Reverse(cheaper.total));
    out
}

#[cfg(test)]
mod tests {
    use super::super::costs::Goods;
    use super::*;
    use crate::order::tests::order;
    use crate::order::{Item, ItemId};

    fn rates() -> Rates {
        Rates { hour: 2_000, overhead: 0, margin: 2_000, tax: 1_000, ..Rates::default() }
    }

    fn wish() -> Order {
        let mut order = order(7, "Ines K.");
        let item = |id, card: &str, count| Item {
            id: ItemId(id),
            card: card.into(),
            count,
            spares: 2,
            options: [("lettering".to_owned(), 1)].into(),
            notes: String::new(),
            versions: std::collections::BTreeMap::new(),
        };
        order.items = vec![item(1, "decorated-cookies", 24), item(2, "cake-pops", 20)];
        order
    }

    #[test]
    fn prices_side_by_side_say_what_is_left_and_what_an_hour_earns() {
        let goods = Goods { ingredients: 1_000, packaging: 500, unpriced: Vec::new() };
        let effort = Effort { hands_on: 120, ..Effort::default() };
        let costs = Costs::of(&goods, effort, &rates());
        assert_eq!(costs.total(), 5_500);
        let ways = compare(&costs, effort, &rates(), Some(&[3_000, 2_000]), Some(9_500));
        let told: Vec<_> =
            ways.iter().map(|way| (way.basis, way.price, way.total, way.left, way.hour)).collect();
        assert_eq!(
            told,
            [
                (Basis::Costs, 6_875, 7_563, 1_375, Some(2_688)),
                (Basis::List, 5_000, 5_500, -500, Some(1_750)),
                (Basis::Own, 9_500, 10_450, 4_000, Some(4_000)),
            ]
        );
    }

    #[test]
    fn a_list_that_lacks_a_product_asks_nothing() {
        let price =
            |card: &str, each| Price { card: card.into(), each, from: 0, surcharges: Vec::new() };
        let both = [price("decorated-cookies", 450), price("cake-pops", 300)];
        assert_eq!(by_list(&wish(), &both, |_, _| 0), Some(vec![10_800, 6_000]));
        assert_eq!(by_list(&wish(), &both[..1], |_, _| 0), None);
    }

    #[test]
    fn deposit_and_balance_have_their_days() {
        let handover = Date::new(2026, 12, 12).expect("a date");
        let dues = Dues::of(25_145, handover, &Rates { balance_days: 7, ..rates() });
        assert_eq!((dues.deposit, dues.balance), (12_573, 12_572));
        assert_eq!(dues.balance_by, Date::new(2026, 12, 5).expect("a date"));
    }

    #[test]
    fn what_meets_a_budget_is_priced_again_and_gives_up_as_little_as_it_can() {
        // 4.00 a cookie and 3.00 a pop, and 1.00 more with lettering.
        let total = |order: &Order| {
            let of = |item: &Item| {
                let each = if item.card == "cake-pops" { 300 } else { 400 };
                let more = item.options.get("lettering").map_or(0, |on| on * 100);
                (each + more) * i64::from(item.count)
            };
            Some(order.items.iter().map(of).sum())
        };
        let name = |item: &Item| item.card.replace('-', " ");
        let plain = [
            (ItemId(1), "lettering".to_owned(), "lettering on the cookies".to_owned()),
            (ItemId(2), "lettering".to_owned(), "lettering on the pops".to_owned()),
        ];
        assert_eq!(total(&wish()), Some(20_000));
        let ways = within_budget(&wish(), 16_000, total, name, &plain);
        let told: Vec<_> = ways.iter().map(|way| (way.words.as_str(), way.total)).collect();
        assert_eq!(
            told,
            [
                ("10 instead of 20 cake pops", 16_000),
                ("without lettering on the cookies and lettering on the pops", 15_600),
                ("12 instead of 24 decorated cookies", 14_000),
                ("no cake pops", 12_000),
                ("no decorated cookies", 8_000),
            ]
        );
        for way in &ways {
            assert_eq!(total(&way.order), Some(way.total));
            assert_eq!(way.order.id, wish().id);
        }
        assert_eq!(within_budget(&wish(), 0, total, name, &plain), []);
        assert_eq!(within_budget(&wish(), 16_000, |_| None, name, &plain), []);
    }
}
