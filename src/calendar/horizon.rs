//! The stretch of days that is planned, and the two ways to name a moment in it.

use serde::{Deserialize, Serialize};

use super::{Date, TimeOfDay, Wall, Weekday, Zone};

/// Minutes that really pass from the horizon's start. A day of a clock change is 23 or 25 hours long.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Elapsed(pub i32);

impl Elapsed {
    /// This many minutes later (earlier when negative); saturates.
    #[must_use]
    pub fn plus(self, minutes: i32) -> Self {
        Self(self.0.saturating_add(minutes))
    }

    /// Minutes from `earlier` to it.
    pub fn since(self, earlier: Self) -> i32 {
        self.0.saturating_sub(earlier.0)
    }
}

/// Elapsed time from `start` up to, not including, `end`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Span {
    /// First minute inside.
    pub start: Elapsed,
    /// First minute after it.
    pub end: Elapsed,
}

impl Span {
    /// From `start` up to, not including, `end`.
    pub fn new(start: Elapsed, end: Elapsed) -> Self {
        Self { start, end }
    }

    /// Minutes in it; 0 when it ends before it starts.
    pub fn minutes(self) -> i32 {
        self.end.since(self.start).max(0)
    }

    /// Holds no minute.
    pub fn is_empty(self) -> bool {
        self.end <= self.start
    }

    /// Whether a moment lies in it.
    pub fn contains(self, moment: Elapsed) -> bool {
        self.start <= moment && moment < self.end
    }

    /// What it shares with another; none when that is nothing.
    pub fn shared(self, other: Self) -> Option<Self> {
        let both = Self::new(self.start.max(other.start), self.end.min(other.end));
        (!both.is_empty()).then_some(both)
    }
}

/// The days that are planned: from a Monday, for `days` days, in one zone.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Horizon {
    /// A Monday.
    pub start: Date,
    /// How many days, at least 7.
    pub days: u16,
    /// The zone's offsets over these days.
    pub zone: Zone,
}

impl Horizon {
    /// `days` days from the Monday on or before `date`; fewer than 7 become 7.
    pub fn from_monday_of(date: Date, days: u16, zone: Zone) -> Self {
        Self { start: date.monday(), days: days.max(7), zone }
    }

    /// Its end, which is its length: the first midnight after its last day.
    pub fn len(&self) -> Elapsed {
        self.day_start(self.days)
    }

    /// The whole horizon.
    pub fn span(&self) -> Span {
        Span::new(Elapsed(0), self.len())
    }

    /// What the clock shows at a moment, also before the horizon's start and after its end.
    pub fn wall(&self, moment: Elapsed) -> Wall {
        self.zone.to_wall(self.origin().saturating_add(i64::from(moment.0)))
    }

    /// The moment at which the clock shows `wall`: the first one if there are two; a time that the
    /// clocks skip moves on by the gap. Negative before the horizon; saturates some 4000 years off.
    pub fn elapsed(&self, wall: Wall) -> Elapsed {
        self.at_utc(self.zone.to_utc(wall))
    }

    /// Wall-clock hours from a date on, as they really pass. An `end` at or before `start` lies on the next day.
    pub fn hours(&self, date: Date, start: TimeOfDay, end: TimeOfDay) -> Span {
        let last = if end <= start { date.plus_days(1) } else { date };
        Span::new(self.elapsed(date.at(start.0)), self.elapsed(last.at(end.0)))
    }

    /// The moment so many minutes after 1970-01-01 00:00 universal time; saturates as [`Horizon::elapsed`].
    pub fn at_utc(&self, utc: i64) -> Elapsed {
        let minutes = utc.saturating_sub(self.origin());
        let limit = if minutes < 0 { i32::MIN } else { i32::MAX };
        Elapsed(i32::try_from(minutes).unwrap_or(limit))
    }

    /// Minutes from 1970-01-01 00:00 universal time to a moment.
    pub fn utc(&self, moment: Elapsed) -> i64 {
        self.origin().saturating_add(i64::from(moment.0))
    }

