//! What a card must be before anything is made from it.
