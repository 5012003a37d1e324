//! What the client is told beside what and how much: allergens, how to keep it, how high a cake stands, how to cut it.
//!
//! What cards tell (`client`) is common practice, no published source, as are the words for keeping.

use std::collections::BTreeMap;

use crate::allergen::{Allergen, Content, List, contains_line, content};
use crate::breakdown::{Work, cakes};
use crate::card::{Card, find_card};
use crate::kitchen::Kitchen;
use crate::order::Order;
use crate::servings::{Cake, INCH};

use super::label::{Label, labels};
use super::{ingredients, lines_of};

/// Sentences for the client, each once: what the products contain, how they are kept, how high cakes stand, then what
/// their cards tell. `work` is the breakdown of this order alone, or holds it among others.
pub fn client_facts(
    order: &Order,
    work: &Work,
    cards: &[&Card],
    kitchen: &Kitchen,
    list: List,
) -> Vec<String> {
    let labels = labels(order, work, cards, list);
    let holds: Vec<Content> =
        order.items.iter().map(|item| content(ingredients(order, Some(item.id), work))).collect();
    let may: Vec<Option<String>> = holds.iter().map(|holds| may_contain(holds, list)).collect();
    let contains = holds.iter().zip(&may).map(|(holds, may)| {
        let nothing = "Contains no allergen of the list, as far as is known.".to_owned();
        contains_line(holds, list).or_else(|| may.is_none().then_some(nothing))
    });
    let mut facts = by_product(contains, &labels);
    facts.extend(by_product(may.iter().cloned(), &labels));
    facts.extend(by_product(labels.iter().map(|label| Some(label.keep.to_owned())), &labels));
    for (label, item) in labels.iter().zip(&order.items) {
        let card = find_card(cards, &item.card, &item.versions);
        let tiers = card.map_or_else(Vec::new, |card| cakes(card, item, kitchen));
        facts.extend(size(&label.product, &tiers).filter(|line| !facts.contains(line)));
    }
    let told = lines_of(order, work, cards, |card| &card.client);
    facts.extend(told.into_iter().map(|line| line + "."));
    facts
}

/// "Keep in the fridge (Tall layer cake, Tartlets).": what holds of several products is said once, of which.
fn by_product(lines: impl Iterator<Item = Option<String>>, labels: &[Label]) -> Vec<String> {
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for (line, label) in lines.zip(labels) {
        let Some(line) = line.as_deref().map(|line| line.trim_end_matches('.')) else { continue };
        let product = label.product.as_str();
        match groups.iter_mut().find(|(said, _)| said == line) {
            Some((_, of)) if of.contains(&product) => {}
            Some((_, of)) => of.push(product),
            None => groups.push((line.to_owned(), vec![product])),
        }
    }
    groups.into_iter().map(|(line, of)| format!("{line} ({}).", of.join(", "))).collect()
}

/// What bought ingredients of one product may bring besides, as far as no packet was read.
fn may_contain(holds: &Content, list: List) -> Option<String> {
    let groups = |of: &BTreeMap<Allergen, Vec<String>>| -> Vec<&'static str> {
        let mut named: Vec<&str> = of.keys().filter_map(|allergen| allergen.group(list)).collect();
        named.dedup();
        named
    };
    let sure = groups(&holds.brings);
    let mut also = groups(&holds.check);
    also.retain(|group| !sure.contains(group));
    let unknown = holds.unknown.iter().map(|name| format!("whatever is in {name}"));
    let also: Vec<String> = also.into_iter().map(str::to_owned).chain(unknown).collect();
    (!also.is_empty()).then(|| format!("May contain, from bought ingredients: {}", also.join(", ")))
}

/// "Tall layer cake: 18.0 cm (7.1 in) high, on top 15.0 cm (5.9 in) across": for who prints a topper of their own.
fn size(product: &str, tiers: &[Cake]) -> Option<String> {
    let tall = |cake: &Cake| match cake {
        Cake::Round { tall, .. } | Cake::Block { tall, .. } => *tall,
    };
    let high = tiers.iter().map(tall).sum::<i64>();
    let top = match tiers.last()? {
        Cake::Round { across, .. } => format!("{} across", both(*across)),
        Cake::Block { width, depth, .. } => format!("{} by {}", both(*width), both(*depth)),
    };
    (0 < high).then(|| format!("{product}: about {} high, on top {top}.", both(high)))
}

