//! What a product takes up while it rests, in the words of a card: which container, for how many of
//! what size. The sizes follow from geometry and from the containers in the kitchen.

use serde::{Deserialize, Serialize};

/// One kind of thing that stands somewhere. How many there are is a count by its id.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Thing {
    /// Stable id within the card, usable wherever a count is, for example `boxes`. Her own measures are
    /// filed under it.
    pub id: String,
    /// One of them, for example "box of cookies".
    pub what: String,
    /// What it is.
    #[serde(flatten)]
    pub shape: Shape,
}

/// What a thing is. Names are those of counts or options; lengths are mm.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "is", deny_unknown_fields)]
pub enum Shape {
    /// A cake on its board, open.
    BoardCake {
        /// Count of cakes.
        of: String,
        /// Its diameter.
        across: String,
        /// Its height.
        tall: String,
    },
    /// A cake on its board, in a box.
    BoxedCake {
        /// Count of cakes.
        of: String,
        /// Its diameter.
        across: String,
        /// Its height.
        tall: String,
    },
    /// Something flat in a wrapping.
    Wrapped {
        /// Count of them.
        of: String,
        /// Diameter.
        across: String,
        /// Height of one, mm.
        thick: u16,
        /// What the wrapping adds on each side, mm.
        wrap: u16,
        /// How many may lie on each other.
        pile: u8,
    },
    /// Round pieces on trays of the kitchen's first rack.
    Trays {
        /// Count of pieces.
        of: String,
        /// Diameter.
        across: String,
        /// Gap between two, mm.
        gap: u16,
        /// Bare edge of the tray, mm.
        #[serde(default)]
        edge: u16,
        /// Height of a loaded tray, mm.
        height: u16,
    },
    /// Round pieces in boxes.
    Boxed {
        /// Count of pieces.
        of: String,
        /// Diameter.
        across: String,
        /// Height that one needs, paper between layers included, mm.
        thick: u16,
        /// Gap between two, mm.
        #[serde(default)]
        gap: u16,
        /// Most layers on each other; 1 when missing.
        #[serde(default = "one_layer")]
        layers: u8,
        /// Most pieces in one box; as many as fit when missing.
        #[serde(default)]
        most: Option<u16>,
        /// Each in the cell of an insert.
        #[serde(default)]
        cells: bool,
    },
    /// Round pieces in tins.
    Tins {
        /// Count of pieces.
        of: String,
        /// Diameter.
        across: String,
        /// Height that one needs, paper between layers included, mm.
        thick: u16,
        /// Gap between two, mm.
        #[serde(default)]
        gap: u16,
        /// Most layers on each other.
        layers: u8,
    },
    /// Something soft in tubs.
    Tubs {
        /// Count of grams.
        grams: String,
        /// Grams in a litre, for example 900.
        density: u16,
        /// How deep it may lie, mm, for what must cool fast; as deep as the tub is when missing.
        #[serde(default)]
        deepest: Option<u16>,
    },
    /// Something soft in piping bags, lying.
    Bags {
        /// Count of grams.
        grams: String,
        /// Grams in a litre, for example 1320.
        density: u16,
    },
}

fn one_layer() -> u8 {
    1
}

impl Shape {
    /// Every count or option that it names, with the field that names it.
    pub fn names(&self) -> Vec<(&'static str, &String)> {
        match self {
            Self::BoardCake { of, across, tall } | Self::BoxedCake { of, across, tall } => {
                vec![("of", of), ("across", across), ("tall", tall)]
            }
            Self::Wrapped { of, across, .. }
            | Self::Trays { of, across, .. }
            | Self::Boxed { of, across, .. }
            | Self::Tins { of, across, .. } => vec![("of", of), ("across", across)],
            Self::Tubs { grams, .. } | Self::Bags { grams, .. } => vec![("grams", grams)],
        }
    }

    /// Numbers that must be at least 1, with their field and a valid example.
    pub(super) fn least_one(&self) -> Vec<(&'static str, u16, u16)> {
        match *self {
            Self::BoardCake { .. } | Self::BoxedCake { .. } => Vec::new(),
            Self::Wrapped { thick, pile, .. } => {
                vec![("thick", thick, 45), ("pile", u16::from(pile), 6)]
            }
            Self::Trays { height, .. } => vec![("height", height, 40)],
            Self::Boxed { thick, layers, most, .. } => vec![
                ("thick", thick, 30),
                ("layers", u16::from(layers), 1),
                ("most", most.unwrap_or(1), 12),
            ],
            Self::Tins { thick, layers, .. } => {
                vec![("thick", thick, 15), ("layers", u16::from(layers), 6)]
            }
            Self::Tubs { density, deepest, .. } => {
                vec![("density", density, 900), ("deepest", deepest.unwrap_or(1), 50)]
            }
            Self::Bags { density, .. } => vec![("density", density, 1320)],
        }
    }
}
