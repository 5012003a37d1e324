//! What an order costs to make, and what it would bring.
//!
//! In: amounts of goods with what a gram or a piece of each costs, minutes of work, and the baker's own rates. Out:
//! costs line by line, a price that covers them, and what an hour would earn at any other price.

use serde::{Deserialize, Serialize};

use super::money::{Minor, Rounding, WHOLE, share, times, with_margin};
use crate::breakdown::Work;
use crate::card::StepKind;
use crate::order::{HandoverWay, Order};
use crate::refusal::Refusal;

/// What the baker counts with. Kept in the book.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rates {
    /// Three capital letters of ISO 4217, for example `EUR`.
    pub currency: String,
    /// Decimal digits of its minor unit, 0 to 3: 2 where a hundred cents make the whole.
    pub digits: u8,
    /// Minor units that an hour of her work is to bring.
    pub hour: Minor,
    /// Overhead on goods, packaging and work: wear, cleaning, insurance; hundredths of a per cent.
    pub overhead: u32,
    /// What is to be left of the price beyond all costs; hundredths of a per cent of the price.
    pub margin: u32,
    /// Minor units that an hour of the oven costs; 0: energy is not counted.
    pub oven_hour: Minor,
    /// Minor units that an hour on the road costs, there and back counted.
    pub road_hour: Minor,
    /// Tax on top of the price; hundredths of a per cent; 0 where none is charged.
    pub tax: u32,
    /// Where tax is rounded.
    pub rounding: Rounding,
    /// Asked for at once; hundredths of a per cent of the total.
    pub deposit: u32,
    /// The balance is due so many days before the handover; 0: at the handover.
    pub balance_days: u16,
}

impl Default for Rates {
    /// Numbers to start from; every household has its own.
    fn default() -> Self {
        Self {
            currency: "USD".to_owned(),
            digits: 2,
            hour: 2_000,
            overhead: 1_000,
            margin: 1_000,
            oven_hour: 0,
            road_hour: 1_500,
            tax: 0,
            rounding: Rounding::PerQuote,
            deposit: 5_000,
            balance_days: 7,
        }
    }
}

/// Greatest amount that is taken for anything, minor units.
pub const AMOUNT_MAX: Minor = 100_000_000;

impl Rates {
    /// What is wrong, by field.
    pub fn validate(&self) -> Vec<Refusal> {
        let mut out = Vec::new();
        let letters = self.currency.len() == 3
            && self.currency.bytes().all(|letter| letter.is_ascii_uppercase());
        if !letters {
            let say = "a currency has three capital letters; write for example EUR".to_owned();
            out.push(Refusal::of("currency", say));
        }
        if self.digits > 3 {
            out.push(Refusal::of("digits", "a currency has 0 to 3 decimals, for example 2"));
        }
        for (field, amount, example) in [
            ("hour", self.hour, "25"),
            ("oven_hour", self.oven_hour, "0.40"),
            ("road_hour", self.road_hour, "15"),
        ] {
            if !(0..=AMOUNT_MAX).contains(&amount) {
                out.push(Refusal::of(
                    field,
                    format!("an amount is not below 0; write for example {example}"),
                ));
            }
        }
        for (field, rate, most, example) in [
            ("overhead", self.overhead, 20_000, "10"),
            ("margin", self.margin, 9_000, "15"),
            ("tax", self.tax, 5_000, "8.25"),
            ("deposit", self.deposit, WHOLE, "50"),
        ] {
            if rate > most {
                let most = most / 100;
                out.push(Refusal::of(
                    field,
                    format!("is 0 to {most} %; write for example {example}"),
                ));
            }
        }
        if self.balance_days > 365 {
            out.push(Refusal::of("balance_days", "is 0 to 365 days; write for example 7"));
        }
        out
    }
}

/// What goes into an order, priced where prices are known.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Goods {
    /// Cost of what is used of the ingredients, waste included.
    pub ingredients: Minor,
    /// Cost of what is used of the packaging.
    pub packaging: Minor,
    /// Names of goods of which no price is known: the cost is at least what is said.
    pub unpriced: Vec<String>,
}

/// What an order takes beside goods.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Effort {
    /// Minutes of hands-on work, with the margins for what is new to her.
    pub hands_on: u32,
    /// Minutes that the oven runs.
    pub oven: u32,
    /// Minutes on the road, there and back.
    pub road: u32,
}

impl Effort {
    /// What an order takes, of the work that it comes to.
    pub fn of(work: &Work, order: &Order) -> Self {
        let minutes = |kinds: &[StepKind]| {
            let own = work.steps.iter().filter(|step| step.order == order.id);
            own.filter(|step| kinds.contains(&step.kind)).flat_map(|step| &step.sittings).sum()
        };
        let road = match order.handover.way {
            HandoverWay::Collection => 0,
            HandoverWay::Delivery { travel, .. } => 2 * u32::from(travel),
        };
        Self {
            hands_on: minutes(&[StepKind::Plain, StepKind::Fine]),
            oven: minutes(&[StepKind::Oven]),
            road,
        }
    }
}

/// Costs, line by line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Costs {
    /// See [`Goods`].
    pub ingredients: Minor,
    /// See [`Goods`].
    pub packaging: Minor,
    /// Hands-on work at her rate.
    pub work: Minor,
    /// The oven.
    pub energy: Minor,
    /// The road.
    pub delivery: Minor,
    /// On goods, packaging and work.
    pub overhead: Minor,
}

