//! The larder, what was bought, and in which packages: what the baker says about her supplies. Kept in the book.
//!
//! A stock is counted at a moment; what steps that were ticked off after it have used is taken off whenever it is
//! looked at, so that ticking a step, and undoing that, needs no second change.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::packs::Pack;
use super::units::Units;
use super::{Use, catalogue};
use crate::calendar::{Date, Wall};
use crate::quote::{AMOUNT_MAX, Minor};
use crate::refusal::Refusal;

/// Greatest size of a package, grams or pieces.
pub const SIZE_MAX: u32 = 100_000;
/// Greatest amount of a good, thousandths of a gram or piece: a tonne.
const MILLI_MAX: u64 = 1_000_000_000;

/// What the baker says about her supplies.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Supplies {
    /// How amounts are written.
    pub units: Units,
    /// Packages that she buys, with prices, by good; the catalogue's where there are none.
    pub packs: BTreeMap<String, Vec<Pack>>,
    /// What is there, by good.
    pub larder: BTreeMap<String, Stock>,
    /// What was bought for the list and is not put away yet, by good.
    pub bought: BTreeMap<String, Bought>,
}

/// What is there of a good.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stock {
    /// Thousandths of a gram or piece, when it was counted.
    pub milli: u64,
    /// When it was counted.
    pub counted: Wall,
    /// When the package was opened.
    pub opened: Option<Date>,
    /// The last day on which it is used.
    pub use_by: Option<Date>,
    /// Below so many thousandths it is low; 0: never.
    pub low: u64,
}

/// What was bought of a good.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bought {
    /// Thousandths of a gram or piece.
    pub milli: u64,
    /// What was paid, minor units; none where nobody has said.
    pub paid: Option<Minor>,
}

impl Supplies {
    /// The packages of a good.
    pub fn packs_of(&self, good: &str) -> Vec<Pack> {
        if let Some(own) = self.packs.get(good) {
            return own.clone();
        }
        let usual = catalogue::good(good).map_or(&[][..], |good| &good.packs);
        usual.iter().map(|size| Pack { size: *size, price: None }).collect()
    }

    /// What is there of a good now, thousandths: as it was counted, less what was used since.
    pub fn present(&self, good: &str, uses: &[Use]) -> u64 {
        let Some(stock) = self.larder.get(good) else { return 0 };
        let since = uses.iter().filter(|of| of.good == good && of.done);
        let since = since.filter(|of| of.at.is_some_and(|at| stock.counted <= at));
        stock.milli.saturating_sub(since.map(|of| of.milli).sum())
    }

    /// Whether there is less of a good than she wants to have.
    pub fn is_low(&self, good: &str, uses: &[Use]) -> bool {
        self.larder.get(good).is_some_and(|stock| self.present(good, uses) < stock.low)
    }

    /// Everything bought goes into the larder.
    pub fn put_away(&mut self, now: Wall, uses: &[Use]) {
        for (good, bought) in std::mem::take(&mut self.bought) {
            let milli = self.present(&good, uses).saturating_add(bought.milli).min(MILLI_MAX);
            let fresh = Stock { milli, counted: now, opened: None, use_by: None, low: 0 };
            let before = self.larder.get(&good).copied();
            // What was there keeps its days; the first to go off is the one to mind.
            let stock = before.map_or(fresh, |stock| Stock { milli, counted: now, ..stock });
            self.larder.insert(good, stock);
        }
    }

