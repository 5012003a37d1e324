//! What the baker says about money: her rates, her price list, and what she has agreed for an order. Kept in the book.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::costs::{AMOUNT_MAX, Rates};
use super::money::Minor;
use super::prices::Price;
use crate::order::OrderId;
use crate::refusal::Refusal;

const TERMS_MAX: usize = 2000;

/// What the baker says about money.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pricing {
    /// What she counts with.
    pub rates: Rates,
    /// Her price list; each card once.
    pub prices: Vec<Price>,
    /// What is agreed for an order, before tax.
    pub agreed: BTreeMap<OrderId, Minor>,
    /// Her terms, as they stand at the end of every quote and confirmation; at most 2,000 letters.
    #[serde(default)]
    pub terms: String,
}

impl Pricing {
    /// What is wrong, by field: `rates.hour`, `price.cake-pops.each`, `agreed.3`.
    pub fn validate(&self) -> Vec<Refusal> {
        let rates = self.rates.validate().into_iter();
        let rates = rates.map(|of| Refusal::of(format!("rates.{}", of.field), of.message));
        let prices = self.prices.iter().enumerate().flat_map(|(index, price)| {
            let twice = self.prices.iter().take(index).any(|other| other.card == price.card);
            let say = "is on the list twice; keep one of them, for example the first";
            let twice = twice.then(|| Refusal::of(format!("price.{}", price.card), say));
            price.validate().into_iter().chain(twice)
        });
        let wrong = self.agreed.iter().filter(|(_, amount)| !(0..=AMOUNT_MAX).contains(*amount));
        let agreed = wrong.map(|(order, _)| {
            let say = "a price is not below 0; write for example 120";
            Refusal::of(format!("agreed.{}", order.0), say)
        });
        let letters = self.terms.chars().count();
        let terms = (TERMS_MAX < letters).then(|| {
            let say = format!("have {letters} letters; shorten them to at most {TERMS_MAX}, for example to what is paid when");
            Refusal::of("terms", say)
        });
        rates.chain(prices).chain(agreed).chain(terms).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_part_is_refused_under_its_own_name() {
        assert_eq!(Pricing::default().validate(), []);
        let price = Price { card: "cake-pops".into(), each: 300, from: 0, surcharges: Vec::new() };
        let wrong = Pricing {
            rates: Rates { hour: -1, ..Rates::default() },
            prices: vec![price.clone(), Price { each: -2, ..price }],
            agreed: [(OrderId(3), -1), (OrderId(4), 12_000)].into(),
            terms: "x".repeat(2001),
        };
        let refusals = wrong.validate();
        let fields: Vec<_> = refusals.iter().map(|of| of.field.as_str()).collect();
        assert_eq!(
            fields,
            ["rates.hour", "price.cake-pops.each", "price.cake-pops", "agreed.3", "terms"]
        );
        assert!(refusals.iter().all(|of| of.message.contains("for example")));
    }
}
