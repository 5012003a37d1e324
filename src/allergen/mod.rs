//! Allergens: what the lists name, what an ingredient brings, what a label says, what a client must not get.
//!
//! In: the ingredients of an order by name, and what a client avoids. Out: the allergens with the ingredient
//! that brings each, the line for the label by a region's list, and every clash. What an ingredient
//! brings is a starter map and a judgement ([`BASIS`]); what is not in it is said and never passed over.
//! Wherever these show, [`CAUTION`] stands beside them. Knows no cards and no orders.

mod conflict;
mod contains;
mod ingredients;
mod lists;

pub use conflict::{Avoids, Clash, Conflicts, Sureness, conflicts};
pub use contains::{Content, contains_line, content};
pub use ingredients::{BASIS, Ingredient, ingredient, ingredients};
pub use lists::{Allergen, Cereal, List, Nut};

/// Said wherever allergens show.
pub const CAUTION: &str = "Allergens follow from what is named here. Check the label of everything you \
bought, every time: it decides, and so do your local rules. A kitchen that uses an allergen cannot promise \
that no trace of it is in other things.";
