//! The shopping list.
//!
//! In: what steps use and when, her supplies, and what the list is to cover. Out: groups of lines, each with how much is
//! needed, how much of it is there, which packages to buy, what is left over, and when it is needed at the latest.
//! The larder goes to whatever comes first, also to what the list does not cover.

use std::collections::{BTreeMap, BTreeSet};

use super::Use;
use super::catalogue::{Good, Group, catalogue};
use super::larder::{Bought, Supplies};
use super::packs::{Pack, left_over, price, to_buy};
use crate::calendar::{Date, Wall};
use crate::order::OrderId;
use crate::plan::arrange::Arrange;
use crate::quote::Minor;

/// What a list is to cover.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Covers {
    /// Only these orders; empty: all.
    pub orders: BTreeSet<OrderId>,
    /// Only what is used up to this day; none: all.
    pub until: Option<Date>,
}

impl Covers {
    fn holds(&self, of: &Use) -> bool {
        let order = self.orders.is_empty() || self.orders.contains(&of.order);
        // What has no time yet is needed all the same.
        let day = self.until.zip(of.at).is_none_or(|(until, at)| at.date() <= until);
        order && day
    }
}

/// A group of lines that stand together in a shop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shelf {
    /// Which.
    pub group: Group,
    /// By name.
    pub lines: Vec<Line>,
}

/// A good to buy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// What.
    pub good: &'static Good,
    /// Needed in all by what the list covers, thousandths.
    pub needed: u64,
    /// Not there, thousandths.
    pub lacking: u64,
    /// Packages for what is lacking and not bought yet.
    pub buy: Vec<(Pack, u32)>,
    /// What of them is left over, thousandths.
    pub left: u64,
    /// When the first of what is lacking is used; none where that is not planned.
    pub by: Option<Wall>,
    /// When the last of it is used.
    pub last: Option<Wall>,
    /// Whose.
    pub orders: BTreeSet<OrderId>,
    /// What was bought already.
    pub bought: Option<Bought>,
    /// It is here because there is less of it than she wants to have.
    pub low: bool,
}

/// The list.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct List {
    /// In the order of the groups.
    pub shelves: Vec<Shelf>,
    /// What the packages cost that have a price, bought ones by what they were planned to cost left out.
    pub planned: Minor,
    /// What was paid.
    pub spent: Minor,
    /// Lines still to buy of which no price is known.
    pub unpriced: usize,
}

impl List {
    /// Makes the list.
    pub fn of(uses: &[Use], supplies: &Supplies, covers: &Covers) -> Self {
        let mut by_good: BTreeMap<&str, Vec<&Use>> = BTreeMap::new();
        for of in uses.iter().filter(|of| !of.done) {
            by_good.entry(&of.good).or_default().push(of);
        }
        let mut list = Self::default();
        let mut groups: BTreeMap<Group, Vec<Line>> = BTreeMap::new();
        for good in catalogue().iter().filter(|good| good.group != Group::Tap) {
            let pending = by_good.remove(good.id.as_str()).unwrap_or_default();
            let Some(line) = line(good, pending, uses, supplies, covers) else { continue };
            if !line.buy.is_empty() {
                match price(&line.buy) {
                    Some(price) => list.planned += price,
                    None => list.unpriced += 1,
                }
            }
            list.spent += line.bought.and_then(|bought| bought.paid).unwrap_or(0);
            groups.entry(good.group).or_default().push(line);
        }
        for (group, mut lines) in groups {
            lines.arrange_by(|a, b| a.good.name.cmp(&b.good.name));
            list.shelves.push(Shelf { group, lines });
        }
        list
    }

    /// All lines.
    pub fn lines(&self) -> impl Iterator<Item = &Line> {
        self.shelves.iter().flat_map(|shelf| &shelf.lines)
    }
}

fn line(
    good: &'static Good,
    mut pending: Vec<&Use>,
    uses: &[Use],
    supplies: &Supplies,
    covers: &Covers,
) -> Option<Line> {
    // What is not planned comes after what is.
    pending.arrange_by_key(|of| (of.at.is_none(), of.at));
    let mut there = supplies.present(&good.id, uses);
    let use_by = supplies.larder.get(&good.id).and_then(|stock| stock.use_by);
    let (mut needed, mut lacking) = (0_u64, 0_u64);
    let (mut by, mut last) = (None, None);
    let mut orders = BTreeSet::new();
    for of in pending {
        let good_then = use_by.zip(of.at).is_none_or(|(day, at)| at.date() <= day);
        let taken = if good_then { there.min(of.milli) } else { 0 };
        there -= taken;
        if !covers.holds(of) {
            continue;
        }
        needed += of.milli;
        orders.insert(of.order);
        if taken < of.milli {
            lacking += of.milli - taken;
            by = by.or(of.at);
            last = of.at.or(last);
        }
    }
    let bought = supplies.bought.get(&good.id).copied();
    let low = supplies.is_low(&good.id, uses);
    if lacking == 0 && bought.is_none() && !low {
        return None;
    }
    let packs = supplies.packs_of(&good.id);
    let open = lacking.saturating_sub(bought.map_or(0, |bought| bought.milli));
    // Of what is merely low the smallest package.
    let open = if open == 0 && low && bought.is_none() { 1 } else { open };
    let buy = to_buy(open, &packs);
    let left = left_over(if lacking == 0 { 0 } else { open }, &buy);
    Some(Line { good, needed, lacking, buy, left, by, last, orders, bought, low })
}

#[cfg(test)]
mod tests {
    use super::super::larder::Stock;
    use super::*;
    use crate::breakdown::StepId;

    fn wall(text: &str) -> Wall {
        text.parse().expect(text)
    }

