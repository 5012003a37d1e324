//! How long something cools, chills or thaws, in the words of a card: what it is, how large, from which
//! temperature, in which air. The minutes follow from its size and the kitchen's climate.

use serde::{Deserialize, Serialize};

use super::Size;
use crate::heat::{Air, Cover, Stuff};

/// A wait whose length follows from the size of what waits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Heat {
    /// What it is made of.
    pub stuff: Stuff,
    /// Its form, with one piece's lengths in mm.
    pub form: Form,
    /// Where it stands.
    pub air: Air,
    /// What is around it.
    #[serde(default)]
    pub cover: Cover,
    /// Whether its bottom stands on something that lets no heat through.
    #[serde(default)]
    pub on_board: bool,
    /// Whole °C at the start, −30 to 130: how it comes from the oven, the room or the freezer.
    pub from: i16,
    /// Ready when it is so many °C from the air around it, 1 to 40. A difference, because an air that is
    /// as warm as the goal would never let it get there.
    pub within: u8,
    /// Measured so many mm below the surface; in the middle when missing.
    #[serde(default)]
    pub below: Option<u16>,
}

/// The form of one piece.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "is", deny_unknown_fields)]
pub enum Form {
    /// A layer, a cake, a disc of dough.
    Round {
        /// Diameter.
        across: Size,
        /// Height.
        tall: Size,
    },
    /// A block or sheet.
    Block {
        /// Left to right.
        width: Size,
        /// Front to back.
        depth: Size,
        /// Height.
        tall: Size,
    },
    /// A ball.
    Ball {
        /// Diameter.
        across: Size,
    },
    /// Something much wider than deep: a filling in a dish, cream in a tub.
    Spread {
        /// How deep.
        tall: Size,
    },
}

impl Form {
    /// Its lengths, with the field of each.
    pub fn sizes(&self) -> Vec<(&'static str, &Size)> {
        match self {
            Self::Round { across, tall } => vec![("across", across), ("tall", tall)],
            Self::Block { width, depth, tall } => {
                vec![("width", width), ("depth", depth), ("tall", tall)]
            }
            Self::Ball { across } => vec![("across", across)],
            Self::Spread { tall } => vec![("tall", tall)],
        }
    }
}

impl Heat {
    /// Numbers out of their range, with their field, and what is right.
    pub(super) fn wrong(&self) -> Option<(&'static str, &'static str)> {
        if !(-30..=130).contains(&self.from) {
            return Some(("from", "is −30 to 130 °C, such as 96 for a cake from the oven"));
        }
        if !(1..=40).contains(&self.within) {
            return Some(("within", "is 1 to 40 °C, such as 8"));
        }
        (self.below == Some(0)).then_some(("below", "is 1 mm or more, such as 5"))
    }
}
