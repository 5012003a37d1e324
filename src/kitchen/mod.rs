//! The kitchen: shelves, racks, counter, oven and mixer, in millimetres.
//!
//! In: what the baker measured. Out: capacities of places, and what a set of boxes takes of them.
//! Knows nothing of orders or of time.

mod capacity;
mod model;
mod presets;

pub use capacity::{HeightClass, PlaceCapacity};
pub use model::{Counter, FootBox, Kitchen, Oven, Place, Rack, Shelf};
pub use presets::{Preset, presets};
