//! Allergens against the two lists in law, and clashes with what a client avoids.
#![cfg(not(target_arch = "wasm32"))]

use std::collections::BTreeSet;

use proptest::prelude::*;
use rackweek::allergen::{
    Allergen, Avoids, Cereal, List, Nut, Sureness, conflicts, contains_line, content, ingredient,
    ingredients,
};

fn groups(list: List) -> BTreeSet<&'static str> {
    Allergen::all().into_iter().filter_map(|allergen| allergen.group(list)).collect()
}

fn nuts(list: List) -> Vec<&'static str> {
    let named = Nut::ALL.into_iter().filter(|nut| list.names(Allergen::TreeNut(*nut)));
    named.map(Nut::name).collect()
}

#[test]
fn the_united_states_name_nine() {
    // 21 U.S.C. 321(qq)(1), with sesame (FASTER Act, in force 1 January 2023).
    let nine = [
        "milk",
        "egg",
        "fish",
        "crustacean shellfish",
        "tree nuts",
        "wheat",
        "peanuts",
        "soybeans",
        "sesame",
    ];
    assert_eq!(groups(List::UnitedStates), BTreeSet::from(nine));
}

#[test]
fn europe_names_fourteen() {
    // Regulation (EU) 1169/2011, annex II, items 1 to 14.
    let fourteen = [
        "gluten",
        "crustaceans",
        "eggs",
        "fish",
        "peanuts",
        "soybeans",
        "milk",
        "nuts",
        "celery",
        "mustard",
        "sesame",
        "sulphites",
        "lupin",
        "molluscs",
    ];
    assert_eq!(groups(List::Europe), BTreeSet::from(fourteen));
    for cereal in [Cereal::Wheat, Cereal::Rye, Cereal::Barley, Cereal::Oats] {
        assert!(List::Europe.names(Allergen::Gluten(cereal)));
        assert_eq!(List::UnitedStates.names(Allergen::Gluten(cereal)), cereal == Cereal::Wheat);
    }
}

#[test]
fn twelve_nuts_in_the_united_states_and_eight_in_europe() {
    // FDA Q&A guidance on food allergens, edition 5, January 2025, table 1.
    assert_eq!(
        nuts(List::UnitedStates),
        [
            "almond",
            "black walnut",
            "Brazil nut",
            "California walnut",
            "cashew",
            "hazelnut",
            "Japanese walnut",
            "macadamia",
            "pecan",
            "pine nut",
            "pistachio",
            "walnut"
        ]
    );
    // Regulation (EU) 1169/2011, annex II, item 8.
    assert_eq!(
        nuts(List::Europe),
        ["almond", "Brazil nut", "cashew", "hazelnut", "macadamia", "pecan", "pistachio", "walnut"]
    );
}

#[test]
fn coconut_is_in_neither_list_and_can_still_be_avoided() {
    // FDA's guidance of 2025: coconut is no major allergen any more. Annex II never named it.
    let coconut = content(["coconut"]);
    assert_eq!(contains_line(&coconut, List::UnitedStates), None);
    assert_eq!(contains_line(&coconut, List::Europe), None);
    assert!(conflicts(&[Avoids::TreeNuts], ["coconut"]).none_known());
    let found =
        conflicts(&[Avoids::Ingredient("Coconut".into())], ["coconut", "Toasted coconut flakes"]);
    assert_eq!(found.clashes.len(), 2);
}

#[test]
fn the_line_follows_the_list() {
    let cookies = content([
        "butter",
        "eggs",
        "flour",
        "barley malt",
        "pine nuts",
        "pecans",
        "sugar",
        "vanilla extract",
    ]);
    assert_eq!(
        contains_line(&cookies, List::UnitedStates).as_deref(),
        Some("Contains: milk, egg, tree nuts (pecan, pine nut), wheat.")
    );
    assert_eq!(
        contains_line(&cookies, List::Europe).as_deref(),
        Some("Contains: milk, eggs, nuts (pecan), gluten (wheat, barley).")
    );
    assert_eq!(contains_line(&content(["sugar"]), List::Europe), None);
    assert_eq!(cookies.brings[&Allergen::Milk], ["butter"]);
}

