//! The baker's own time: day job, sleep, family, exceptions, limits of a day.

use serde::{Deserialize, Serialize};

use super::Date;

/// Minutes since midnight on the wall clock, 0 to 1440 (1440 only as an end).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct TimeOfDay(pub u16);

/// Day of the week, Monday first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Weekday {
    /// Monday, the first day of the grid.
    Mon,
    /// Tuesday.
    Tue,
    /// Wednesday.
    Wed,
    /// Thursday.
    Thu,
    /// Friday.
    Fri,
    /// Saturday.
    Sat,
    /// Sunday.
    Sun,
}

/// The same hours on some days of every week. An `end` at or before `start` runs into the next day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WeeklySpan {
    /// What it is called on screen, for example "choir".
    pub label: String,
    /// The days on which it starts.
    pub days: Vec<Weekday>,
    /// Wall-clock start.
    pub start: TimeOfDay,
    /// Wall-clock end.
    pub end: TimeOfDay,
}

/// One day that is not like the others.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Exception {
    /// Stable within the records.
    pub id: u32,
    /// The day it is about.
    pub date: Date,
    /// What is different.
    pub kind: ExceptionKind,
    /// What it is called on screen, for example "parents' evening".
    pub label: String,
}

/// What an exception changes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "what")]
pub enum ExceptionKind {
    /// No day job that day.
    DayOff,
    /// Busy in these hours, away from the kitchen or not.
    Busy {
        /// Wall-clock start.
        start: TimeOfDay,
        /// Wall-clock end.
        end: TimeOfDay,
        /// True when nobody is home to watch the oven.
        away: bool,
    },
    /// No baking at all that day.
    NoBaking,
}

/// How much work a day may hold, in minutes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct DayLimits {
    /// Hands-on minutes on a day with day job.
    pub hands_on_workday: u16,
    /// Hands-on minutes on a day without.
    pub hands_on_free_day: u16,
    /// Fine handwork (piping, lettering, painting) on any day.
    pub fine: u16,
}

/// The baker's week as a habit, and what differs from it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct MyTime {
    /// Working hours elsewhere, without the way there.
    pub day_job: Vec<WeeklySpan>,
    /// Minutes of travel before and after each stretch of the day job.
    pub travel: u16,
    /// When she goes to bed and gets up, every day. Runs over midnight as a rule.
    pub bedtime: TimeOfDay,
    /// When she gets up.
    pub wake: TimeOfDay,
    /// Minutes after waking and after coming home before she starts to work.
    pub settle: u16,
    /// Fixed hours that are hers and her family's; she is at home unless `away` says otherwise.
    pub family: Vec<WeeklySpan>,
    /// Days that differ.
    pub exceptions: Vec<Exception>,
    /// Limits of a day.
    pub limits: DayLimits,
}
