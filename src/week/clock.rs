//! Days by number, also before the horizon and after it.

use crate::calendar::{Date, Horizon, Span};

/// The date of day number `day`.
pub(super) fn date_of(horizon: &Horizon, day: i32) -> Date {
    horizon.start.plus_days(i64::from(day))
}

/// A day from midnight to midnight: 23, 24 or 25 hours as a rule.
pub(super) fn day_span(horizon: &Horizon, day: i32) -> Span {
    let date = date_of(horizon, day);
    Span::new(horizon.elapsed(date.at(0)), horizon.elapsed(date.plus_days(1).at(0)))
}
