//! Time adds up: minutes out of the fridge, minutes thawed, minutes frozen, and which limits they pass.
//!
//! Two hours out are two hours in all, however often a thing goes back. Frozen time does not count
//! against the days in the fridge (FDA Food Code 3-501.17 as in Minnesota Rules 4626.0400); time at
//! room temperature does.

use crate::kitchen::Place;
use crate::plan::arrange::Arrange;

use super::limit::{KeepingLimit, LimitKind};
use super::together::{is_room, limits_at};

/// One stretch of resting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stayed {
    /// Where.
    pub place: Place,
    /// Minutes.
    pub minutes: u32,
}

/// Minutes by temperature, added up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Spent {
    /// At room temperature.
    pub room: u32,
    /// In the fridge.
    pub fridge: u32,
    /// In the freezer.
    pub frozen: u32,
}

impl Spent {
    /// All minutes that were not frozen.
    pub fn thawed(self) -> u32 {
        self.room.saturating_add(self.fridge)
    }

    /// The minutes that count against a limit.
    fn against(self, limit: &KeepingLimit) -> u32 {
        match (limit.kind, limit.place) {
            (_, place) if is_room(place) => self.room,
            (LimitKind::Safety, Place::Fridge) => self.thawed(),
            (LimitKind::Quality, Place::Fridge) => self.fridge,
            _ => self.frozen,
        }
    }
}

/// Adds stretches up.
pub fn spent(stays: &[Stayed]) -> Spent {
    let mut spent = Spent::default();
    for stay in stays {
        let minutes = match stay.place {
            Place::Fridge => &mut spent.fridge,
            Place::Freezer => &mut spent.frozen,
            Place::Counter | Place::RoomShelf | Place::Rack => &mut spent.room,
        };
        *minutes = minutes.saturating_add(stay.minutes);
    }
    spent
}

/// A limit that was passed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Passed {
    /// Which.
    pub limit: &'static KeepingLimit,
    /// Minutes that count against it, more than it allows.
    pub minutes: u32,
}

/// The limits of the parts that these stretches pass, safety before quality. What a part has no limit
/// for is not judged: see [`super::Together::unknown`].
pub fn passed(parts: &[&str], stays: &[Stayed]) -> Vec<Passed> {
    let spent = spent(stays);
    let places = [Place::Counter, Place::Fridge, Place::Freezer];
    let mut passed: Vec<Passed> = Vec::new();
    for (part, place) in parts.iter().flat_map(|part| places.map(|place| (part, place))) {
        for limit in limits_at(part, place) {
            let minutes = spent.against(limit);
            let known = passed.iter().any(|other| other.limit == limit);
            if limit.minutes < minutes && !known {
                passed.push(Passed { limit, minutes });
            }
        }
    }
    passed.arrange_by_key(|passed| passed.limit.kind == LimitKind::Quality);
    passed
}
