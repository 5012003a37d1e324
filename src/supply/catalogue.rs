//! The goods that cards name.

use std::fmt;
use std::sync::LazyLock;

use serde::Deserialize;

use crate::keeping::limits;
use crate::kitchen::Place;
use crate::plan::json;

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

/// Where goods stand together in a shop; sorted as a list is walked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Group {
    /// Flour, sugar and what else is dry.
    Dry,
    /// What a fridge keeps.
    Chilled,
    /// Fresh and prepared.
    Fruit,
    /// Chocolate, cocoa and coatings.
    Chocolate,
    /// Vanilla and colours.
    Flavour,
    /// What is put on as it is.
    Decoration,
    /// Baked by others.
    Ready,
    /// What a bench uses up.
    Bench,
    /// Boxes, bags, boards, sticks.
    Packing,
    /// From the tap: never bought.
    Tap,
}

impl Group {
    /// On screen.
    pub fn name(self) -> &'static str {
        match self {
            Self::Dry => "Flour, sugar and dry goods",
            Self::Chilled => "From the cold shelf",
            Self::Fruit => "Fruit",
            Self::Chocolate => "Chocolate",
            Self::Flavour => "Flavour and colour",
            Self::Decoration => "To decorate with",
            Self::Ready => "Ready-baked",
            Self::Bench => "For the bench",
            Self::Packing => "Boxes, bags and boards",
            Self::Tap => "Water",
        }
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
    /// Where it stands in a shop.
    pub group: Group,
    /// Its name in the keeping tables ([`crate::keeping::limits`]) as it is bought, where they have it.
    #[serde(default)]
    pub keeps: Option<String>,
}

impl Good {
    /// What it is counted in where amounts are typed, and thousandths of a gram or piece in one of those.
    pub fn unit(&self) -> (&'static str, u64) {
        match (self.kind, self.piece) {
            (Kind::Packaging, _) => ("pieces", 1000),
            (Kind::Ingredient, Some(piece)) if self.litre.is_none() => {
                ("pieces", u64::from(piece.max(1)) * 1000)
            }
            (Kind::Ingredient, _) => ("g", 1000),
        }
    }

    /// How long it keeps as it is bought, where it keeps longest short of the freezer: days, and where that is from.
    pub fn keeps_days(&self) -> Option<(u32, &'static str)> {
        let name = self.keeps.as_deref()?;
        let own: Vec<_> = limits().filter(|limit| limit.product == name).collect();
        let in_place = |place: Place| {
            let here = own.iter().filter(|limit| limit.place == place);
            here.min_by_key(|limit| limit.minutes)
        };
        let longest = [Place::RoomShelf, Place::Fridge].into_iter().filter_map(in_place);
        let longest = longest.max_by_key(|limit| limit.minutes)?;
        Some((longest.minutes / 1440, longest.source))
    }
}

fn ingredient() -> Kind {
    Kind::Ingredient
}

static CATALOGUE: LazyLock<Vec<Good>> = LazyLock::new(|| {
    // The tests hold the file to this form.
    json::read(include_str!("catalogue.json")).unwrap_or_default()
});

/// Every good, ingredients first.
pub fn catalogue() -> &'static [Good] {
    &CATALOGUE
}

/// The good of that id.
pub fn good(id: &str) -> Option<&'static Good> {
    catalogue().iter().find(|good| good.id == id)
}
