//! The kitchen: shelves, racks, counter, oven and mixer, in millimetres.
//!
//! In: what the baker measured, what the household keeps of it and what it clears for a while. Out: capacities
//! of places, what a set of boxes takes of them, and what a set of stays takes over time. Knows nothing of
//! orders.

pub mod boxes;
mod capacity;
mod clearing;
mod model;
mod occupancy;
mod over_time;
pub mod packing;
mod presets;
mod shelf;
pub mod stow;
mod validate;
mod warmth;

pub use boxes::Boxes;
pub use capacity::{DoesNotFit, HeightClass, PlaceCapacity};
pub use clearing::{Cleared, Clearing};
pub use model::{Counter, FootBox, Kitchen, Oven, Place, Rack};
pub use occupancy::{DayPeak, Occupancy, OccupancyStep, Stay, use_over_time};
pub use over_time::KitchenOverTime;
pub use presets::{PRESET_NOTE, Preset, presets};
pub use shelf::{Free, Household, Shelf, ShelfKind};
pub use validate::{HOW_TO_MEASURE, how_to_measure};
pub use warmth::{MeasuredWait, Warmth};
