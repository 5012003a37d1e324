//! Boxes, tubs, bags and boards as listed, and what she measured herself.

use serde::{Deserialize, Serialize};

/// What a container is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Purpose {
    /// Carries a cake. Width and depth of the board, thickness as height; it has no wall.
    Board,
    /// Takes one cake on its board.
    CakeBox,
    /// Takes small pieces side by side, in one layer or more.
    PieceBox,
    /// Keeps small pieces in many layers until they are finished.
    Tin,
    /// Takes what is soft or liquid.
    Tub,
    /// A piping bag, lying: flat width across the top, length, and how thick it may be when filled.
    Bag,
}

impl Purpose {
    /// All, in the order of the list on the screen.
    pub const ALL: [Self; 6] =
        [Self::Board, Self::CakeBox, Self::PieceBox, Self::Tin, Self::Tub, Self::Bag];

    /// As it reads alone, for example "Cake box".
    pub fn name(self) -> &'static str {
        match self {
            Self::Board => "Cake board",
            Self::CakeBox => "Cake box",
            Self::PieceBox => "Box for pieces",
            Self::Tin => "Tin",
            Self::Tub => "Tub",
            Self::Bag => "Piping bag",
        }
    }

    /// As records have it, for example `cake-box`.
    pub fn id(self) -> &'static str {
        match self {
            Self::Board => "board",
            Self::CakeBox => "cake-box",
            Self::PieceBox => "piece-box",
            Self::Tin => "tin",
            Self::Tub => "tub",
            Self::Bag => "bag",
        }
    }
}

/// One kind of container that she owns or would buy. Lengths in mm.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Container {
    /// What she calls it, for example "10 × 10 × 10 in box".
    pub name: String,
    /// What it is for.
    pub purpose: Purpose,
    /// Inside, left to right, 20 to 1000 mm.
    pub width: u16,
    /// Inside, front to back, 20 to 1000 mm.
    pub depth: u16,
    /// Inside, 2 to 1000 mm: a board's thickness, a bag's when it is filled.
    pub height: u16,
    /// Thickness of walls, floor and lid, rim included, 0 to 40 mm: outside it is twice this larger.
    pub wall: u8,
    /// How many stand on each other, 1 to 20; 1 means nothing on top.
    pub pile: u8,
}

impl Container {
    /// Width, depth and height outside, mm.
    pub fn outside(&self) -> (u16, u16, u16) {
        let wall = match self.purpose {
            Purpose::Board | Purpose::Bag => 0,
            _ => 2 * u16::from(self.wall),
        };
        let add = |length: u16| length.saturating_add(wall);
        (add(self.width), add(self.depth), add(self.height))
    }

    /// What it takes up, in mm³, to compare containers by.
    pub(super) fn volume(&self) -> u64 {
        let (width, depth, height) = self.outside();
        u64::from(width) * u64::from(depth) * u64::from(height)
    }
}

/// A thing that she measured herself: her size counts instead of the one that was reckoned.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Measured {
    /// Id of the method card, for example `tall-layer-cake`.
    pub card: String,
    /// Id of the thing on that card, for example `boxed`.
    pub thing: String,
    /// For which size, in the words of [`super::TakesUp::size`].
    pub size: String,
    /// Left to right, mm, as it stands.
    pub width: u16,
    /// Front to back, mm.
    pub depth: u16,
    /// mm.
    pub height: u16,
}

/// What things are put into, and what was measured.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Boxes {
    /// Boards, boxes, tins, tubs and bags.
    pub containers: Vec<Container>,
    /// What she measured herself.
    pub measured: Vec<Measured>,
    /// Lays pieces by a drawing where that saves a tray or a box; otherwise in rows only.
    pub by_drawing: bool,
}

impl Boxes {
    /// Her own size of a thing, if she measured it.
    pub fn measured(&self, card: &str, thing: &str, size: &str) -> Option<&Measured> {
        let same = |m: &&Measured| m.card == card && m.thing == thing && m.size == size;
        self.measured.iter().find(same)
    }

    /// Sets her own size of a thing, or takes it back with None: then the reckoned one counts again.
    pub fn measure(&mut self, card: &str, thing: &str, size: &str, own: Option<(u16, u16, u16)>) {
        self.measured.retain(|m| m.card != card || m.thing != thing || m.size != size);
        if let Some((width, depth, height)) = own {
            self.measured.push(Measured {
                card: card.to_owned(),
                thing: thing.to_owned(),
                size: size.to_owned(),
                width,
                depth,
                height,
            });
        }
    }
}
