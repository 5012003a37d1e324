//! Pictures of orders: taken, chosen or sketched, shrunk, kept on the device, and shown.
//!
//! In: files and strokes. Out: what an order keeps of a picture, and drawings of it. [`album`] keeps what pictures
//! show, apart from the records; [`shrink`] makes a photo small; [`pad`] is a sheet to sketch on; [`photos`] shows them.

mod album;
mod pad;
mod photos;
mod shrink;

#[cfg(test)]
mod tests;

pub(crate) use album::{Album, sweep};
pub(crate) use photos::Photos;
