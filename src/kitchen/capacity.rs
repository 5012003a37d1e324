//! Areas and height classes of places, and what boxes take of them.
//!
//! A place is a set of shelves with different clear heights. A box needs a shelf at least as high as
//! itself, so for each clear height there is one class: the area of all shelves at least that high.
//! A set of boxes can only fit if every class holds what needs it. That is necessary, not sufficient;
//! exact packing answers the rest.

use serde::{Deserialize, Serialize};

use super::Place;

/// One class of a place: shelves whose clear height is at least `height`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct HeightClass {
    /// Clear height in mm; 0 for places without heights (rack, counter).
    pub height: u16,
    /// What the baker may use: cm² of area, or levels for a rack.
    pub capacity: u32,
}

/// What a place can hold: its height classes from the lowest, each containing the next.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlaceCapacity {
    /// Which place.
    pub place: Place,
    /// From all shelves down to the tallest only. Empty when the place does not exist.
    pub classes: Vec<HeightClass>,
}
