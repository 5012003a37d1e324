//! Orders: what a client wants, how many, for which handover, with pictures of it, and where the order stands.
//!
//! In: what the baker types. Out: orders that are whole, with their stage, mark and refusals by field.
//! Knows cards only by name, so option values are the card room's to check. Money and quotes are
//! another room.

mod model;
mod picture;
mod stage;
mod validate;

pub use model::{Handover, HandoverWay, Item, ItemId, Order, OrderId};
pub use picture::{PICTURES_MAX, Picture, PictureFile, PictureId};
pub use stage::Stage;
pub(crate) use validate::ORDER_NUMBER_MAX;

#[cfg(test)]
pub(crate) use model::tests;
