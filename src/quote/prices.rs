//! Her own price list, and what it asks for an order.
//!
//! In: the list and an order. Out: lines with amounts. A price is a number of minor units for a piece, with a least
//! amount for the whole of a product ("from") and surcharges for its options. Knows no costs.

use serde::{Deserialize, Serialize};

use super::costs::AMOUNT_MAX;
use super::money::Minor;
use crate::order::Item;
use crate::refusal::Refusal;

/// What she asks for a product.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Price {
    /// The card's id.
    pub card: String,
    /// For one piece that is counted on the order; spares are hers.
    pub each: Minor,
    /// The least for the whole item; 0: none.
    pub from: Minor,
    /// On top of each piece while an option has at least this value.
    pub surcharges: Vec<Surcharge>,
}

/// More for an option.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Surcharge {
    /// The option's id on the card.
    pub option: String,
    /// From this value on: 1 for a switch that is on, 4 for "four colours and more".
    pub at_least: i64,
    /// For each piece.
    pub each: Minor,
}

/// An item with what is asked for it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asked {
    /// Pieces.
    pub count: u32,
    /// For one piece, surcharges included.
    pub each: Minor,
    /// For all of them: the pieces, or the least amount.
    pub amount: Minor,
    /// The least amount was more than the pieces.
    pub raised: bool,
}

impl Price {
    /// What is asked for an item of its card. `option` gives the value of an option, also where the order leaves it to
    /// the card.
    pub fn asks(&self, item: &Item, option: impl Fn(&str) -> i64) -> Asked {
        let applies = |of: &&Surcharge| option(&of.option) >= of.at_least;
        let more: Minor = self.surcharges.iter().filter(applies).map(|of| of.each).sum();
        let each = self.each.saturating_add(more);
        let pieces = each.saturating_mul(i64::from(item.count));
        let amount = pieces.max(self.from);
        Asked { count: item.count, each, amount, raised: amount > pieces }
    }

    /// What is wrong, by field.
    pub fn validate(&self) -> Vec<Refusal> {
        let amounts = [("each", self.each), ("from", self.from)];
        let more = self.surcharges.iter().map(|of| ("surcharge", of.each));
        let wrong = amounts.into_iter().chain(more);
        let wrong = wrong.filter(|(_, amount)| !(0..=AMOUNT_MAX).contains(amount));
        let say = |(field, _): (&str, Minor)| {
            Refusal::of(
                format!("price.{}.{field}", self.card),
                "a price is not below 0; write for example 4.50",
            )
        };
        wrong.map(say).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::ItemId;

    fn item(count: u32) -> Item {
        Item {
            id: ItemId(1),
            card: "decorated-cookies".into(),
            count,
            spares: 4,
            options: [("colours".to_owned(), 5)].into(),
            notes: String::new(),
            versions: std::collections::BTreeMap::new(),
        }
    }

    #[test]
    fn pieces_surcharges_and_the_least_amount() {
        let more =
            |option: &str, at_least, each| Surcharge { option: option.into(), at_least, each };
        let price = Price {
            card: "decorated-cookies".into(),
            each: 450,
            from: 5_400,
            surcharges: vec![more("colours", 4, 50), more("lettering", 1, 100)],
        };
        let value = |of: &Item| {
            let options = of.options.clone();
            move |name: &str| options.get(name).copied().unwrap_or(0)
        };
        let two_dozen = item(24);
        let asked = price.asks(&two_dozen, value(&two_dozen));
        assert_eq!((asked.each, asked.amount, asked.raised), (500, 12_000, false));
        let few = item(6);
        let asked = price.asks(&few, value(&few));
        assert_eq!((asked.amount, asked.raised), (5_400, true));
        let none = price.asks(&item(12), |_| 0);
        assert_eq!((none.each, none.amount), (450, 5_400));
        assert!(!none.raised, "12 × 4.50 is the least amount itself");
        assert_eq!(price.validate(), []);
        assert_eq!(Price { each: -1, from: -1, ..price }.validate().len(), 2);
    }
}