    /// The first moment of a day, counted from 0; `days` itself gives the end of the last one.
    pub fn day_start(&self, index: u16) -> Elapsed {
        self.elapsed(self.date(index).at(0))
    }

    /// A day from its first moment to the next day's.
    pub fn day_span(&self, index: u16) -> Span {
        Span::new(self.day_start(index), self.day_start(index.saturating_add(1)))
    }

    /// Minutes in a day: 1440, or 1380 and 1500 when clocks change by an hour.
    pub fn day_len(&self, index: u16) -> i32 {
        self.day_span(index).minutes()
    }

    /// The day that a moment lies in; the first or the last one for moments outside.
    pub fn day_of(&self, moment: Elapsed) -> u16 {
        let last = self.days.saturating_sub(1);
        let days = self.wall(moment).date().days_since(self.start);
        let mut index = u16::try_from(days.max(0)).unwrap_or(u16::MAX).min(last);
        // A clock set back over midnight shows the evening before again; the day has begun already.
        while index < last && self.day_start(index + 1) <= moment {
            index += 1;
        }
        while index > 0 && self.day_start(index) > moment {
            index -= 1;
        }
        index
    }

    /// A day's date.
    pub fn date(&self, index: u16) -> Date {
        self.start.plus_days(i64::from(index))
    }

    /// A day's weekday.
    pub fn weekday(&self, index: u16) -> Weekday {
        self.date(index).weekday()
    }

    fn origin(&self) -> i64 {
        self.zone.to_utc(self.start.at(0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::OffsetChange;

    fn date(text: &str) -> Date {
        text.parse().expect(text)
    }

    #[test]
    fn days_are_counted_from_a_monday() {
        let horizon = Horizon::from_monday_of(date("2026-11-25"), 3, Zone::fixed("kitchen", 60));
        assert_eq!(horizon.start, date("2026-11-23"));
        assert_eq!(horizon.days, 7);
        assert_eq!(horizon.len(), Elapsed(7 * 1440));
        assert_eq!(horizon.weekday(0), Weekday::Mon);
        assert_eq!(horizon.weekday(6), Weekday::Sun);
        assert_eq!(horizon.day_of(Elapsed(1439)), 0);
        assert_eq!(horizon.day_of(Elapsed(1440)), 1);
        assert_eq!(horizon.day_of(Elapsed(-1)), 0, "before it: the first day");
        assert_eq!(horizon.day_of(Elapsed(i32::MAX)), 6, "after it: the last day");
        assert_eq!(horizon.elapsed(date("2026-11-22").at(1439)), Elapsed(-1));
        assert_eq!(horizon.at_utc(horizon.utc(Elapsed(77))), Elapsed(77));
    }

    #[test]
    fn a_clock_set_back_over_midnight_does_not_bring_the_day_back() {
        // At 00:01 back to 23:01, as St John's did until 2011 (from memory): the day has begun.
        let midnight = date("2026-11-25").at(0).as_if_utc();
        let zone = Zone {
            name: "made up".into(),
            changes: vec![
                OffsetChange { utc: 0, offset: 0 },
                OffsetChange { utc: midnight + 1, offset: -60 },
            ],
        };
        let horizon = Horizon::from_monday_of(date("2026-11-23"), 7, zone);
        let start = horizon.day_start(2);
        assert_eq!(start, Elapsed(2 * 1440));
        assert_eq!(horizon.wall(start.plus(5)).to_string(), "2026-11-24T23:05");
        assert_eq!(horizon.day_of(start.plus(5)), 2);
        assert_eq!(horizon.day_len(2), 1500);
    }

    #[test]
    fn spans_share_what_both_hold() {
        let span = |a, b| Span::new(Elapsed(a), Elapsed(b));
        assert_eq!(span(0, 10).shared(span(5, 20)), Some(span(5, 10)));
        assert_eq!(span(0, 10).shared(span(10, 20)), None);
        assert_eq!(span(10, 0).minutes(), 0);
        assert!(span(3, 3).is_empty());
        assert!(span(0, 10).contains(Elapsed(0)) && !span(0, 10).contains(Elapsed(10)));
    }
}
