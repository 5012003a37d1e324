//! The kitchen: shelves, racks, counter, oven and mixer, in millimetres.
//!
//! In: what the baker measured. Out: capacities of places, what a set of boxes takes of them, and what
//! a set of stays takes over time. Knows nothing of orders.

pub mod boxes;
mod capacity;
mod model;
mod occupancy;
pub mod packing;
mod presets;
mod validate;

pub use capacity::{DoesNotFit, HeightClass, PlaceCapacity};
pub use model::{Counter, FootBox, Kitchen, Oven, Place, Rack, Shelf};
pub use occupancy::{DayPeak, Occupancy, OccupancyStep, Stay, use_over_time};
pub use presets::{PRESET_NOTE, Preset, presets};
pub use validate::{HOW_TO_MEASURE, how_to_measure};