    /// What is wrong, by field: `packs.flour.0.size`, `larder.flour.milli`.
    pub fn validate(&self) -> Vec<Refusal> {
        let mut out = Vec::new();
        for (good, packs) in &self.packs {
            for (index, pack) in packs.iter().enumerate() {
                if !(1..=SIZE_MAX).contains(&pack.size) {
                    let say = format!("a package holds 1 to {SIZE_MAX}; write for example 1000");
                    out.push(Refusal::of(format!("packs.{good}.{index}.size"), say));
                }
                if pack.price.is_some_and(|price| !(0..=AMOUNT_MAX).contains(&price)) {
                    let say = "a price is not below 0; write for example 2.49";
                    out.push(Refusal::of(format!("packs.{good}.{index}.price"), say));
                }
            }
        }
        let amounts = self.larder.iter().flat_map(|(good, stock)| {
            [
                (format!("larder.{good}.milli"), stock.milli),
                (format!("larder.{good}.low"), stock.low),
            ]
        });
        let bought =
            self.bought.iter().map(|(good, of)| (format!("bought.{good}.milli"), of.milli));
        for (field, milli) in amounts.chain(bought) {
            if milli > MILLI_MAX {
                out.push(Refusal::of(field, "is at most a tonne; write for example 500"));
            }
        }
        for (good, of) in &self.bought {
            if of.paid.is_some_and(|paid| !(0..=AMOUNT_MAX).contains(&paid)) {
                let say = "what was paid is not below 0; write for example 2.49";
                out.push(Refusal::of(format!("bought.{good}.paid"), say));
            }
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::breakdown::StepId;
    use crate::order::OrderId;

    fn wall(text: &str) -> Wall {
        text.parse().expect(text)
    }

    fn used(milli: u64, at: &str, done: bool) -> Use {
        Use {
            good: "flour".into(),
            milli,
            order: OrderId(1),
            step: StepId("o1.i1.mix".into()),
            at: Some(wall(at)),
            done,
        }
    }

    fn with(milli: u64) -> Supplies {
        let counted = wall("2026-12-01T08:00");
        let stock = Stock { milli, counted, opened: None, use_by: None, low: 500_000 };
        Supplies { larder: [("flour".to_owned(), stock)].into(), ..Supplies::default() }
    }

    #[test]
    fn ticked_steps_use_the_larder_up_and_what_was_used_before_counting_does_not() {
        let supplies = with(1_000_000);
        let uses = [
            used(300_000, "2026-12-01T07:59", true),
            used(200_000, "2026-12-01T18:00", true),
            used(400_000, "2026-12-02T18:00", false),
        ];
        assert_eq!(supplies.present("flour", &uses), 800_000);
        assert!(!supplies.is_low("flour", &uses));
        assert_eq!(supplies.present("flour", &uses[..1]), 1_000_000);
        let more =
            [used(900_000, "2026-12-01T18:00", true), used(900_000, "2026-12-01T19:00", true)];
        assert_eq!(supplies.present("flour", &more), 0);
        assert!(supplies.is_low("flour", &more));
        assert_eq!(supplies.present("sugar", &uses), 0);
    }

    #[test]
    fn what_was_bought_is_put_away_beside_what_is_left() {
        let mut supplies = with(1_000_000);
        let bought = Bought { milli: 2_000_000, paid: Some(398) };
        supplies.bought = [("flour".to_owned(), bought), ("sugar".to_owned(), bought)].into();
        let uses = [used(200_000, "2026-12-01T18:00", true)];
        supplies.put_away(wall("2026-12-02T10:00"), &uses);
        assert_eq!(supplies.bought.len(), 0);
        assert_eq!(supplies.present("flour", &uses), 2_800_000);
        assert_eq!(supplies.larder["flour"].low, 500_000);
        assert_eq!(supplies.present("sugar", &uses), 2_000_000);
    }

    #[test]
    fn packages_are_hers_or_the_usual_ones() {
        let mut supplies = Supplies::default();
        let usual = supplies.packs_of("flour");
        assert!(!usual.is_empty() && usual.iter().all(|pack| pack.price.is_none()));
        let own = vec![Pack { size: 1500, price: Some(179) }];
        supplies.packs.insert("flour".into(), own.clone());
        assert_eq!(supplies.packs_of("flour"), own);
        assert_eq!(supplies.packs_of("moonlight"), []);
    }

    #[test]
    fn what_cannot_be_is_refused_at_its_field_with_an_example() {
        let mut supplies = with(MILLI_MAX + 1);
        supplies.packs.insert(
            "sugar".into(),
            vec![Pack { size: 0, price: Some(-1) }, Pack { size: SIZE_MAX + 1, price: None }],
        );
        supplies.bought.insert("salt".into(), Bought { milli: 1, paid: Some(-1) });
        let refusals = supplies.validate();
        let fields: Vec<_> = refusals.iter().map(|refusal| refusal.field.as_str()).collect();
        assert_eq!(
            fields,
            [
                "packs.sugar.0.size",
                "packs.sugar.0.price",
                "packs.sugar.1.size",
                "larder.flour.milli",
                "bought.salt.paid",
            ]
        );
        assert!(refusals.iter().all(|refusal| refusal.message.contains("for example")));
        assert_eq!(with(1).validate(), []);
    }
}
