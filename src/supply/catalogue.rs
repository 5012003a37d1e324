//! The goods that cards name.

use std::fmt;
use std::sync::LazyLock;

use serde::Deserialize;

/// What a good is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Eaten; counted in grams of what is eaten (an egg without its shell).
    Ingredient,
    /// Not eaten; counted in pieces.
    Packaging,
}

impl Kind {
    /// An id of the catalogue, for advice.
    pub fn example(self) -> &'static str {
        match self {
            Self::Ingredient => "flour",
            Self::Packaging => "treat-box",
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Ingredient => "ingredient",
            Self::Packaging => "packaging",
        })
    }
}

/// One good.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Good {
    /// Stable id, for example `powdered-sugar`.
    pub id: String,
    /// Its name; for an ingredient the name in the allergen map.
    pub name: String,
    /// What it is for.
    #[serde(default = "ingredient")]
    pub kind: Kind,
    /// Grams that fill a litre as it is spooned into a cup; none: it is not measured by volume.
    #[serde(default)]
    pub litre: Option<u32>,
    /// Grams of one piece, for what is counted in a kitchen (a large egg without its shell); none: it is weighed.
    #[serde(default)]
    pub piece: Option<u32>,
    /// Packages that it is usually sold in, grams or pieces, smallest first (common practice, no published source).
    #[serde(default)]
    pub packs: Vec<u32>,
}

fn ingredient() -> Kind {
    Kind::Ingredient
}

static CATALOGUE: LazyLock<Vec<Good>> = LazyLock::new(|| {
    // The tests hold the file to this form.
    serde_json::from_str(include_str!("catalogue.json")).unwrap_or_default()
});

/// Every good, ingredients first.
pub fn catalogue() -> &'static [Good] {
    &CATALOGUE
}

/// The good of that id.
pub fn good(id: &str) -> Option<&'static Good> {
    catalogue().iter().find(|good| good.id == id)
}