/// Hundredths of a millimetre as "15.0 cm (5.9 in)".
fn both(hundredths: i64) -> String {
    let tenths = |length: i64, unit: i64| {
        let tenths = (length * 10 + unit / 2) / unit;
        format!("{}.{}", tenths / 10, tenths % 10)
    };
    format!("{} cm ({} in)", tenths(hundredths, 1000), tenths(hundredths, INCH))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo::demo;
    use crate::order::Item;

    fn facts(card: &str, options: &[(&str, i64)]) -> Vec<String> {
        let book = demo("2026-11-30T07:00".parse().expect("a moment"));
        let like = book.orders.values().next().expect("an order").clone();
        let options = options.iter().map(|(id, value)| ((*id).to_owned(), *value)).collect();
        let item = Item { card: card.to_owned(), count: 12, options, ..like.items[0].clone() };
        let order = Order { items: vec![item], ..like };
        book.client_facts(&order).expect("a kitchen is set up")
    }

    #[test]
    fn deep_colours_warn_of_stains_and_others_do_not() {
        let stains = |facts: &[String]| facts.iter().any(|fact| fact.contains("stain lips"));
        let pale = facts("decorated-cookies", &[]);
        assert!(!stains(&pale), "{pale:?}");
        assert_eq!(pale[0], "Contains: milk, egg, wheat (Decorated cookies).");
        assert_eq!(pale[2], "Keep cool and dry, out of the sun (Decorated cookies).");
        assert!(pale.iter().any(|fact| fact.contains("and not in the fridge.")), "{pale:?}");
        let deep = facts("decorated-cookies", &[("deep-colour", 1)]);
        assert!(stains(&deep), "{deep:?}");
    }

    #[test]
    fn what_a_packet_may_bring_is_said_of_its_product_though_another_holds_it_for_sure() {
        let shells = facts("moulded-chocolate-shells", &[]);
        assert_eq!(
            shells[0],
            "May contain, from bought ingredients: milk, soybeans (Moulded chocolate shells)."
        );
        assert!(!shells.iter().any(|fact| fact.contains("no allergen")), "{shells:?}");
    }

    #[test]
    fn what_needs_cold_tells_how_long_it_may_be_out_of_it() {
        let out = "out of it for no more than 2 hours in all";
        for card in ["tall-layer-cake", "cupcakes", "macarons", "tartlets", "cheesecake"] {
            let told = facts(card, &[]);
            assert!(
                told.iter().any(|fact| fact.contains("no more than 2 hours")),
                "{card}: {told:?}"
            );
        }
        assert!(!facts("sheet-cake", &[]).iter().any(|fact| fact.contains(out)));
        assert!(facts("sheet-cake", &[("cream-cheese", 1)]).iter().any(|fact| fact.contains(out)));
    }

    #[test]
    fn a_cake_tells_how_high_it_stands_and_how_it_is_cut() {
        // Four layers of 45 mm stand 180 mm high; an inch is 25.4 mm exactly (NIST Handbook 44, appendix C).
        let cake = facts("tall-layer-cake", &[("diameter", 152), ("height", 180)]);
        let line = cake.iter().find(|fact| fact.contains("high"));
        let line = line.unwrap_or_else(|| panic!("{cake:?}"));
        assert!(line.ends_with("on top 15.2 cm (6.0 in) across."), "{line}");
        assert!(line.starts_with("Tall layer cake: about 18.0 cm (7.1 in) high"), "{line}");
        assert!(cake.iter().any(|fact| fact.starts_with("Cut it with a long knife")), "{cake:?}");
        assert!(cake.contains(&"Keep in the fridge (Tall layer cake).".to_owned()), "{cake:?}");
    }

    #[test]
    fn every_built_in_product_tells_the_client_how_to_keep_it() {
        for card in crate::card::builtin().into_iter().filter(|card| !card.component) {
            assert_ne!(card.client, [""; 0], "{}", card.id);
            let told = facts(&card.id, &[]);
            assert!(told[0].contains(&format!("({})", card.name)), "{told:?}");
            for line in &card.client {
                assert!(!line.ends_with('.') && told.contains(&format!("{line}.")), "{told:?}");
            }
        }
    }
}
