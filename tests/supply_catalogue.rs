//! The catalogue of goods against published weights.
//!
//! Source: USDA National Nutrient Database for Standard Reference, release 28, household weights (NDB numbers
//! beside each value); a US cup is 231/16 in³ = 236.588 mL (NIST Handbook 44).
#![cfg(not(target_arch = "wasm32"))]

use std::collections::BTreeSet;

use rackweek::allergen::ingredient;
use rackweek::supply::{Kind, catalogue, good};

const CUP: f64 = 0.236_588_236_5;

#[test]
fn a_cup_weighs_what_the_standard_reference_says() {
    for (id, cup) in [
        ("flour", 125.0),           // 20081
        ("sugar", 200.0),           // 19335
        ("brown-sugar", 220.0),     // 19334, packed
        ("powdered-sugar", 120.0),  // 19336, unsifted
        ("butter", 227.0),          // 01145
        ("milk", 244.0),            // 01077
        ("cream", 238.0),           // 01053, fluid
        ("egg-whites", 243.0),      // 01124
        ("egg-yolks", 243.0),       // 01125
        ("cocoa", 86.0),            // 19165
        ("cream-cheese", 232.0),    // 01017
        ("vegetable-oil", 218.0),   // 04044
        ("shortening", 205.0),      // 04615
        ("salt", 292.0),            // 02047
        ("vanilla-extract", 208.0), // 02050
        ("corn-syrup", 341.0),      // 19350
        ("dark-chocolate", 168.0),  // 19080, chips
        ("white-chocolate", 170.0), // 19087, chips
        ("milk-chocolate", 168.0),  // 19120, chips
        ("cornstarch", 128.0),      // 20027
        ("water", 237.0),           // 14555
    ] {
        let litre = good(id).and_then(|good| good.litre).unwrap_or_else(|| panic!("{id}"));
        assert!((f64::from(litre) - cup / CUP).abs() <= 0.5 + 1e-9, "{id}: {litre}");
    }
    // A teaspoon is a cup's 48th: baking powder 4.6 g (18369), cream of tartar 3.0 g (18373).
    for (id, spoon) in [("baking-powder", 4.6), ("baking-soda", 4.6), ("cream-of-tartar", 3.0)] {
        let litre = good(id).and_then(|good| good.litre).unwrap_or_else(|| panic!("{id}"));
        assert!((f64::from(litre) - spoon * 48.0 / CUP).abs() <= 0.5 + 1e-9, "{id}: {litre}");
    }
    // A large egg: 50 g whole (01123), 33 g white, 17 g yolk.
    let piece = |id: &str| good(id).and_then(|good| good.piece);
    assert_eq!(
        [piece("eggs"), piece("egg-whites"), piece("egg-yolks")],
        [Some(50), Some(33), Some(17)]
    );
    assert_eq!(piece("butter"), Some(113), "a stick is a quarter of a pound");
}

#[test]
fn every_good_can_be_bought_and_every_ingredient_looked_up_for_allergens() {
    let goods = catalogue();
    let ids: BTreeSet<&str> = goods.iter().map(|good| good.id.as_str()).collect();
    assert_eq!(ids.len(), goods.len(), "no id twice");
    assert!(goods.len() > 50, "the file was read");
    for good in goods {
        assert!(!good.name.is_empty(), "{}", good.id);
        assert!(good.packs.windows(2).all(|pair| pair[0] < pair[1]), "{}: smallest first", good.id);
        assert!(good.packs.iter().all(|pack| 0 < *pack), "{}", good.id);
        if good.kind == Kind::Ingredient {
            assert!(ingredient(&good.name).is_some(), "{} is not in the allergen map", good.name);
        }
    }
}
