//! Which packages to buy.
//!
//! In: how much is lacking, in thousandths, and the sizes sold. Out: how many of each. Exact: all ways that could be
//! best are looked at.

use serde::{Deserialize, Serialize};

use super::catalogue::Good;
use super::units::{Units, amount};
use crate::plan::arrange::Arrange;
use crate::quote::Minor;

/// A size sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pack {
    /// Grams or pieces, 1 to 100 000.
    pub size: u32,
    /// What it costs in minor units; none where that is not known.
    pub price: Option<Minor>,
}

/// Most packages of one size.
const COUNT_MAX: u64 = 200;

/// The packages that give at least `milli`: the cheapest where every size has its price, else the least that is left
/// over, where a package more counts as a quarter of the smallest. Empty when nothing is lacking or nothing is sold.
pub fn to_buy(milli: u64, packs: &[Pack]) -> Vec<(Pack, u32)> {
    let mut sizes: Vec<Pack> = packs.iter().copied().filter(|pack| pack.size > 0).collect();
    sizes.arrange_by_key(|pack| std::cmp::Reverse(pack.size));
    sizes.dedup_by_key(|pack| pack.size);
    // The three largest suffice: of smaller ones so many would be needed that nobody buys them.
    sizes.truncate(3);
    let Some(smallest) = sizes.last().map(|pack| u64::from(pack.size)) else { return Vec::new() };
    if milli == 0 {
        return Vec::new();
    }
    let priced = sizes.iter().all(|pack| pack.price.is_some());
    let mut best: Option<((i128, u64, u64), Vec<u64>)> = None;
    let mut counts = vec![0; sizes.len()];
    look(milli, &sizes, 0, &mut counts, &mut |counts| {
        let sum = |of: &dyn Fn(&Pack) -> i128| -> i128 {
            sizes.iter().zip(counts).map(|(pack, count)| of(pack) * i128::from(*count)).sum()
        };
        let bought = sum(&|pack| i128::from(pack.size));
        let number: u64 = counts.iter().sum();
        let cost = if priced {
            sum(&|pack| i128::from(pack.price.unwrap_or(0)))
        } else {
            bought * 4 + i128::from(number * smallest)
        };
        let rank = (cost, u64::try_from(bought).unwrap_or(u64::MAX), number);
        if best.as_ref().is_none_or(|(known, _)| rank < *known) {
            best = Some((rank, counts.to_vec()));
        }
    });
    let counts = best.map(|(_, counts)| counts).unwrap_or_default();
    let whole = sizes.into_iter().zip(counts).filter(|(_, count)| *count > 0);
    whole.map(|(pack, count)| (pack, u32::try_from(count).unwrap_or(u32::MAX))).collect()
}

/// All ways in which the last size fills up what the others leave.
fn look(milli: u64, sizes: &[Pack], at: usize, counts: &mut [u64], f: &mut dyn FnMut(&[u64])) {
    let Some(pack) = sizes.get(at) else { return };
    let each = u64::from(pack.size) * 1000;
    let enough = milli.div_ceil(each);
    let all = if at + 1 == sizes.len() { enough..=enough } else { 0..=enough.min(COUNT_MAX) };
    for count in all {
        if let Some(of) = counts.get_mut(at) {
            *of = count;
        }
        let left = milli.saturating_sub(count * each);
        if at + 1 == sizes.len() || left == 0 {
            for of in counts.iter_mut().skip(at + 1) {
                *of = 0;
            }
            f(counts);
        } else {
            look(left, sizes, at + 1, counts, f);
        }
    }
}

/// "2 × 1 kg + 1 × 500 g"; empty for nothing.
pub fn packs_in_words(good: &Good, bought: &[(Pack, u32)], units: Units) -> String {
    let one = |(pack, count): &(Pack, u32)| {
        format!("{count} × {}", amount(good, u64::from(pack.size) * 1000, units))
    };
    bought.iter().map(one).collect::<Vec<_>>().join(" + ")
}

/// What of them is left over when so many thousandths are used.
pub fn left_over(milli: u64, bought: &[(Pack, u32)]) -> u64 {
    let all: u64 = bought.iter().map(|(pack, n)| u64::from(pack.size) * 1000 * u64::from(*n)).sum();
    all.saturating_sub(milli)
}

/// What they cost; none while the price of one is not known.
pub fn price(bought: &[(Pack, u32)]) -> Option<Minor> {
    bought.iter().map(|(pack, n)| pack.price.map(|price| price * Minor::from(*n))).sum()
}

