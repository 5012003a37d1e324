//! A zone as the list of its offsets, given by the shell (the browser knows them, we ship none).

use serde::{Deserialize, Serialize};

/// A time zone over the span that matters, as the offsets that hold from given instants.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Zone {
    /// What the shell calls it, for example `Europe/London`. Only shown, never looked up.
    pub name: String,
    /// Sorted by instant; the first one holds for all earlier time too. Never empty.
    pub changes: Vec<OffsetChange>,
}

/// From `utc` on, wall clocks stand `offset` minutes ahead of universal time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct OffsetChange {
    /// Minutes since 1970-01-01 00:00 universal time.
    pub utc: i64,
    /// Minutes east of universal time, for example 60, −300, 630.
    pub offset: i32,
}
