//! Which cakes an item is, by their measures: for who reckons how many they serve.

use super::counts::{Counts, Wanted};
use crate::card::Card;
use crate::kitchen::Kitchen;
use crate::order::Item;
use crate::servings::Cake;

/// The tiers of one cake of an item, or the one sheet; none where its card names no diameter, nor a width and a depth.
pub fn cakes(card: &Card, item: &Item, kitchen: &Kitchen) -> Vec<Cake> {
    let wanted = Wanted { ordered: i64::from(item.count), spares: 0, options: &item.options };
    let (counts, _) = Counts::of(card, wanted, kitchen);
    let named = |name: &str| {
        let known = card.options.iter().any(|option| option.id == name)
            || card.counts.iter().any(|count| count.id == name);
        // Cards have mm.
        known.then(|| counts.get(name).saturating_mul(100))
    };
    let tall = named("height").unwrap_or(0);
    let tiers = named("tiers").map_or(1, |tiers| tiers / 100).max(1);
    let names = ["diameter", "second", "third"].into_iter().zip(0..tiers);
    let round: Vec<Cake> = names
        .filter_map(|(name, _)| named(name))
        .filter(|across| 0 < *across)
        .map(|across| Cake::Round { across, tall })
        .collect();
    if !round.is_empty() {
        return round;
    }
    match (named("width"), named("depth")) {
        (Some(width), Some(depth)) => vec![Cake::Block { width, depth, tall }],
        _ => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;
    use crate::card::builtin;
    use crate::kitchen::presets;
    use crate::order::ItemId;
    use crate::servings::{EVENT, INCH};

    fn of(card: &str, options: &[(&str, i64)]) -> Vec<Cake> {
        let card = builtin().into_iter().find(|one| one.id == card).expect("built in");
        let item = Item {
            id: ItemId(1),
            card: card.id.clone(),
            count: 1,
            spares: 0,
            options: options.iter().map(|(name, value)| ((*name).to_owned(), *value)).collect(),
            notes: String::new(),
            versions: BTreeMap::new(),
        };
        cakes(&card, &item, &presets().remove(0).kitchen)
    }

    #[test]
    fn tiers_sheets_and_small_pieces_are_told_apart() {
        // Four layers of 45 mm; 203 mm are 8 in less 0.2 mm.
        let one = of("tall-layer-cake", &[("diameter", 204), ("layers", 4)]);
        assert_eq!(one, [Cake::Round { across: 20_400, tall: 18_000 }]);
        assert_eq!(one[0].slices(EVENT), 17);
        let tiers = of("tall-layer-cake", &[("diameter", 254), ("tiers", 3)]);
        assert_eq!(tiers.len(), 3, "{tiers:?}");
        let across = |cake: &Cake| match cake {
            Cake::Round { across, .. } => *across,
            Cake::Block { .. } => 0,
        };
        assert!(tiers.windows(2).all(|pair| across(&pair[1]) < across(&pair[0])), "{tiers:?}");
        let sheet = of("sheet-cake", &[("width", 330), ("depth", 229)]);
        assert_eq!(sheet, [Cake::Block { width: 33_000, depth: 22_900, tall: 0 }]);
        assert!(48 <= sheet[0].slices(EVENT) && INCH == 2540);
        assert_eq!(of("cheesecake", &[]).len(), 1);
        assert!(of("cake-pops", &[]).is_empty() && of("cupcakes", &[]).is_empty());
    }
}
