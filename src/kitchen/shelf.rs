//! A shelf as it is measured, and what the household keeps of it.
//!
//! In: millimetres and the household's share in words. Out: what is left for baking, which is always one
//! box with a corner at the shelf's front left, so that areas, packing and drawings mean the same room.

use serde::{Deserialize, Serialize};

/// What a shelf is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ShelfKind {
    /// A board, with the next one or a ceiling above.
    #[default]
    Shelf,
    /// A drawer, measured inside.
    Drawer,
    /// A rack in the door.
    DoorRack,
}

impl ShelfKind {
    /// All of them, the commonest first.
    pub const ALL: [Self; 3] = [Self::Shelf, Self::Drawer, Self::DoorRack];

    /// As it reads in a sentence, for example "door rack".
    pub fn name(self) -> &'static str {
        match self {
            Self::Shelf => "shelf",
            Self::Drawer => "drawer",
            Self::DoorRack => "door rack",
        }
    }

    /// As records have it, for example `door-rack`.
    pub fn id(self) -> &'static str {
        match self {
            Self::Shelf => "shelf",
            Self::Drawer => "drawer",
            Self::DoorRack => "door-rack",
        }
    }

    /// What the household usually keeps of a new one: bottles and jars stand in the door.
    pub fn usual_household(self) -> Household {
        match self {
            Self::Shelf | Self::Drawer => Household::Nothing,
            Self::DoorRack => Household::Whole,
        }
    }

    /// Width, depth and clear height in mm to begin with. Common practice, no published source; measured
    /// sizes take their place.
    pub fn usual_size(self) -> (u16, u16, u16) {
        match self {
            Self::Shelf => (450, 300, 200),
            Self::Drawer => (400, 300, 170),
            Self::DoorRack => (420, 90, 200),
        }
    }
}

/// What the household keeps of a shelf. The rest is for baking.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "keeps", rename_all = "kebab-case")]
pub enum Household {
    /// Nothing.
    Nothing,
    /// A strip at the right, over the whole depth and height.
    Strip {
        /// mm of the shelf's width, less than all of it.
        width: u16,
    },
    /// The whole shelf.
    Whole,
    /// Everything but a cleared corner at the front left.
    AllBut {
        /// mm of the shelf's width that are clear.
        width: u16,
        /// mm of the shelf's depth that are clear, from the front.
        depth: u16,
        /// mm of the shelf's height that are clear; none: up to the top.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        height: Option<u16>,
    },
}

impl Household {
    /// The strip of a shelf of this width that is so many per cent of it, 0 to 100, rounded so that what is
    /// left for baking is never more. All of it is the whole shelf.
    pub fn of_percent(width: u16, percent: u8) -> Self {
        let kept = (u32::from(width) * u32::from(percent.min(100))).div_ceil(100);
        Self::strip(width, u16::try_from(kept).unwrap_or(u16::MAX))
    }

    /// A strip of a shelf, or what it amounts to: nothing, or the whole shelf.
    pub fn strip(shelf_width: u16, width: u16) -> Self {
        match width {
            0 => Self::Nothing,
            width if width < shelf_width => Self::Strip { width },
            _ => Self::Whole,
        }
    }
}

/// One shelf of a fridge, a freezer or the room. All in mm, clear inside.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Shelf {
    /// What she calls it, for example "top shelf".
    pub name: String,
    /// What it is.
    pub kind: ShelfKind,
    /// Left to right, 50 to 2000 mm.
    pub width: u16,
    /// Front to back, 50 to 1200 mm.
    pub depth: u16,
    /// Clear height, 20 to 2000 mm.
    pub height: u16,
    /// What the household keeps of it.
    pub household: Household,
}

/// What is left of a shelf for baking: a box whose corner is the shelf's front left, in mm. No side is 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Free {
    /// From the left.
    pub width: u32,
    /// From the front.
    pub depth: u32,
    /// From the floor up.
    pub height: u32,
}

impl Free {
    /// Its floor in whole cm², rounded down.
    pub fn area(self) -> u32 {
        self.width.saturating_mul(self.depth) / 100
    }
}

