//! What a client avoids, read from her words.
//!
//! Words are only ever taken to mean more, never less: "nuts" are tree nuts and peanuts, and whatever is not understood
//! is said, so that somebody reads it.

use crate::allergen::{Allergen, Avoids, ingredient, ingredients};

/// What was understood of a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    /// What is avoided, each once.
    pub avoids: Vec<Avoids>,
    /// False when the text says something of which nothing was understood.
    pub understood: bool,
}

/// Words that name nothing by themselves.
const SMALL: &[&str] = &[
    "a",
    "allergic",
    "allergies",
    "allergy",
    "and",
    "any",
    "anything",
    "as",
    "at",
    "avoid",
    "avoids",
    "child",
    "far",
    "for",
    "free",
    "guest",
    "guests",
    "her",
    "i",
    "is",
    "it",
    "know",
    "known",
    "n",
    "na",
    "nil",
    "no",
    "none",
    "not",
    "nothing",
    "of",
    "one",
    "or",
    "person",
    "so",
    "that",
    "the",
    "to",
    "two",
    "we",
    "with",
    "without",
];

/// Reads the words of a field "Allergies".
pub fn avoided(text: &str) -> Named {
    let lower = text.to_lowercase();
    let words: Vec<&str> = lower
        .split(|letter: char| !letter.is_alphabetic())
        .filter(|word| !word.is_empty())
        .collect();
    let mut named = Named { avoids: Vec::new(), understood: true };
    let mut unknown = false;
    for word in &words {
        let found = meaning(word);
        unknown |= found.is_empty() && !SMALL.contains(word);
        for avoids in found {
            if !named.avoids.contains(&avoids) {
                named.avoids.push(avoids);
            }
        }
    }
    named.understood = !(unknown && named.avoids.is_empty());
    named
}

fn meaning(word: &str) -> Vec<Avoids> {
    let one = |allergen| vec![Avoids::Allergen(allergen)];
    match one_of(word) {
        "nut" | "treenut" => vec![Avoids::TreeNuts, Avoids::Allergen(Allergen::Peanut)],
        "peanut" | "groundnut" => one(Allergen::Peanut),
        "gluten" | "coeliac" | "celiac" => vec![Avoids::Gluten],
        "dairy" | "lactose" | "milk" => one(Allergen::Milk),
        "egg" => one(Allergen::Egg),
        "soy" | "soya" | "soybean" => one(Allergen::Soy),
        "shellfish" => {
            vec![Avoids::Allergen(Allergen::Crustaceans), Avoids::Allergen(Allergen::Molluscs)]
        }
        "crustacean" => one(Allergen::Crustaceans),
        "mollusc" | "mollusk" => one(Allergen::Molluscs),
        "sulphite" | "sulfite" | "sulphur" | "sulfur" => one(Allergen::Sulphites),
        "oat" => Allergen::all()
            .into_iter()
            .filter(|a| a.name() == "oats")
            .map(Avoids::Allergen)
            .collect(),
        "vegan" => {
            let animal = [Allergen::Milk, Allergen::Egg, Allergen::Fish].map(Avoids::Allergen);
            let named = ["gelatin", "honey"].map(|name| Avoids::Ingredient(name.to_owned()));
            animal.into_iter().chain(named).collect()
        }
        "gelatin" | "gelatine" => vec![Avoids::Ingredient("gelatin".to_owned())],
        _ => {
            let other = stem(word);
            // By an allergen's own name, or as an ingredient that the map has.
            let listed = Allergen::all().into_iter().filter(|allergen| {
                allergen
                    .name()
                    .to_lowercase()
                    .split(' ')
                    .any(|part| stem(part) == other && part != "nut")
            });
            let listed: Vec<Avoids> = listed.map(Avoids::Allergen).collect();
            let known = ingredient(word).is_some()
                || ingredients()
                    .iter()
                    .any(|row| row.name.split([' ', '-']).any(|part| stem(part) == other));
            if listed.is_empty() && known && 3 < other.len() {
                vec![Avoids::Ingredient(other.to_owned())]
            } else {
                listed
            }
        }
    }
}

/// "eggs" as "egg".
fn one_of(word: &str) -> &str {
    word.strip_suffix('s').filter(|rest| 2 < rest.len() && !rest.ends_with('s')).unwrap_or(word)
}

/// "strawberries" and "strawberry" as "strawberr": enough to find it in either form.
fn stem(word: &str) -> &str {
    let short = word.strip_suffix("ies").or_else(|| word.strip_suffix('y'));
    short.filter(|short| 3 < short.len()).unwrap_or_else(|| one_of(word))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::allergen::{Cereal, conflicts};

    fn avoids(text: &str) -> Vec<Avoids> {
        avoided(text).avoids
    }

    #[test]
    fn what_clients_write_is_understood() {
        let peanut = Avoids::Allergen(Allergen::Peanut);
        for (text, expected) in [
            ("One guest: no peanuts", vec![peanut.clone()]),
            ("Nut allergy", vec![Avoids::TreeNuts, peanut.clone()]),
            ("gluten-free!", vec![Avoids::Gluten]),
            ("Coeliac, lactose", vec![Avoids::Gluten, Avoids::Allergen(Allergen::Milk)]),
            (
                "EGGS and soya",
                vec![Avoids::Allergen(Allergen::Egg), Avoids::Allergen(Allergen::Soy)],
            ),
            ("sesame", vec![Avoids::Allergen(Allergen::Sesame)]),
            ("wheat", vec![Avoids::Allergen(Allergen::Gluten(Cereal::Wheat))]),
            ("oats", vec![Avoids::Allergen(Allergen::Gluten(Cereal::Oats))]),
            (
                "celery; mustard",
                vec![Avoids::Allergen(Allergen::Celery), Avoids::Allergen(Allergen::Mustard)],
            ),
            ("coconut", vec![Avoids::Ingredient("coconut".into())]),
        ] {
            assert_eq!(avoids(text), expected, "{text}");
            assert!(avoided(text).understood, "{text}");
        }
        let walnuts = avoids("walnuts");
        assert_eq!(walnuts.len(), 4, "every walnut of either list: {walnuts:?}");
    }

    #[test]
    fn nothing_named_is_nothing_avoided_and_the_rest_is_said() {
        for text in ["", "  ", "none", "No known allergies.", "n/a", "nothing that we know of", "-"]
        {
            assert_eq!(avoided(text), Named { avoids: Vec::new(), understood: true }, "{text}");
        }
        for text in ["E102", "keine Erdnüsse", "ask Ida", "low sugar please"] {
            let named = avoided(text);
            assert!(!named.understood || !named.avoids.is_empty(), "{text}");
        }
        assert!(!avoided("keine Erdnüsse").understood);
    }

    #[test]
    fn an_ingredient_named_in_the_plural_is_found_in_the_map() {
        let found = conflicts(&avoids("strawberries"), ["strawberry powder", "flour"]);
        let names: Vec<&str> =
            found.clashes.iter().map(|clash| clash.ingredient.as_str()).collect();
        let known = ingredients().iter().any(|row| row.name.contains("strawberr"));
        assert_eq!(!names.is_empty(), known);
    }
}