#[test]
fn what_the_map_does_not_know_is_said() {
    let filled = content(["butter", "moon dust", "moon dust"]);
    assert_eq!(filled.unknown, ["moon dust"]);
    let found = conflicts(&[Avoids::Allergen(Allergen::Egg)], ["moon dust"]);
    assert!(found.clashes.is_empty() && !found.none_known());
}

#[test]
fn clashes_are_sure_or_for_the_label_to_say() {
    let avoids = [Avoids::Allergen(Allergen::Milk), Avoids::Gluten];
    let found = conflicts(&avoids, ["dark chocolate", " Butter ", "oats", "sugar"]);
    let written: Vec<(&str, &str, Sureness)> = found
        .clashes
        .iter()
        .map(|clash| (clash.ingredient.as_str(), clash.what.as_str(), clash.sureness))
        .collect();
    assert_eq!(
        written,
        [
            ("Butter", "milk", Sureness::Contains),
            ("oats", "oats", Sureness::Contains),
            ("dark chocolate", "milk", Sureness::CheckLabel),
            ("oats", "wheat", Sureness::CheckLabel),
            ("oats", "barley", Sureness::CheckLabel),
        ]
    );
    assert!(conflicts(&[], ["butter"]).none_known());
}

#[test]
fn the_map_brings_what_the_lists_are_about() {
    // From the definitions of the lists: milk and what is made of it, egg and what is made of it, wheat flour,
    // nuts and their pastes; dried fruit is the usual carrier of sulphites.
    let sure = [
        ("butter", Allergen::Milk),
        ("cream", Allergen::Milk),
        ("cream cheese", Allergen::Milk),
        ("milk powder", Allergen::Milk),
        ("white chocolate", Allergen::Milk),
        ("milk chocolate", Allergen::Milk),
        ("meringue powder", Allergen::Egg),
        ("royal icing", Allergen::Egg),
        ("egg whites", Allergen::Egg),
        ("flour", Allergen::Gluten(Cereal::Wheat)),
        ("marzipan", Allergen::TreeNut(Nut::Almond)),
        ("almond extract", Allergen::TreeNut(Nut::Almond)),
        ("peanut butter", Allergen::Peanut),
    ];
    for (name, allergen) in sure {
        assert!(ingredient(name).expect(name).brings.contains(&allergen), "{name}");
    }
    let check = [
        ("dark chocolate", Allergen::Milk),
        ("dark chocolate", Allergen::Soy),
        ("dried fruit", Allergen::Sulphites),
        ("glacé cherries", Allergen::Sulphites),
        ("jam", Allergen::Sulphites),
        ("sprinkles", Allergen::Milk),
    ];
    for (name, allergen) in check {
        assert!(ingredient(name).expect(name).check.contains(&allergen), "{name}");
    }
    let mut names: Vec<&str> = ingredients().iter().map(|row| row.name).collect();
    let written = names.clone();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names, written, "in order, each once");
}

proptest! {
    #[test]
    fn another_ingredient_never_takes_an_allergen_away(
        some in proptest::collection::vec(0..ingredients().len(), 0..8), more in 0..ingredients().len(),
    ) {
        let names: Vec<&str> = some.iter().map(|&index| ingredients()[index].name).collect();
        let before = content(names.iter().copied());
        let after = content(names.iter().copied().chain([ingredients()[more].name]));
        prop_assert!(before.brings.keys().all(|allergen| after.brings.contains_key(allergen)));
        prop_assert!(before.check.keys().all(|allergen| after.check.contains_key(allergen)));
        for allergen in after.brings.keys().chain(after.check.keys()) {
            let avoids = [Avoids::Allergen(*allergen)];
            let found = conflicts(&avoids, names.iter().copied().chain([ingredients()[more].name]));
            prop_assert!(!found.clashes.is_empty());
        }
    }
}
