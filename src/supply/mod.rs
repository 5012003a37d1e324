//! What is bought: the catalogue of ingredients and packaging, amounts in words, packages, the larder, the list.
//!
//! In: what steps use up and when, and what the baker says of her supplies. Out: the shopping list, what is left of the
//! larder, and what the goods of an order cost. Names are those of the allergen map
//! ([`crate::allergen::ingredient`]), so that what is on a card can be looked up there. Knows no cards; of plans
//! only the times that [`uses`] takes from one; of prices only what a package costs.
//!
//! | file | says |
//! |---|---|
//! | `catalogue` | goods by id: weights, packages, groups, keeping |
//! | `units` | amounts in words |
//! | `packs` | which packages to buy, what they and what is used of them cost |
//! | `larder` | what is there; kept in the book |
//! | `shopping` | the list |

mod catalogue;
mod larder;
mod packs;
mod shopping;
mod units;

use std::collections::BTreeMap;

use crate::breakdown::{StepId, Used, Work};
use crate::calendar::Wall;
use crate::order::OrderId;
use crate::quote::Goods;

pub use catalogue::{Good, Group, Kind, catalogue, good};
pub use larder::{Bought, SIZE_MAX, Stock, Supplies};
pub use packs::{Pack, cost_of_use, left_over, packs_in_words, price, to_buy};
pub use shopping::{Covers, Line, List, Shelf};
pub use units::{CUP, OUNCE, POUND, TABLESPOON, TEASPOON, Units, amount, grams, weight};

/// What a step uses up of a good, and when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Use {
    /// The good's id.
    pub good: String,
    /// Thousandths of a gram or piece, waste included.
    pub milli: u64,
    /// Whose.
    pub order: OrderId,
    /// Which step.
    pub step: StepId,
    /// When the step begins, or began; none while it is not planned.
    pub at: Option<Wall>,
    /// The step is ticked off.
    pub done: bool,
}

/// What is used up with its waste, thousandths, rounded up.
pub fn with_waste(used: &Used) -> u64 {
    used.milli.saturating_add(used.milli.saturating_mul(u64::from(used.waste)).div_ceil(100))
}

/// What all steps use, with the start that each has and whether it is done.
pub fn uses(
    work: &Work,
    starts: &BTreeMap<StepId, Wall>,
    done: impl Fn(&StepId) -> bool,
) -> Vec<Use> {
    let of = |used: &Used| Use {
        good: used.of.clone(),
        milli: with_waste(used),
        order: used.order,
        step: used.step.clone(),
        at: starts.get(&used.step).copied(),
        done: done(&used.step),
    };
    work.supplies.iter().map(of).collect()
}

/// What the goods of an order cost as they are used, by the packages of these supplies.
pub fn goods_of(work: &Work, order: OrderId, supplies: &Supplies) -> Goods {
    let mut amounts: BTreeMap<&str, u64> = BTreeMap::new();
    for used in work.supplies.iter().filter(|used| used.order == order) {
        *amounts.entry(&used.of).or_default() += with_waste(used);
    }
    let mut goods = Goods::default();
    for (id, milli) in amounts {
        let Some(good) = good(id).filter(|good| good.group != Group::Tap) else { continue };
        let Some(cost) = cost_of_use(milli, &supplies.packs_of(id)) else {
            goods.unpriced.push(good.name.clone());
            continue;
        };
        match good.kind {
            Kind::Ingredient => goods.ingredients += cost,
            Kind::Packaging => goods.packaging += cost,
        }
    }
    goods
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::ItemId;

    fn work() -> Work {
        let used = |order, step: &str, of: &str, milli, waste| Used {
            order: OrderId(order),
            item: ItemId(1),
            step: StepId(step.into()),
            of: of.into(),
            milli,
            waste,
        };
        let supplies = vec![
            used(1, "o1.i1.mix", "flour", 400_000, 5),
            used(1, "o1.i1.ice", "flour", 80_000, 0),
            used(1, "o1.i1.ice", "water", 85_000, 0),
            used(1, "o1.i1.bag", "cookie-bag", 28_000, 0),
            used(2, "o2.i1.mix", "flour", 1, 50),
        ];
        Work { supplies, ..Work::default() }
    }

    #[test]
    fn what_is_used_counts_waste_and_has_the_time_of_its_step() {
        let mix = StepId("o1.i1.mix".into());
        let at = "2026-12-03T18:00".parse().expect("a moment");
        let all = uses(&work(), &[(mix.clone(), at)].into(), |step| *step == mix);
        assert_eq!((all[0].milli, all[0].at, all[0].done), (420_000, Some(at), true));
        assert_eq!((all[1].milli, all[1].at, all[1].done), (80_000, None, false));
        assert_eq!(all[4].milli, 2, "rounded up");
    }

    #[test]
    fn an_order_costs_what_is_used_of_its_packages() {
        let mut supplies = Supplies::default();
        supplies.packs.insert("flour".into(), vec![Pack { size: 1000, price: Some(200) }]);
        supplies.packs.insert("cookie-bag".into(), vec![Pack { size: 100, price: Some(800) }]);
        let goods = goods_of(&work(), OrderId(1), &supplies);
        assert_eq!((goods.ingredients, goods.packaging), (100, 224));
        assert_eq!(goods.unpriced, [""; 0]);
        let goods = goods_of(&work(), OrderId(1), &Supplies::default());
        assert_eq!((goods.ingredients, goods.packaging), (0, 0));
        assert_eq!(goods.unpriced, ["clear bag", "flour"]);
    }

    #[test]
    fn every_good_has_a_group_and_what_keeps_is_in_the_tables() {
        assert!(catalogue().len() > 50);
        for good in catalogue() {
            let packed = matches!(good.group, Group::Bench | Group::Packing);
            assert_eq!(packed, good.kind == Kind::Packaging, "{}", good.id);
            assert_eq!(good.keeps.is_some(), good.keeps_days().is_some(), "{}", good.id);
            assert!(good.packs.is_sorted() && good.packs.iter().all(|pack| *pack <= SIZE_MAX));
        }
        // FoodKeeper (USDA FSIS): white flour 6 months unopened, eggs in the shell 3 weeks.
        let days = |id: &str| good(id).and_then(Good::keeps_days).map(|(days, _)| days);
        assert_eq!((days("flour"), days("eggs"), days("sprinkles")), (Some(180), Some(21), None));
    }
}
