//! What a card uses up: ingredients and packaging of the catalogue, by the step that uses them.

use serde::{Deserialize, Serialize};

use super::{Term, When};

/// An ingredient or a kind of packaging, and how much of it a step uses.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CardSupply {
    /// Its id in the catalogue ([`crate::supply`]), for example `flour`.
    pub of: String,
    /// The step that uses it; with the step it is left out.
    pub step: String,
    /// How much, as terms: grams of what is eaten for an ingredient, pieces for packaging.
    pub amount: Vec<Term>,
    /// Divides the amount, so that a card may say 811 g of sugar over 1000 g of icing.
    #[serde(default = "one")]
    pub over: i64,
    /// What is bought on top because it stays in bowls and bags, per cent.
    #[serde(default)]
    pub waste: u8,
    /// Only then.
    #[serde(default)]
    pub when: Option<When>,
}

fn one() -> i64 {
    1
}
