//! Civil dates and times, and their text in records and files (`2026-11-28`, `2026-11-28T18:30`).
//!
//! The text is read and written by hand: chrono's own parser and formatter cost some 57 KB in the
//! browser.

use std::fmt;
use std::str::FromStr;

use chrono::{Datelike, NaiveDate, NaiveDateTime, Timelike};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::Weekday;

/// A civil date.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date(pub NaiveDate);

/// A date and time as the kitchen clock shows it, to the minute.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Wall(pub NaiveDateTime);

/// Text that is not a date or a time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CivilError {
    text: String,
    example: &'static str,
}

impl fmt::Display for CivilError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "“{}” is not valid here; write for example {}", self.text, self.example)
    }
}

impl std::error::Error for CivilError {}

impl Date {
    /// None when there is no such day.
    pub fn new(year: i32, month: u32, day: u32) -> Option<Self> {
        NaiveDate::from_ymd_opt(year, month, day).map(Self)
    }

    /// The date `days` later (earlier when negative). Saturates at the calendar's ends.
    #[must_use]
    pub fn plus_days(self, days: i64) -> Self {
        let moved = chrono::TimeDelta::try_days(days).and_then(|d| self.0.checked_add_signed(d));
        Self(moved.unwrap_or(if days < 0 { NaiveDate::MIN } else { NaiveDate::MAX }))
    }

    /// The Monday on or before it.
    #[must_use]
    pub fn monday(self) -> Self {
        self.plus_days(-i64::from(self.0.weekday().num_days_from_monday()))
    }

    /// Days from `earlier` to it.
    pub fn days_since(self, earlier: Self) -> i64 {
        self.0.signed_duration_since(earlier.0).num_days()
    }

    /// Its day of the week.
    pub fn weekday(self) -> Weekday {
        match self.0.weekday() {
            chrono::Weekday::Mon => Weekday::Mon,
            chrono::Weekday::Tue => Weekday::Tue,
            chrono::Weekday::Wed => Weekday::Wed,
            chrono::Weekday::Thu => Weekday::Thu,
            chrono::Weekday::Fri => Weekday::Fri,
            chrono::Weekday::Sat => Weekday::Sat,
            chrono::Weekday::Sun => Weekday::Sun,
        }
    }

    /// The week's number and the year it belongs to, by ISO 8601: weeks start on Monday, and week 1
    /// is the one with the year's first Thursday.
    pub fn iso_week(self) -> (i32, u32) {
        let week = self.0.iso_week();
        (week.year(), week.week())
    }

    /// Year, month (1 to 12) and day of the month.
    pub fn parts(self) -> (i32, u32, u32) {
        (self.0.year(), self.0.month(), self.0.day())
    }

    /// This date at a time of day; 1440 minutes are the next midnight.
    pub fn at(self, minutes: u16) -> Wall {
        Wall(self.0.and_time(chrono::NaiveTime::MIN)).plus_minutes(i64::from(minutes))
    }
}

impl Wall {
    /// None when there is no such moment.
    pub fn new(year: i32, month: u32, day: u32, hour: u32, minute: u32) -> Option<Self> {
        NaiveDate::from_ymd_opt(year, month, day)?.and_hms_opt(hour, minute, 0).map(Self)
    }

    /// Its date.
    pub fn date(self) -> Date {
        Date(self.0.date())
    }

    /// Minutes since its midnight.
    pub fn minute_of_day(self) -> u16 {
        u16::try_from(self.0.hour() * 60 + self.0.minute()).unwrap_or(0)
    }

    /// The wall clock `minutes` later, as if no clock changed. Saturates at the calendar's ends.
    #[must_use]
    pub fn plus_minutes(self, minutes: i64) -> Self {
        let moved =
            chrono::TimeDelta::try_minutes(minutes).and_then(|d| self.0.checked_add_signed(d));
        Self(moved.unwrap_or(if minutes < 0 { NaiveDateTime::MIN } else { NaiveDateTime::MAX }))
    }