impl Costs {
    /// Adds up what an order costs. Each line is rounded once.
    pub fn of(goods: &Goods, effort: Effort, rates: &Rates) -> Self {
        let work = times(rates.hour, i64::from(effort.hands_on), 60);
        Self {
            ingredients: goods.ingredients,
            packaging: goods.packaging,
            work,
            energy: times(rates.oven_hour, i64::from(effort.oven), 60),
            delivery: times(rates.road_hour, i64::from(effort.road), 60),
            overhead: share(goods.ingredients + goods.packaging + work, rates.overhead),
        }
    }

    /// All of it.
    pub fn total(&self) -> Minor {
        self.without_work() + self.work
    }

    /// What is paid to others.
    pub fn without_work(&self) -> Minor {
        self.ingredients + self.packaging + self.energy + self.delivery + self.overhead
    }

    /// The price before tax that covers all costs and leaves her margin.
    pub fn price(&self, rates: &Rates) -> Minor {
        with_margin(self.total(), rates.margin).unwrap_or(Minor::MAX)
    }

    /// What an hour of work earns at a price before tax; none without work.
    pub fn hour_at(&self, price: Minor, effort: Effort) -> Option<Minor> {
        (effort.hands_on > 0)
            .then(|| times(price - self.without_work(), 60, i64::from(effort.hands_on)))
    }
}

#[cfg(test)]
mod tests {
    use super::super::money::{deposit, tax};
    use super::*;

    /// A worked quote: goods 18.42, packaging 4.50, six and a half hours at 22.00, 12 % overhead, 20 % margin, 8.25 %
    /// tax, half as deposit. Computed by hand with every rounding stated.
    #[test]
    fn a_whole_quote_comes_out_to_the_cent() {
        let rates = Rates {
            hour: 2_200,
            overhead: 1_200,
            margin: 2_000,
            tax: 825,
            oven_hour: 0,
            ..Rates::default()
        };
        let goods = Goods { ingredients: 1_842, packaging: 450, unpriced: Vec::new() };
        let effort = Effort { hands_on: 390, ..Effort::default() };
        let costs = Costs::of(&goods, effort, &rates);
        assert_eq!((costs.work, costs.overhead, costs.total()), (14_300, 1_991, 18_583));
        let price = costs.price(&rates);
        assert_eq!(price, 23_229);
        let total = price + tax(&[price], rates.tax, rates.rounding);
        assert_eq!(total, 25_145);
        assert_eq!(deposit(total, rates.deposit), (12_573, 12_572));
        // 232.29 less 42.83 for others, over 6.5 hours.
        assert_eq!(costs.hour_at(price, effort), Some(2_915));
        assert_eq!(costs.hour_at(costs.total(), effort), Some(rates.hour));
        assert!(
            costs.hour_at(4_000, effort).is_some_and(|hour| hour < 0),
            "a loss is shown as one"
        );
        assert_eq!(costs.hour_at(price, Effort::default()), None);
    }

    #[test]
    fn what_an_order_takes_is_its_own_work_the_oven_and_the_road() {
        use crate::breakdown::break_down;
        let cards = crate::card::builtin();
        let cards: Vec<_> = cards.iter().collect();
        let kitchen = crate::kitchen::presets().remove(0).kitchen;
        let mut one = crate::order::tests::order(1, "Ines K.");
        one.handover.way = HandoverWay::Collection;
        let mut two = crate::order::tests::order(2, "Jo V.");
        two.handover.way = HandoverWay::Delivery { travel: 25, place: String::new() };
        let alone = Effort::of(&break_down(&[&one], &cards, &kitchen, 180), &one);
        let both = break_down(&[&one, &two], &cards, &kitchen, 180);
        assert_eq!(Effort::of(&both, &one), alone);
        assert!(60 < alone.hands_on && 0 < alone.oven && alone.road == 0, "{alone:?}");
        let delivered = Effort::of(&both, &two);
        assert_eq!(delivered.road, 50);
        assert_eq!(delivered.hands_on, alone.hands_on, "the same items");
    }

    #[test]
    fn energy_and_the_road_are_counted_where_she_wants_them() {
        let rates = Rates { oven_hour: 45, road_hour: 1_260, ..Rates::default() };
        let effort = Effort { hands_on: 0, oven: 80, road: 40 };
        let costs = Costs::of(&Goods::default(), effort, &rates);
        assert_eq!((costs.energy, costs.delivery, costs.total()), (60, 840, 900));
    }

    #[test]
    fn rates_out_of_range_are_refused_with_an_example() {
        assert_eq!(Rates::default().validate(), []);
        let wrong = Rates {
            currency: "euro".to_owned(),
            digits: 4,
            hour: -1,
            overhead: 20_001,
            margin: 9_001,
            oven_hour: AMOUNT_MAX + 1,
            road_hour: -5,
            tax: 5_001,
            rounding: Rounding::PerLine,
            deposit: 10_001,
            balance_days: 366,
        };
        let refusals = wrong.validate();
        assert_eq!(refusals.len(), 10);
        assert!(refusals.iter().all(|refusal| refusal.message.contains("for example")));
    }
}