impl Shelf {
    /// What is left for baking; none when the household keeps all of it, or so much that not even a cm² is
    /// left. A share that is larger than the shelf counts as all of it.
    pub fn free(&self) -> Option<Free> {
        let (width, depth, height) = (self.width, self.depth, self.height);
        let (width, depth, height) = match self.household {
            Household::Nothing => (width, depth, height),
            Household::Strip { width: kept } => (width.saturating_sub(kept), depth, height),
            Household::Whole => (0, 0, 0),
            Household::AllBut { width: w, depth: d, height: h } => {
                (width.min(w), depth.min(d), h.map_or(height, |h| height.min(h)))
            }
        };
        let free = Free { width: width.into(), depth: depth.into(), height: height.into() };
        (free.area() > 0 && free.height > 0).then_some(free)
    }

    /// The whole shelf as if nobody kept anything of it.
    pub fn whole(&self) -> Free {
        Free { width: self.width.into(), depth: self.depth.into(), height: self.height.into() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shelf(household: Household) -> Shelf {
        let name = "middle shelf".into();
        Shelf { name, kind: ShelfKind::Shelf, width: 470, depth: 330, height: 220, household }
    }

    fn free(household: Household) -> Option<(u32, u32, u32)> {
        shelf(household).free().map(|free| (free.width, free.depth, free.height))
    }

    #[test]
    fn each_share_leaves_a_box_at_the_front_left() {
        assert_eq!(free(Household::Nothing), Some((470, 330, 220)));
        assert_eq!(free(Household::Strip { width: 170 }), Some((300, 330, 220)));
        assert_eq!(free(Household::Strip { width: 470 }), None);
        assert_eq!(free(Household::Strip { width: 600 }), None, "a damaged share promises nothing");
        assert_eq!(free(Household::Whole), None);
        let corner = |height| Household::AllBut { width: 300, depth: 200, height };
        assert_eq!(free(corner(None)), Some((300, 200, 220)));
        assert_eq!(free(corner(Some(150))), Some((300, 200, 150)));
        let large = Household::AllBut { width: 900, depth: 900, height: Some(900) };
        assert_eq!(free(large), Some((470, 330, 220)), "never more than the shelf");
        assert_eq!(
            free(Household::AllBut { width: 9, depth: 11, height: None }),
            None,
            "under 1 cm²"
        );
        assert_eq!(shelf(corner(None)).free().map(Free::area), Some(600));
    }

    #[test]
    fn a_share_in_per_cent_becomes_a_strip_that_promises_no_more() {
        assert_eq!(Household::of_percent(470, 0), Household::Nothing);
        assert_eq!(Household::of_percent(470, 50), Household::Strip { width: 235 });
        assert_eq!(Household::of_percent(470, 33), Household::Strip { width: 156 }, "155.1 mm");
        assert_eq!(Household::of_percent(470, 100), Household::Whole);
        assert_eq!(Household::of_percent(50, 99), Household::Whole, "49.5 mm are 50");
        for width in 50..=2000_u16 {
            for percent in 0..=100_u8 {
                let household = Household::of_percent(width, percent);
                let shelf = Shelf { width, depth: 100, ..shelf(household) };
                let left = u32::from(width) * u32::from(100 - percent) / 100;
                assert_eq!(shelf.free().map_or(0, |free| free.width), left, "{width} {percent}");
            }
        }
    }

    #[test]
    fn shares_are_written_as_she_would_say_them() {
        let text = |household| serde_json::to_string(&household).expect("has a form");
        assert_eq!(text(Household::Nothing), r#"{"keeps":"nothing"}"#);
        assert_eq!(text(Household::Strip { width: 235 }), r#"{"keeps":"strip","width":235}"#);
        assert_eq!(text(Household::Whole), r#"{"keeps":"whole"}"#);
        let corner = Household::AllBut { width: 300, depth: 200, height: None };
        assert_eq!(text(corner), r#"{"keeps":"all-but","width":300,"depth":200}"#);
        for household in [corner, Household::AllBut { width: 1, depth: 2, height: Some(3) }] {
            assert_eq!(serde_json::from_str::<Household>(&text(household)).ok(), Some(household));
        }
    }
}
