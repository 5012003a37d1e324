//! Which version of a card is meant.

use std::collections::BTreeMap;

use super::Card;

/// The card of an id: in the version that is asked for, or else the first of the list. Lists of cards hold the
/// newest version of each before older ones, so a version that is gone gives the newest.
pub fn find_card<'a>(
    cards: &[&'a Card],
    id: &str,
    versions: &BTreeMap<String, u32>,
) -> Option<&'a Card> {
    let asked = versions.get(id);
    let mut same = cards.iter().copied().filter(|card| card.id == id);
    let first = same.clone().next();
    same.find(|card| asked == Some(&card.version)).or(first)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::card::builtin;

    #[test]
    fn the_version_asked_for_is_found_and_else_the_newest() {
        let newest = Card { version: 3, ..builtin().remove(0) };
        let older = Card { version: 2, ..newest.clone() };
        let cards = [&newest, &older];
        let found = |version| {
            let versions = BTreeMap::from([(newest.id.clone(), version)]);
            find_card(&cards, &newest.id, &versions).map(|card| card.version)
        };
        assert_eq!((found(2), found(3), found(1)), (Some(2), Some(3), Some(3)));
        assert_eq!(find_card(&cards, &newest.id, &BTreeMap::new()), Some(&newest));
        assert_eq!(find_card(&cards, "no-such-card", &BTreeMap::new()), None);
    }
}
