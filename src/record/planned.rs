//! From the book at a moment to the planner's input, and from its answer to what the week shows.

use crate::breakdown::{Assembled, Work};
use crate::calendar::{Horizon, Wall, Windows, Zone};

use super::Book;

/// The moment and place in time at which a plan is asked for; the shell supplies both.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlanInput {
    /// What the clock shows.
    pub now: Wall,
    /// The zone's offsets from before the horizon to after it.
    pub zone: Zone,
}

/// All that is derived from the book before planning.
#[derive(Debug, Clone)]
pub struct Outlook {
    /// The days planned: from this week's Monday to the week after the last handover.
    pub horizon: Horizon,
    /// Free and busy.
    pub windows: Windows,
    /// What there is to do.
    pub work: Work,
    /// The problem.
    pub assembled: Assembled,
}

impl Outlook {
    /// Derives everything; none while kitchen or time are not set up.
    pub fn of(book: &Book, input: &PlanInput) -> Option<Self> {
        let _ = (book, input);
        None
    }
}
