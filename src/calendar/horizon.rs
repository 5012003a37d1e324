//! The stretch of days that is planned, and the two ways to name a moment in it.

use serde::{Deserialize, Serialize};

use super::{Date, Zone};

/// Minutes that really pass from the horizon's start. A day of a clock change is 23 or 25 hours long.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Elapsed(pub i32);

/// Elapsed time from `start` up to, not including, `end`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Span {
    /// First minute inside.
    pub start: Elapsed,
    /// First minute after it.
    pub end: Elapsed,
}

/// The days that are planned: from a Monday, for `days` days, in one zone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Horizon {
    /// A Monday.
    pub start: Date,
    /// How many days, at least 7.
    pub days: u16,
    /// The zone's offsets over these days.
    pub zone: Zone,
}
