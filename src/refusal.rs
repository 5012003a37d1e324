//! What is said about a value that cannot be taken: which field, what is wrong, what would be right.
//!
//! Every room that is filled in by hand answers with these, so that a form can show each one beside
//! its field. Knows no room.

use std::fmt;

/// Why a value, or a command, was refused; nothing was changed by it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// Which field, for example `fridge.0.width`; empty when it is not about a field.
    pub field: String,
    /// What is wrong and what would be right, with a valid example.
    pub message: String,
}

impl Refusal {
    /// A refusal of one field.
    pub fn of(field: impl Into<String>, message: impl Into<String>) -> Self {
        Self { field: field.into(), message: message.into() }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.field.is_empty() {
            f.write_str(&self.message)
        } else {
            write!(f, "{}: {}", self.field, self.message)
        }
    }
}

impl std::error::Error for Refusal {}