    /// Minutes since 1970-01-01 00:00 as if the wall clock were universal time.
    pub fn as_if_utc(self) -> i64 {
        self.0.and_utc().timestamp().div_euclid(60)
    }

    /// The inverse of [`Wall::as_if_utc`]. Saturates at the calendar's ends.
    pub fn from_as_if_utc(minutes: i64) -> Self {
        Self(chrono::DateTime::UNIX_EPOCH.naive_utc()).plus_minutes(minutes)
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.0.year(), self.0.month(), self.0.day())
    }
}

impl fmt::Display for Wall {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}T{:02}:{:02}", self.date(), self.0.hour(), self.0.minute())
    }
}

/// `text` must be exactly digits of this width.
fn number(text: &str, width: usize) -> Option<u32> {
    (text.len() == width && text.bytes().all(|b| b.is_ascii_digit())).then(|| text.parse().ok())?
}

impl FromStr for Date {
    type Err = CivilError;

    fn from_str(text: &str) -> Result<Self, CivilError> {
        let mut parts = text.splitn(3, '-');
        let mut next = |width| parts.next().and_then(|part| number(part, width));
        let parsed = (|| {
            let (year, month, day) = (next(4)?, next(2)?, next(2)?);
            Self::new(i32::try_from(year).ok()?, month, day)
        })();
        parsed.ok_or_else(|| CivilError { text: text.to_owned(), example: "2026-11-28" })
    }
}

impl FromStr for Wall {
    type Err = CivilError;

    fn from_str(text: &str) -> Result<Self, CivilError> {
        let parsed = (|| {
            let (date, time) = text.split_once('T')?;
            let (hour, minute) = time.split_once(':')?;
            let date: Date = date.parse().ok()?;
            date.0.and_hms_opt(number(hour, 2)?, number(minute, 2)?, 0).map(Self)
        })();
        parsed.ok_or_else(|| CivilError { text: text.to_owned(), example: "2026-11-28T18:30" })
    }
}

macro_rules! serde_as_text {
    ($($kind:ty),*) => {$(
        impl Serialize for $kind {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }
        impl<'de> Deserialize<'de> for $kind {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let text = std::borrow::Cow::<'de, str>::deserialize(deserializer)?;
                text.parse().map_err(serde::de::Error::custom)
            }
        }
    )*};
}

serde_as_text!(Date, Wall);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_round_trips_and_refuses_what_is_not_a_day() {
        for text in ["2026-11-28", "2028-02-29", "0001-01-01", "9999-12-31"] {
            assert_eq!(text.parse::<Date>().expect(text).to_string(), text);
        }
        for text in ["2027-02-29", "2026-13-01", "2026-1-01", "", "2026-11-28x", "+026-11-28"] {
            assert!(text.parse::<Date>().is_err(), "{text}");
        }
        for text in ["2026-11-28T00:00", "2026-11-28T23:59"] {
            assert_eq!(text.parse::<Wall>().expect(text).to_string(), text);
        }
        for text in ["2026-11-28T24:00", "2026-11-28 18:30", "2026-11-28T18:30:00", "2026-11-28"] {
            let error = text.parse::<Wall>().expect_err(text).to_string();
            assert!(error.contains("2026-11-28T18:30"), "{error}");
        }
    }

    #[test]
    fn mondays_and_midnights() {
        let saturday: Date = "2026-11-28".parse().expect("a date");
        assert_eq!(saturday.monday().to_string(), "2026-11-23");
        assert_eq!(saturday.monday().monday(), saturday.monday());
        assert_eq!(saturday.at(1440), saturday.plus_days(1).at(0));
        assert_eq!(saturday.at(1110).minute_of_day(), 1110);
        assert_eq!(Wall::from_as_if_utc(saturday.at(5).as_if_utc()), saturday.at(5));
    }
}
