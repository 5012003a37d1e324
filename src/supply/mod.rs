//! What is bought: the catalogue of ingredients and packaging.
//!
//! In: the catalogue file. Out: goods by id, with what a litre or a piece weighs and in which packages they are
//! usually sold. Names are those of the allergen map ([`crate::allergen::ingredient`]), so that what is on a
//! card can be looked up there. Knows no cards, no orders and no prices.

mod catalogue;

pub use catalogue::{Good, Kind, catalogue, good};
