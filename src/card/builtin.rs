//! The cards that come with the program.

use std::sync::LazyLock;

use super::Card;

/// Card files, products first. Each is checked by the tests, and again when it is read.
const FILES: [&str; 24] = [
    include_str!("builtin/decorated-cookies.json"),
    include_str!("builtin/cake-pops.json"),
    include_str!("builtin/tall-layer-cake.json"),
    include_str!("builtin/cupcakes.json"),
    include_str!("builtin/drop-cookies.json"),
    include_str!("builtin/brownies.json"),
    include_str!("builtin/sheet-cake.json"),
    include_str!("builtin/cheesecake.json"),
    include_str!("builtin/macarons.json"),
    include_str!("builtin/tartlets.json"),
    include_str!("builtin/dipped-pretzels.json"),
    include_str!("builtin/meringue-kisses.json"),
    include_str!("builtin/moulded-chocolate-shells.json"),
    include_str!("builtin/chocolate-pieces.json"),
    include_str!("builtin/toppers.json"),
    include_str!("builtin/royal-icing.json"),
    include_str!("builtin/deep-icing.json"),
    include_str!("builtin/meringue-buttercream.json"),
    include_str!("builtin/sugar-buttercream.json"),
    include_str!("builtin/cream-cheese-frosting.json"),
    include_str!("builtin/ganache.json"),
    include_str!("builtin/pastry-cream.json"),
    include_str!("builtin/curd.json"),
    include_str!("builtin/fruit-filling.json"),
];

/// All built-in cards: products for the chooser first, then the components that they use.
pub fn builtin() -> Vec<Card> {
    // Always the same, and asked for at each change of the book: read once.
    static CARDS: LazyLock<Vec<Card>> =
        LazyLock::new(|| FILES.iter().filter_map(|text| Card::parse(text).ok()).collect());
    CARDS.clone()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::card::check_components;

    #[test]
    fn every_built_in_file_is_a_sound_card() {
        for text in FILES {
            let parsed = Card::parse(text);
            assert!(parsed.is_ok(), "{}", parsed.expect_err("just seen"));
        }
        let cards = builtin();
        assert_eq!(cards.len(), FILES.len());
        let known: Vec<&Card> = cards.iter().collect();
        for card in &cards {
            assert_eq!(check_components(card, &known), Ok(()), "{}", card.id);
        }
    }
}
