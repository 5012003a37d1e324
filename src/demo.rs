//! The demo scenario: an invented baker, kitchen and week of orders.
