//! Method cards: how one product is made, as data.
//!
//! A card is a file that a baker could read. It is validated when it is loaded, so that everything
//! behind this room may trust it. Knows nothing of orders, kitchens as measured, or dates.

mod model;
mod validate;

pub use model::*;