/// What `milli` of a good cost of the package with the best price, as it is used; none without a price.
pub fn cost_of_use(milli: u64, packs: &[Pack]) -> Option<Minor> {
    let priced = packs.iter().filter(|pack| pack.size > 0);
    let best = priced
        .filter_map(|pack| Some((pack.price?, i64::from(pack.size))))
        // a/b < c/d ⇔ a·d < c·b
        .min_by(|(a, b), (c, d)| {
            (i128::from(*a) * i128::from(*d)).cmp(&(i128::from(*c) * i128::from(*b)))
        })?;
    let milli = i64::try_from(milli).unwrap_or(i64::MAX);
    Some(crate::quote::times(best.0, milli, best.1 * 1000))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn packs(of: &[(u32, Option<Minor>)]) -> Vec<Pack> {
        of.iter().map(|(size, price)| Pack { size: *size, price: *price }).collect()
    }

    fn counts(milli: u64, of: &[(u32, Option<Minor>)]) -> Vec<(u32, u32)> {
        to_buy(milli, &packs(of)).into_iter().map(|(pack, n)| (pack.size, n)).collect()
    }

    #[test]
    fn little_is_left_over_and_the_cheapest_is_bought() {
        let flour = [(1000, None), (2268, None)];
        assert_eq!(counts(50_000, &flour), [(1000, 1)]);
        assert_eq!(counts(1_100_000, &flour), [(1000, 2)]);
        assert_eq!(counts(2_200_000, &flour), [(2268, 1)]);
        assert_eq!(counts(560_000, &[(100, None), (340, None)]), [(340, 2)]);
        // The large one is cheaper than two small ones, and than one small one.
        assert_eq!(counts(1_100_000, &[(1000, Some(200)), (2268, Some(390))]), [(2268, 1)]);
        assert_eq!(counts(900_000, &[(1000, Some(400)), (2268, Some(390))]), [(2268, 1)]);
        assert_eq!(counts(0, &flour), []);
        assert_eq!(counts(500, &[]), []);
        let bought = to_buy(1_100_000, &packs(&flour));
        assert_eq!(left_over(1_100_000, &bought), 900_000);
        assert_eq!(price(&bought), None);
        let bought = to_buy(1_100_000, &packs(&[(1000, Some(200))]));
        assert_eq!(price(&bought), Some(400));
        let words = |id: &str, bought: &[(Pack, u32)]| {
            let good = super::super::catalogue::good(id).expect(id);
            packs_in_words(good, bought, Units::Metric)
        };
        assert_eq!(words("flour", &bought), "2 × 1 kg");
        let eggs = [(Pack { size: 600, price: None }, 1), (Pack { size: 300, price: None }, 1)];
        assert_eq!(words("eggs", &eggs), "1 × 12 eggs + 1 × 6 eggs");
        assert_eq!(words("cookie-bag", &[(Pack { size: 100, price: None }, 3)]), "3 × 100");
    }

    /// VCC Learning Centre, "Recipe costing": 20 lb of flour at 10.50 are 0.525 a pound; and a spice of which a cup
    /// weighs 4 oz, at 10.60 a pound: a teaspoon is 0.0552.
    #[test]
    fn what_is_used_is_priced_by_its_package() {
        let flour = packs(&[(9_072, Some(10_500))]);
        assert_eq!(cost_of_use(453_592, &flour), Some(525));
        // In tenths of a cent, a teaspoon being a 48th of 113.398 g.
        let spice = packs(&[(453_592, Some(10_600_000))]);
        assert_eq!(cost_of_use(2_362_458, &spice), Some(55_208));
        assert_eq!(cost_of_use(5_000, &packs(&[(1000, None)])), None);
        let two = packs(&[(1000, Some(300)), (2000, Some(500)), (500, None)]);
        assert_eq!(cost_of_use(100_000, &two), Some(25));
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn what_is_bought_is_enough_and_no_package_could_be_left(
            milli in 1..5_000_000_u64,
            sizes in prop::collection::vec((20..3000_u32, prop::option::of(1..2000_i64)), 1..4),
        ) {
            let packs = packs(&sizes);
            let bought = to_buy(milli, &packs);
            let sum: u64 = bought.iter().map(|(p, n)| u64::from(p.size) * 1000 * u64::from(*n)).sum();
            prop_assert!(milli <= sum, "{bought:?}");
            prop_assert_eq!(left_over(milli, &bought), sum - milli);
            // Without any one of them it would not be enough.
            for (pack, _) in &bought {
                prop_assert!(sum - u64::from(pack.size) * 1000 < milli, "{bought:?}");
            }
        }
    }
}
