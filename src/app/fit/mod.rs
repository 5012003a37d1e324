//! “Can I take this?” beside the page: the fit check in a worker of its own, so that neither the page nor the
//! week's planning waits for it.
//!
//! [`desk`] is the page's side, [`bench`] the worker's. In: a copy of the book and an order. Out: words. Nothing
//! here can write to the book.

mod bench;
mod desk;

use rackweek::order::Order;
use rackweek::week::FitWords;
use serde::{Deserialize, Serialize};

pub(crate) use bench::serve;
pub(crate) use desk::{Asked, FitDesk, Looking};

/// The worker's name, by which the same program knows which work is meant.
pub(crate) const NAME: &str = "fit";

/// What the worker is told. A newer question makes an older one void.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
struct Question {
    /// Counts up.
    number: u32,
    /// Book, moment and zone as a backup has them, and the order; none: nothing is wanted any more.
    of: Option<(String, Order)>,
}

/// What it answers.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
struct Answer {
    /// Of the question.
    number: u32,
    /// What is known so far; none: kitchen or time are not set up.
    words: Option<FitWords>,
    /// Nothing more follows.
    done: bool,
}