    fn used(good: &str, grams: u64, order: u32, at: &str) -> Use {
        Use {
            good: good.into(),
            milli: grams * 1000,
            order: OrderId(order),
            step: StepId(format!("o{order}.i1.mix")),
            at: (!at.is_empty()).then(|| wall(at)),
            done: false,
        }
    }

    fn uses() -> Vec<Use> {
        vec![
            used("flour", 800, 2, "2026-12-09T18:00"),
            used("flour", 300, 1, "2026-12-03T18:00"),
            used("butter", 200, 1, "2026-12-03T18:00"),
            used("cookie-bag", 28, 1, "2026-12-04T20:00"),
            used("water", 85, 1, "2026-12-03T19:00"),
        ]
    }

    fn find<'a>(list: &'a List, good: &str) -> Option<&'a Line> {
        list.lines().find(|line| line.good.id == good)
    }

    fn stocked(good: &str, grams: u64) -> Supplies {
        let counted = wall("2026-12-01T08:00");
        let stock = Stock { milli: grams * 1000, counted, opened: None, use_by: None, low: 0 };
        Supplies { larder: [(good.to_owned(), stock)].into(), ..Supplies::default() }
    }

    #[test]
    fn amounts_of_orders_are_one_line_in_whole_packages_by_the_first_use() {
        let list = List::of(&uses(), &Supplies::default(), &Covers::default());
        let flour = find(&list, "flour").expect("is needed");
        assert_eq!((flour.needed, flour.lacking), (1_100_000, 1_100_000));
        let bought: u64 = flour.buy.iter().map(|(p, n)| u64::from(p.size * n) * 1000).sum();
        assert_eq!(flour.left, bought - 1_100_000);
        assert_eq!(flour.by, Some(wall("2026-12-03T18:00")));
        assert_eq!(flour.last, Some(wall("2026-12-09T18:00")));
        assert_eq!(flour.orders, [OrderId(1), OrderId(2)].into());
        assert!(find(&list, "cookie-bag").is_some(), "packaging too");
        assert!(find(&list, "water").is_none(), "water comes from the tap");
        let groups: Vec<Group> = list.shelves.iter().map(|shelf| shelf.group).collect();
        assert!(groups.is_sorted() && groups.len() == 3, "{groups:?}");
        assert_eq!(list.unpriced, 3);
    }

    #[test]
    fn the_larder_goes_to_what_comes_first_and_only_while_it_is_good() {
        let mut supplies = stocked("flour", 500);
        let list = List::of(&uses(), &supplies, &Covers::default());
        let flour = find(&list, "flour").expect("is needed");
        assert_eq!((flour.needed, flour.lacking), (1_100_000, 600_000));
        assert_eq!(flour.by, Some(wall("2026-12-09T18:00")), "the first use is covered");
        // A list for the second order alone: the first still takes its part.
        let second = Covers { orders: [OrderId(2)].into(), until: None };
        let list = List::of(&uses(), &supplies, &second);
        let flour = find(&list, "flour").expect("is needed");
        assert_eq!((flour.needed, flour.lacking), (800_000, 600_000));
        assert!(find(&list, "butter").is_none());
        // Nothing of it is good any more by the ninth.
        if let Some(stock) = supplies.larder.get_mut("flour") {
            stock.use_by = Date::new(2026, 12, 8);
        }
        let list = List::of(&uses(), &supplies, &Covers::default());
        assert_eq!(find(&list, "flour").expect("is needed").lacking, 800_000);
        let list = List::of(&uses(), &stocked("flour", 1_100), &Covers::default());
        assert!(find(&list, "flour").is_none(), "all of it is there");
    }

    #[test]
    fn a_list_may_end_on_a_day_and_what_has_no_time_is_on_it() {
        let mut all = uses();
        all.push(used("sugar", 100, 1, ""));
        let covers = Covers { orders: BTreeSet::new(), until: Date::new(2026, 12, 3) };
        let list = List::of(&all, &Supplies::default(), &covers);
        assert_eq!(find(&list, "flour").expect("is needed").needed, 300_000);
        assert_eq!(find(&list, "sugar").expect("is needed").by, None);
        assert!(find(&list, "cookie-bag").is_none());
    }

    #[test]
    fn what_is_bought_is_ticked_and_what_is_still_lacking_is_said() {
        let mut supplies = Supplies::default();
        supplies.packs.insert("flour".into(), vec![Pack { size: 1000, price: Some(199) }]);
        let list = List::of(&uses(), &supplies, &Covers::default());
        assert_eq!((list.planned, list.spent, list.unpriced), (398, 0, 2));
        supplies.bought.insert("flour".into(), Bought { milli: 1_000_000, paid: Some(185) });
        let list = List::of(&uses(), &supplies, &Covers::default());
        let flour = find(&list, "flour").expect("stays on the list");
        assert_eq!(flour.buy.iter().map(|(_, n)| n).sum::<u32>(), 1, "100 g are still lacking");
        assert_eq!((list.planned, list.spent), (199, 185));
        supplies.bought.insert("flour".into(), Bought { milli: 2_000_000, paid: None });
        let list = List::of(&uses(), &supplies, &Covers::default());
        let flour = find(&list, "flour").expect("stays on the list");
        assert_eq!((flour.buy.len(), list.planned, list.spent), (0, 0, 0));
    }

    #[test]
    fn what_is_low_is_on_the_list_too() {
        let mut supplies = stocked("salt", 50);
        if let Some(stock) = supplies.larder.get_mut("salt") {
            stock.low = 100_000;
        }
        let list = List::of(&[], &supplies, &Covers::default());
        let salt = find(&list, "salt").expect("is low");
        assert!(salt.low && salt.buy.len() == 1 && salt.needed == 0);
    }
}
