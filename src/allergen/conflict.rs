//! What a client must not get, held against what goes in.

use super::ingredients::ingredient;
use super::lists::Allergen;
use crate::plan::arrange::Arrange;

/// What a client avoids. It need not be on any list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Avoids {
    /// One allergen.
    Allergen(Allergen),
    /// Every tree nut.
    TreeNuts,
    /// Every cereal with gluten.
    Gluten,
    /// An ingredient by its name, for example "coconut", which is in neither list.
    Ingredient(String),
}

/// How sure a clash is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sureness {
    /// The ingredient brings it.
    Contains,
    /// The ingredient often brings it: its label says.
    CheckLabel,
}

/// An ingredient that a client must not get, or must not get unchecked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clash {
    /// The ingredient.
    pub ingredient: String,
    /// What it brings: an allergen's name, or its own.
    pub what: String,
    /// How sure that is.
    pub sureness: Sureness,
}

/// All clashes, sure ones first.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Conflicts {
    /// Clashes.
    pub clashes: Vec<Clash>,
    /// Ingredients of which the map knows nothing; with any of them, no clash is no all-clear.
    pub unknown: Vec<String>,
}

impl Conflicts {
    /// Whether the map speaks against nothing and knows everything. Labels and traces are still to be checked.
    pub fn none_known(&self) -> bool {
        self.clashes.is_empty() && self.unknown.is_empty()
    }
}

impl Avoids {
    fn is(&self, allergen: Allergen) -> bool {
        match self {
            Self::Allergen(avoided) => *avoided == allergen,
            Self::TreeNuts => matches!(allergen, Allergen::TreeNut(_)),
            Self::Gluten => matches!(allergen, Allergen::Gluten(_)),
            Self::Ingredient(_) => false,
        }
    }
}

/// Holds what a client avoids against the ingredients. A client who avoids an ingredient clashes with
/// every one whose name holds that word.
pub fn conflicts<'a>(avoids: &[Avoids], names: impl IntoIterator<Item = &'a str>) -> Conflicts {
    let mut found = Conflicts::default();
    if avoids.is_empty() {
        return found;
    }
    for name in names.into_iter().map(str::trim).filter(|name| !name.is_empty()) {
        let mut add = |what: &str, sureness| {
            let clash = Clash { ingredient: name.to_owned(), what: what.to_owned(), sureness };
            if !found.clashes.contains(&clash) {
                found.clashes.push(clash);
            }
        };
        for avoided in avoids {
            if let Avoids::Ingredient(word) = avoided {
                let word = word.trim().to_lowercase();
                if !word.is_empty() && name.to_lowercase().contains(&word) {
                    add(&word, Sureness::Contains);
                }
            }
        }
        let Some(row) = ingredient(name) else {
            if !found.unknown.iter().any(|other| other == name) {
                found.unknown.push(name.to_owned());
            }
            continue;
        };
        for (allergens, sureness) in
            [(row.brings, Sureness::Contains), (row.check, Sureness::CheckLabel)]
        {
            for allergen in allergens {
                if avoids.iter().any(|avoided| avoided.is(*allergen)) {
                    add(allergen.name(), sureness);
                }
            }
        }
    }
    found.clashes.arrange_by_key(|clash| clash.sureness);
    found
}
