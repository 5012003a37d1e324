//! Kitchens to start from; every number is then measured and edited.
//!
//! The millimetres are common practice, no published source: shelf sizes of household fridges follow
//! no standard. They are there so that a first week can be seen at once; measure yours.

use super::{Boxes, Counter, Household, Kitchen, Oven, Rack, Shelf, ShelfKind, Warmth};

/// A kitchen to start from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Preset {
    /// Stable name.
    pub id: &'static str,
    /// What it is, in a few words.
    pub name: &'static str,
    /// The kitchen.
    pub kitchen: Kitchen,
}

/// What to say beside every preset.
pub const PRESET_NOTE: &str =
    "Sizes as they are common in households; no standard says them, so measure yours";

/// All presets, the commonest first.
pub fn presets() -> Vec<Preset> {
    vec![
        Preset {
            id: "one-drawer-freezer",
            name: "Family kitchen, fridge over a freezer with one drawer to spare",
            kitchen: Kitchen {
                fridge: vec![
                    shelf("top shelf", [470, 330, 180], 235),
                    shelf("second shelf", [470, 330, 220], 329),
                    shelf("third shelf", [470, 330, 260], 235),
                    shelf("above the drawer", [470, 300, 160], 376),
                ],
                freezer: vec![drawer("bottom drawer", [400, 280, 170], 160)],
                racks: vec![rack("drying rack", 8, 450, 330)],
                counter: counter(1800, 600, 800),
                room: vec![shelf("sideboard", [900, 400, 350], 360)],
                oven: Oven { decks: 2, trays_per_deck: 1 },
                mixers: 1,
                clearings: Vec::new(),
                boxes: Boxes::usual(),
                warmth: Warmth::default(),
            },
        },
        Preset {
            id: "small-flat",
            name: "Small flat, low fridge with an ice box",
            kitchen: Kitchen {
                fridge: vec![
                    shelf("top shelf", [430, 280, 160], 258),
                    shelf("middle shelf", [430, 280, 200], 215),
                    shelf("above the drawer", [430, 240, 150], 344),
                ],
                freezer: vec![shelf("ice box", [400, 260, 110], 240)],
                racks: vec![rack("cooling rack", 4, 400, 300)],
                counter: counter(1200, 600, 600),
                room: vec![shelf("hall shelf", [800, 300, 300], 400)],
                oven: Oven { decks: 1, trays_per_deck: 1 },
                mixers: 1,
                clearings: Vec::new(),
                boxes: Boxes::usual(),
                warmth: Warmth::default(),
            },
        },
        Preset {
            id: "big-fridge",
            name: "Big family fridge, freezer beside it",
            kitchen: Kitchen {
                fridge: vec![
                    shelf("top shelf", [560, 380, 200], 280),
                    shelf("second shelf", [560, 380, 280], 280),
                    shelf("third shelf", [560, 380, 220], 392),
                    shelf("fourth shelf", [560, 380, 180], 392),
                    drawer("wide drawer", [540, 330, 140], 432),
                ],
                freezer: vec![
                    shelf("upper shelf", [330, 380, 200], 198),
                    shelf("middle shelf", [330, 380, 220], 231),
                    drawer("drawer", [310, 360, 180], 186),
                ],
                racks: vec![rack("drying rack", 12, 450, 330)],
                counter: counter(2600, 620, 900),
                room: vec![
                    shelf("pantry, lower shelf", [900, 380, 320], 540),
                    shelf("pantry, upper shelf", [900, 380, 280], 630),
                ],
                oven: Oven { decks: 2, trays_per_deck: 1 },
                mixers: 1,
                clearings: Vec::new(),
                boxes: Boxes::usual(),
                warmth: Warmth::default(),
            },
        },
        Preset {
            id: "garage-fridge",
            name: "Family kitchen with a second fridge in the garage",
            kitchen: Kitchen {
                fridge: vec![
                    shelf("kitchen, top shelf", [470, 330, 180], 329),
                    shelf("kitchen, second shelf", [470, 330, 240], 376),
                    shelf("garage, top shelf", [480, 350, 300], 0),
                    shelf("garage, second shelf", [480, 350, 300], 0),
                    shelf("garage, third shelf", [480, 350, 220], 0),
                    shelf("garage, above the drawer", [480, 320, 180], 144),
                ],
                freezer: vec![
                    drawer("top drawer", [400, 300, 180], 200),
                    drawer("middle drawer", [400, 300, 180], 320),
                    shelf("garage, ice box", [420, 280, 120], 84),
                ],
                racks: vec![rack("drying rack", 16, 450, 330)],
                counter: counter(2400, 620, 900),
                room: vec![shelf("garage shelf", [1200, 450, 400], 360)],
                oven: Oven { decks: 2, trays_per_deck: 1 },
                mixers: 2,
                clearings: Vec::new(),
                boxes: Boxes::usual(),
                warmth: Warmth::default(),
            },
        },
        Preset {
            id: "two-ovens",
            name: "Kitchen made over for baking, two ovens and a tall rack",
            kitchen: Kitchen {
                fridge: vec![
                    shelf("top shelf", [520, 420, 320], 52),
                    shelf("second shelf", [520, 420, 260], 52),
                    shelf("third shelf", [520, 420, 260], 208),
                    shelf("fourth shelf", [520, 420, 200], 312),
                ],
                freezer: vec![
                    shelf("top shelf", [460, 400, 250], 92),
                    shelf("second shelf", [460, 400, 220], 92),
                    drawer("drawer", [440, 380, 200], 264),
                ],
                racks: vec![rack("tall rack", 15, 600, 400), rack("drying rack", 8, 450, 330)],
                counter: counter(3200, 700, 1000),
                room: vec![shelf("dry store", [1200, 450, 400], 240)],
                oven: Oven { decks: 4, trays_per_deck: 1 },
                mixers: 2,
                clearings: Vec::new(),
                boxes: Boxes::usual(),
                warmth: Warmth::default(),
            },
        },
    ]
}

/// A shelf of this width, depth and clear height, of which the household keeps a strip so wide.
fn shelf(name: &str, [width, depth, height]: [u16; 3], strip: u16) -> Shelf {
    let household = Household::strip(width, strip);
    Shelf { name: name.to_owned(), kind: ShelfKind::Shelf, width, depth, height, household }
}

fn drawer(name: &str, size: [u16; 3], strip: u16) -> Shelf {
    Shelf { kind: ShelfKind::Drawer, ..shelf(name, size, strip) }
}

fn rack(name: &str, levels: u8, tray_width: u16, tray_depth: u16) -> Rack {
    Rack { name: name.to_owned(), levels, tray_width, tray_depth }
}

fn counter(width: u16, depth: u16, work_zone: u16) -> Counter {
    Counter { width, depth, work_zone }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kitchen::Place;

    #[test]
    fn every_preset_can_be_used_as_it_is() {
        let presets = presets();
        assert!(presets.len() >= 4);
        for preset in &presets {
            assert_eq!(preset.kitchen.validate(), [], "{}", preset.id);
            for place in Place::ALL {
                let capacity = preset.kitchen.capacity(place);
                assert!(!capacity.classes.is_empty(), "{}: {place}", preset.id);
            }
        }
        let ids: std::collections::BTreeSet<_> = presets.iter().map(|preset| preset.id).collect();
        assert_eq!(ids.len(), presets.len(), "ids are unique");
    }
}
