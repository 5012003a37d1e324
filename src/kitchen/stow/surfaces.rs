//! What boxes stand on, as it is drawn.

use crate::kitchen::{Kitchen, Place};

/// A shelf, a level of a rack, or the counter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Surface {
    /// What she calls it; a level of a rack by the rack's name and its number from below, from 1.
    pub name: String,
    /// Left to right, mm.
    pub width: u32,
    /// Front to back, mm.
    pub depth: u32,
    /// Clear height in mm; 0: open above (the counter), or not measured (a rack's levels).
    pub height: u32,
    /// What boxes may take of it, at its front left corner: width, depth and height as above; none: nothing.
    pub free: Option<(u32, u32, u32)>,
    /// What is not for baking: nothing, one rectangle, or two that make up the rest around the free one.
    pub kept: Vec<Kept>,
}

/// A part of a surface on which no box stands. In mm from the left and the front edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Kept {
    /// For what.
    pub what: KeptFor,
    /// Left edge.
    pub x: u32,
    /// Front edge.
    pub y: u32,
    /// Left to right.
    pub width: u32,
    /// Front to back.
    pub depth: u32,
}

/// For what a part of a surface is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KeptFor {
    /// The family's food.
    Household,
    /// Room to work.
    Work,
}

impl Surface {
    fn new(name: String, size: (u32, u32, u32), free: (u32, u32, u32), what: KeptFor) -> Self {
        let (width, depth, height) = size;
        let (across, along, _) = free;
        let beside = Kept { what, x: across, y: 0, width: width.saturating_sub(across), depth };
        let behind =
            Kept { what, x: 0, y: along, width: across, depth: depth.saturating_sub(along) };
        let kept = [beside, behind].into_iter().filter(|kept| kept.width > 0 && kept.depth > 0);
        let kept = kept.collect();
        Self { name, width, depth, height, free: (across > 0 && along > 0).then_some(free), kept }
    }
}

/// All shelves, levels of racks, or the counter of a place, in the kitchen's order; those that are all the
/// household's too. The household's clearings do not count: ask of the kitchen [as it is then](Kitchen::during).
pub fn surfaces(kitchen: &Kitchen, place: Place) -> Vec<Surface> {
    match place {
        Place::Rack => kitchen
            .racks
            .iter()
            .flat_map(|rack| {
                (1..=rack.levels).map(|level| {
                    let size = (u32::from(rack.tray_width), u32::from(rack.tray_depth), 0);
                    let name = format!("{}, level {level}", rack.name);
                    Surface::new(name, size, size, KeptFor::Household)
                })
            })
            .collect(),
        Place::Counter => {
            let counter = &kitchen.counter;
            let (width, depth) = (u32::from(counter.width), u32::from(counter.depth));
            let free = width.saturating_sub(u32::from(counter.work_zone));
            let name = place.name().to_owned();
            vec![Surface::new(name, (width, depth, 0), (free, depth, 0), KeptFor::Work)]
        }
        Place::Fridge | Place::Freezer | Place::RoomShelf => kitchen
            .shelves(place)
            .iter()
            .map(|shelf| {
                let whole = shelf.whole();
                let size = (whole.width, whole.depth, whole.height);
                let free = shelf
                    .free()
                    .map_or((0, size.1, size.2), |free| (free.width, free.depth, free.height));
                Surface::new(shelf.name.clone(), size, free, KeptFor::Household)
            })
            .collect(),
    }
}
