//! Time: the zone's offsets, elapsed minutes, the day job, and the windows that it leaves free.
//!
//! In: weekly habits and exceptions in wall-clock time, the zone's offsets from the shell.
//! Out: spans of elapsed minutes from the horizon's start, in which a night of a clock change has
//! 23 or 25 hours. Knows nothing of baking, and never asks what time it is now.

mod civil;
mod horizon;
mod my_time;
mod spans;
mod windows;
mod zone;

pub use civil::{CivilError, Date, Wall};
pub use horizon::{Elapsed, Horizon, Span};
pub use my_time::{
    DayLimits, Exception, ExceptionKind, MyTime, Rhythm, TimeError, TimeOfDay, Weekday, WeeklySpan,
};
pub use spans::{merge_spans, subtract_spans};
pub use windows::{BusyKind, BusySpan, Windows};
pub use zone::{OffsetChange, Zone};
