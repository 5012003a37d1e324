//! The kitchen as measured.

use serde::{Deserialize, Serialize};

use super::boxes::Boxes;
use super::{Clearing, Shelf, Warmth};

/// Where a product can rest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Place {
    /// The family fridge.
    Fridge,
    /// The freezer.
    Freezer,
    /// Drying trays on rack levels.
    Rack,
    /// The counter, outside the work zone.
    Counter,
    /// A shelf in the room, dry and cool.
    RoomShelf,
}

impl Place {
    /// All five, the coldest and scarcest first.
    pub const ALL: [Self; 5] =
        [Self::Fridge, Self::Freezer, Self::Rack, Self::Counter, Self::RoomShelf];

    /// As it reads in a sentence, for example "room shelf".
    pub fn name(self) -> &'static str {
        match self {
            Self::Fridge => "fridge",
            Self::Freezer => "freezer",
            Self::Rack => "rack",
            Self::Counter => "counter",
            Self::RoomShelf => "room shelf",
        }
    }

    /// As records and resources have it, for example `room-shelf`.
    pub fn id(self) -> &'static str {
        match self {
            Self::Fridge => "fridge",
            Self::Freezer => "freezer",
            Self::Rack => "rack",
            Self::Counter => "counter",
            Self::RoomShelf => "room-shelf",
        }
    }
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name())
    }
}

/// A stack of levels for trays.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Rack {
    /// What she calls it.
    pub name: String,
    /// How many trays it takes, 1 to 40.
    pub levels: u8,
    /// Tray, left to right, mm.
    pub tray_width: u16,
    /// Tray, front to back, mm.
    pub tray_depth: u16,
}

/// The counter: one area shared by work and by what stands on it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Counter {
    /// Left to right, mm.
    pub width: u16,
    /// Front to back, mm.
    pub depth: u16,
    /// Width kept clear for work while somebody works, mm.
    pub work_zone: u16,
}

/// The oven.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Oven {
    /// Levels that bake evenly at once, 1 to 4.
    pub decks: u8,
    /// Trays that fit one level, 1 to 4.
    pub trays_per_deck: u8,
}

/// Everything that holds something or bakes or mixes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Kitchen {
    /// Fridge shelves.
    pub fridge: Vec<Shelf>,
    /// Freezer shelves or drawers.
    pub freezer: Vec<Shelf>,
    /// Drying racks.
    pub racks: Vec<Rack>,
    /// The counter.
    pub counter: Counter,
    /// Shelves at room temperature for boxed goods.
    pub room: Vec<Shelf>,
    /// The oven.
    pub oven: Oven,
    /// Mixers or mixing bowls that can run at once, 1 to 4.
    pub mixers: u8,
    /// Room that the household clears for a while, in the order in which it was entered.
    pub clearings: Vec<Clearing>,
    /// Containers, and what she measured herself.
    pub boxes: Boxes,
    /// How warm it is, and what she timed herself.
    pub warmth: Warmth,
}

/// Equal boxes that a product takes up while it rests. Turnable on the spot, never tipped.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FootBox {
    /// What it is, for example "tray of cookies", "cake on its board".
    pub kind: String,
    /// mm.
    pub width: u16,
    /// mm.
    pub depth: u16,
    /// mm.
    pub height: u16,
    /// How many of them.
    pub count: u16,
    /// How many may stand on each other; 1 means nothing on top.
    pub pile: u8,
}

impl Rack {
    /// Whether something with this base stands on a tray, turned or not.
    pub fn takes(&self, width: u16, depth: u16) -> bool {
        stands_on(width, depth, u32::from(self.tray_width), u32::from(self.tray_depth))
    }

    /// Whether the trays of both racks can be exchanged.
    pub fn same_trays(&self, other: &Self) -> bool {
        self.takes(other.tray_width, other.tray_depth)
            && other.takes(self.tray_width, self.tray_depth)
    }
}

impl Kitchen {
    /// The shelves of a place; none for racks and the counter, which have none.
    pub fn shelves(&self, place: Place) -> &[Shelf] {
        match place {
            Place::Fridge => &self.fridge,
            Place::Freezer => &self.freezer,
            Place::RoomShelf => &self.room,
            Place::Rack | Place::Counter => &[],
        }
    }

    /// The same, to be changed; none for racks and the counter.
    pub fn shelves_mut(&mut self, place: Place) -> Option<&mut Vec<Shelf>> {
        match place {
            Place::Fridge => Some(&mut self.fridge),
            Place::Freezer => Some(&mut self.freezer),
            Place::RoomShelf => Some(&mut self.room),
            Place::Rack | Place::Counter => None,
        }
    }

    /// Trays that bake at once.
    pub fn oven_trays(&self) -> u32 {
        u32::from(self.oven.decks) * u32::from(self.oven.trays_per_deck)
    }

    /// Width and depth in mm of the tray that cards count in: the first rack's.
    pub fn tray(&self) -> Option<(u16, u16)> {
        self.racks.first().map(|rack| (rack.tray_width, rack.tray_depth))
    }
}

/// Whether a base stands on a surface, turned by 0 or 90 degrees. All in mm.
pub(super) fn stands_on(width: u16, depth: u16, surface_width: u32, surface_depth: u32) -> bool {
    let (width, depth) = (u32::from(width), u32::from(depth));
    (width <= surface_width && depth <= surface_depth)
        || (depth <= surface_width && width <= surface_depth)
}
