//! The tables of limits: what is made, what a bakery sells, what is bought.
//!
//! A date mark counts the day of making as the first of seven, so that a thing made at any hour may
//! rest six whole days: 6 × 1440 minutes.

mod bakery;
mod bought;
mod made;
mod rows;

use crate::kitchen::Place;

use super::limit::{Avoid, KeepingLimit};

/// Every limit of every table.
pub fn limits() -> impl Iterator<Item = &'static KeepingLimit> {
    made::LIMITS.iter().chain(bakery::LIMITS).chain(bought::LIMITS)
}

/// Every place that a product should not rest in.
pub fn avoided() -> impl Iterator<Item = &'static Avoid> {
    made::AVOID.iter().chain(bakery::AVOID).chain(bought::AVOID)
}

/// All limits of a product in a place; empty when nothing is known.
pub fn limits_of(product: &str, place: Place) -> Vec<&'static KeepingLimit> {
    limits().filter(|limit| limit.product == product && limit.place == place).collect()
}

/// Why a product should not rest in a place; None when nothing speaks against it.
pub fn avoid(product: &str, place: Place) -> Option<&'static Avoid> {
    avoided().find(|avoid| avoid.product == product && avoid.place == place)
}
