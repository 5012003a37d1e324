//! Containers to start from.
//!
//! Sizes as sold to home bakers, named in inches (1 in = 25.4 mm, rounded to whole mm): common practice,
//! no published source. Walls are of folded carton and of plastic with its rim.

use super::{Boxes, Container, Purpose};

/// Name, purpose, inside in mm, wall in mm, pile.
type Row = (&'static str, Purpose, [u16; 3], u8, u8);

const USUAL: [Row; 25] = [
    ("6 in board", Purpose::Board, [152, 152, 12], 0, 1),
    ("8 in board", Purpose::Board, [203, 203, 12], 0, 1),
    ("10 in board", Purpose::Board, [254, 254, 12], 0, 1),
    ("12 in board", Purpose::Board, [305, 305, 12], 0, 1),
    ("14 in board", Purpose::Board, [356, 356, 12], 0, 1),
    ("6 × 6 × 6 in box", Purpose::CakeBox, [152, 152, 152], 3, 1),
    ("8 × 8 × 5 in box", Purpose::CakeBox, [203, 203, 127], 3, 1),
    ("8 × 8 × 10 in box", Purpose::CakeBox, [203, 203, 254], 3, 1),
    ("10 × 10 × 5 in box", Purpose::CakeBox, [254, 254, 127], 3, 1),
    ("10 × 10 × 10 in box", Purpose::CakeBox, [254, 254, 254], 3, 1),
    ("12 × 12 × 6 in box", Purpose::CakeBox, [305, 305, 152], 3, 1),
    ("12 × 12 × 12 in box", Purpose::CakeBox, [305, 305, 305], 3, 1),
    ("14 × 14 × 12 in box", Purpose::CakeBox, [356, 356, 305], 3, 1),
    ("10 × 7 × 2½ in box", Purpose::PieceBox, [254, 178, 64], 2, 5),
    ("12 × 9 × 2½ in box", Purpose::PieceBox, [305, 229, 64], 2, 4),
    ("9 × 6 × 4 in box", Purpose::PieceBox, [229, 152, 102], 2, 2),
    ("12 × 9 × 4 in box", Purpose::PieceBox, [305, 229, 102], 2, 2),
    ("10 × 8 × 6½ in box", Purpose::PieceBox, [254, 203, 165], 2, 2),
    ("10 × 10 × 5 in tin", Purpose::Tin, [254, 254, 127], 2, 3),
    ("½ litre tub", Purpose::Tub, [120, 90, 50], 5, 4),
    ("1 litre tub", Purpose::Tub, [150, 110, 66], 5, 3),
    ("2 litre tub", Purpose::Tub, [190, 140, 80], 5, 3),
    ("4 litre tub", Purpose::Tub, [230, 170, 108], 5, 2),
    ("9 in piping bag", Purpose::Bag, [140, 229, 35], 0, 3),
    ("12 in piping bag", Purpose::Bag, [170, 305, 40], 0, 3),
];

impl Boxes {
    /// What a home baker usually has: nothing measured, pieces in rows.
    pub fn usual() -> Self {
        let container = |(name, purpose, [width, depth, height], wall, pile): Row| Container {
            name: name.to_owned(),
            purpose,
            width,
            depth,
            height,
            wall,
            pile,
        };
        Self {
            containers: USUAL.into_iter().map(container).collect(),
            measured: Vec::new(),
            by_drawing: false,
        }
    }
}
