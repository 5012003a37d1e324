//! What things take up: boxes, trays, tubs and bags, from the size of what goes into them.
//!
//! In: the containers that there are, her own measures, and loads as plain lengths and grams. Out: what
//! stands there, with the reason in a sentence; counts of round pieces on trays and in boxes, and
//! layouts that are proved by their coordinates. Knows nothing of cards and orders.

mod model;
mod rounds;
mod search;
mod takes;
mod usual;
mod validate;

pub use model::{Boxes, Container, Measured, Purpose};
pub use rounds::{Laid, Layout, PARTS, Sheet};
pub use takes::{Load, TakesUp};
