//! What things take up: how many round pieces go on a tray or in a box, and where each lies.
//!
//! In: lengths. Out: counts, and layouts that are proved by their coordinates. Knows nothing of cards.

mod rounds;
mod search;

pub use rounds::{Laid, Layout, PARTS, Sheet};
