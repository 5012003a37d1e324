//! The baker's own time: day job, sleep, family, exceptions, limits of a day.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::Date;
use crate::refusal::Refusal;

/// Minutes since midnight on the wall clock, 0 to 1440 (1440 only as an end).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct TimeOfDay(pub u16);

impl TimeOfDay {
    /// Midnight as a start.
    pub const MIDNIGHT: Self = Self(0);

    /// None when the clock shows no such time; `hm(24, 0)` is midnight as an end.
    pub fn hm(hour: u16, minute: u16) -> Option<Self> {
        let minutes = hour.checked_mul(60)?.checked_add(minute)?;
        (minute < 60 && minutes <= DAY).then_some(Self(minutes))
    }
}

impl fmt::Display for TimeOfDay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}:{:02}", self.0 / 60, self.0 % 60)
    }
}

impl FromStr for TimeOfDay {
    type Err = TimeError;

    /// Reads `18:30` and `9:05`; `24:00` is midnight as an end.
    fn from_str(text: &str) -> Result<Self, TimeError> {
        let digits = |part: &str, lengths: &[usize]| {
            (lengths.contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_digit()))
                .then(|| part.parse().ok())?
        };
        let parsed = text
            .trim()
            .split_once(':')
            .and_then(|(hour, minute)| Self::hm(digits(hour, &[1, 2])?, digits(minute, &[2])?));
        parsed.ok_or_else(|| TimeError { text: text.to_owned() })
    }
}

/// Text that is not a time of day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TimeError {
    text: String,
}

impl fmt::Display for TimeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "“{}” is not a time of day; write for example 18:30", self.text)
    }
}

impl std::error::Error for TimeError {}

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

impl Weekday {
    /// All seven, in the grid's order.
    pub const ALL: [Self; 7] =
        [Self::Mon, Self::Tue, Self::Wed, Self::Thu, Self::Fri, Self::Sat, Self::Sun];

    /// Monday to Friday.
    pub const WORKDAYS: [Self; 5] = [Self::Mon, Self::Tue, Self::Wed, Self::Thu, Self::Fri];

    /// In full, for example "Monday".
    pub fn name(self) -> &'static str {
        match self {
            Self::Mon => "Monday",
            Self::Tue => "Tuesday",
            Self::Wed => "Wednesday",
            Self::Thu => "Thursday",
            Self::Fri => "Friday",
            Self::Sat => "Saturday",
            Self::Sun => "Sunday",
        }
    }

    /// Its first three letters, for example "Mon".
    pub fn short(self) -> &'static str {
        self.name().get(..3).unwrap_or_default()
    }
}

impl fmt::Display for Weekday {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
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
    /// True when nobody is home to watch the oven meanwhile. The day job is away whatever it says.
    #[serde(default)]
    pub away: bool,
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
    /// No day job that starts that day.
    DayOff,
    /// Busy in these hours, away from home or not. An `end` at or before `start` runs into the next
    /// day.
    Busy {
        /// Wall-clock start.
        start: TimeOfDay,
        /// Wall-clock end.
        end: TimeOfDay,
        /// True when nobody is home to watch the oven.
        away: bool,
    },
    /// No baking at all that day, from midnight to midnight.
    NoBaking,
    /// Time to work in these hours, whatever the habit says of them: up later, home earlier, supper left to
    /// others. Deliveries and other exceptions stay. An `end` at or before `start` runs into the next day. The
    /// day may hold as much more hands-on work.
    Extra {
        /// Wall-clock start.
        start: TimeOfDay,
        /// Wall-clock end.
        end: TimeOfDay,
    },
    /// Somebody helps in these hours, as far as the baker is at home; the label is who. An `end` at or before `start`
    /// runs into the next day.
    Helper {
        /// Wall-clock start.
        start: TimeOfDay,
        /// Wall-clock end.
        end: TimeOfDay,
    },
}

impl ExceptionKind {
    /// Its hours, where it has any.
    pub fn hours(&self) -> Option<(TimeOfDay, TimeOfDay)> {
        match *self {
            Self::Busy { start, end, .. }
            | Self::Extra { start, end }
            | Self::Helper { start, end } => Some((start, end)),
            Self::DayOff | Self::NoBaking => None,
        }
    }

    /// The same in other hours; what has none stays.
    pub fn set_hours(&mut self, from: Option<TimeOfDay>, to: Option<TimeOfDay>) {
        if let Self::Busy { start, end, .. }
        | Self::Extra { start, end }
        | Self::Helper { start, end } = self
        {
            *start = from.unwrap_or(*start);
            *end = to.unwrap_or(*end);
        }
    }
}

/// How much work a day may hold, in minutes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct DayLimits {
    /// Hands-on minutes on a day on which the day job starts, 0 to 1440.
    pub hands_on_workday: u16,
    /// Hands-on minutes on a day without, 0 to 1440.
    pub hands_on_free_day: u16,
    /// Minutes of fine handwork (piping, lettering, painting) on any day, 0 to 1440.
    pub fine: u16,
}

/// How an evening is paced, in minutes. Nothing of it is asked for as a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Rhythm {
    /// Kept free before bed, to tidy up and wind down, 0 to 240.
    pub wind_down: u16,
    /// Longest time to work at a stretch, after which a break comes, 30 to 600; 0: no breaks.
    pub break_after: u16,
    /// Length of a break, 0 to 120; 0: no breaks.
    pub break_length: u16,
}

/// The baker's week as a habit, and what differs from it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct MyTime {
    /// Working hours elsewhere, without the way there.
    pub day_job: Vec<WeeklySpan>,
    /// Minutes of travel before and after each stretch of the day job, 0 to 240.
    pub travel: u16,
    /// When she goes to bed, every day. Sleep runs over midnight as a rule.
    pub bedtime: TimeOfDay,
    /// When she gets up.
    pub wake: TimeOfDay,
    /// Minutes after waking, and after coming home from the day job or from anything else that is
    /// away (deliveries apart), before she starts to work, 0 to 240.
    pub settle: u16,
    /// Fixed hours that are hers and her family's; at home unless `away`.
    pub family: Vec<WeeklySpan>,
    /// Days that differ.
    pub exceptions: Vec<Exception>,
    /// Limits of a day.
    pub limits: DayLimits,
    /// Tidying up and breaks.
    #[serde(default)]
    pub rhythm: Rhythm,
}

/// Minutes of an ordinary day.
const DAY: u16 = 1440;
/// Longest travel and settling that make sense, in minutes.
const MARGIN_MAX: u16 = 240;
/// Shortest and longest stretch of work before a break, and longest break, in minutes.
const STRETCH_LEAST: u16 = 30;
const STRETCH_MOST: u16 = 600;
const BREAK_MOST: u16 = 120;
/// More than anybody enters; protects the page from a damaged file.
const SPANS_MAX: usize = 60;
const EXCEPTIONS_MAX: usize = 1000;
const LABEL_MAX: usize = 80;

impl MyTime {
    /// A week to start from in the set-up; every number is then edited.
    pub fn typical() -> Self {
        Self {
            day_job: vec![WeeklySpan {
                label: "day job".to_owned(),
                days: Weekday::WORKDAYS.to_vec(),
                start: TimeOfDay(9 * 60),
                end: TimeOfDay(17 * 60),
                away: true,
            }],
            travel: 30,
            bedtime: TimeOfDay(22 * 60 + 30),
            wake: TimeOfDay(6 * 60 + 30),
            settle: 30,
            family: Vec::new(),
            exceptions: Vec::new(),
            limits: DayLimits { hands_on_workday: 180, hands_on_free_day: 420, fine: 120 },
            rhythm: Rhythm::default(),
        }
    }

    /// Whether the day job starts on this date.
    pub fn works_on(&self, date: Date) -> bool {
        !self.is_off(date) && self.day_job.iter().any(|span| span.days.contains(&date.weekday()))
    }

    /// Whether an exception takes the day job off this date.
    pub fn is_off(&self, date: Date) -> bool {
        self.exceptions.iter().any(|e| e.date == date && e.kind == ExceptionKind::DayOff)
    }

    /// Hands-on minutes that this date may hold: extra hours count on the day on which they start.
    pub fn hands_on_limit(&self, date: Date) -> u16 {
        let usual = if self.works_on(date) {
            self.limits.hands_on_workday
        } else {
            self.limits.hands_on_free_day
        };
        let extra = self.exceptions.iter().filter(|e| e.date == date).map(|e| match e.kind {
            ExceptionKind::Extra { start, end } if start < end => end.0 - start.0,
            ExceptionKind::Extra { start, end } => {
                end.0.saturating_add(DAY).saturating_sub(start.0)
            }
            _ => 0,
        });
        extra.fold(usual, u16::saturating_add).min(usual.max(DAY))
    }

    /// A number for the next exception, above all that are there.
    pub fn next_exception(&self) -> u32 {
        self.exceptions.iter().map(|e| e.id).max().unwrap_or(0).saturating_add(1)
    }

    /// Everything that is not right, by field; empty when it can be used.
    pub fn validate(&self) -> Vec<Refusal> {
        let mut refusals = Vec::new();
        for (name, spans) in [("day_job", &self.day_job), ("family", &self.family)] {
            if spans.len() > SPANS_MAX {
                refusals.push(Refusal::of(
                    name,
                    format!("has {} entries; keep at most {SPANS_MAX}", spans.len()),
                ));
            }
            for (index, span) in spans.iter().enumerate() {
                let field = format!("{name}.{index}");
                check_label(&mut refusals, &field, &span.label);
                check_hours(&mut refusals, &field, span.start, span.end);
                if span.days.is_empty() {
                    refusals.push(Refusal::of(
                        format!("{field}.days"),
                        "holds no day; choose at least one, for example Monday",
                    ));
                }
            }
        }
        let wind_down = ("rhythm.wind_down", self.rhythm.wind_down);
        for (field, minutes) in [("travel", self.travel), ("settle", self.settle), wind_down] {
            if minutes > MARGIN_MAX {
                refusals.push(Refusal::of(
                    field,
                    format!(
                        "{minutes} minutes is too long; write 0 to {MARGIN_MAX}, for example 30"
                    ),
                ));
            }
        }
        let Rhythm { break_after, break_length, .. } = self.rhythm;
        if break_after != 0 && !(STRETCH_LEAST..=STRETCH_MOST).contains(&break_after) {
            refusals.push(Refusal::of(
                "rhythm.break_after",
                format!(
                    "{break_after} minutes is no stretch of work; write {STRETCH_LEAST} to \
                     {STRETCH_MOST}, for example 120, or 0 for no breaks"
                ),
            ));
        }
        if BREAK_MOST < break_length {
            refusals.push(Refusal::of(
                "rhythm.break_length",
                format!(
                    "{break_length} minutes is too long; write 0 to {BREAK_MOST}, for example 15"
                ),
            ));
        }
        check_moment(&mut refusals, "bedtime", self.bedtime, DAY);
        check_moment(&mut refusals, "wake", self.wake, DAY);
        if self.bedtime.0 % DAY == self.wake.0 % DAY {
            refusals.push(Refusal::of(
                "wake",
                "is the same as the bedtime; write when the day starts, for example 06:30",
            ));
        }
        self.check_exceptions(&mut refusals);
        for (field, minutes) in [
            ("limits.hands_on_workday", self.limits.hands_on_workday),
            ("limits.hands_on_free_day", self.limits.hands_on_free_day),
            ("limits.fine", self.limits.fine),
        ] {
            if minutes > DAY {
                refusals.push(Refusal::of(
                    field,
                    format!(
                        "{minutes} minutes is more than a day; write 0 to 1440, for example 180"
                    ),
                ));
            }
        }
        refusals
    }

    fn check_exceptions(&self, refusals: &mut Vec<Refusal>) {
        if self.exceptions.len() > EXCEPTIONS_MAX {
            refusals.push(Refusal::of(
                "exceptions",
                format!(
                    "has {} entries; remove past ones until at most {EXCEPTIONS_MAX} are left",
                    self.exceptions.len()
                ),
            ));
        }
        let mut seen = std::collections::BTreeSet::new();
        for (index, exception) in self.exceptions.iter().enumerate() {
            let field = format!("exceptions.{index}");
            check_label(refusals, &field, &exception.label);
            if let Some((start, end)) = exception.kind.hours() {
                check_hours(refusals, &field, start, end);
            }
            if !seen.insert(exception.id) {
                refusals.push(Refusal::of(
                    format!("{field}.id"),
                    format!("another exception has number {}; give each its own", exception.id),
                ));
            }
        }
    }
}

fn check_label(refusals: &mut Vec<Refusal>, field: &str, label: &str) {
    if label.trim().is_empty() || label.chars().count() > LABEL_MAX {
        refusals.push(Refusal::of(
            format!("{field}.label"),
            format!("needs 1 to {LABEL_MAX} letters, for example choir"),
        ));
    }
}

fn check_moment(refusals: &mut Vec<Refusal>, field: &str, moment: TimeOfDay, last: u16) {
    if moment.0 > last {
        refusals.push(Refusal::of(
            field,
            format!("{} minutes is no time of day; write for example 18:30", moment.0),
        ));
    }
}

fn check_hours(refusals: &mut Vec<Refusal>, field: &str, start: TimeOfDay, end: TimeOfDay) {
    check_moment(refusals, &format!("{field}.start"), start, DAY - 1);
    check_moment(refusals, &format!("{field}.end"), end, DAY);
    if start == end {
        refusals.push(Refusal::of(
            format!("{field}.end"),
            format!("is the same as the start, {start}; write when it ends, for example 17:00"),
        ));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fields(time: &MyTime) -> Vec<String> {
        time.validate().into_iter().map(|refusal| refusal.field).collect()
    }

    #[test]
    fn times_of_day_are_read_and_written() {
        for (text, minutes) in [("00:00", 0), ("18:30", 1110), ("23:59", 1439), ("24:00", 1440)] {
            assert_eq!(text.parse(), Ok(TimeOfDay(minutes)));
            assert_eq!(TimeOfDay(minutes).to_string(), text);
        }
        assert_eq!(" 9:05 ".parse(), Ok(TimeOfDay(545)));
        for text in ["24:01", "12:60", "1830", "18:3", "-1:30", "+1:30", "", "18:30:00", "١٨:٣٠"]
        {
            let error = text.parse::<TimeOfDay>().expect_err(text).to_string();
            assert!(error.contains("18:30"), "{error}");
        }
        assert_eq!(TimeOfDay::hm(25, 0), None);
        assert_eq!(TimeOfDay::hm(u16::MAX, 0), None);
    }

    #[test]
    fn the_typical_week_can_be_used_as_it_is() {
        let time = MyTime::typical();
        assert_eq!(fields(&time), [""; 0]);
        let date = |text: &str| text.parse::<Date>().expect(text);
        assert_eq!(time.hands_on_limit(date("2026-11-27")), 180, "a Friday");
        assert_eq!(time.hands_on_limit(date("2026-11-28")), 420, "a Saturday");
    }

    #[test]
    fn a_day_off_is_a_day_without_day_job() {
        let mut time = MyTime::typical();
        let friday: Date = "2026-11-27".parse().expect("a date");
        time.exceptions.push(Exception {
            id: time.next_exception(),
            date: friday,
            kind: ExceptionKind::DayOff,
            label: "off".into(),
        });
        assert!(!time.works_on(friday));
        assert!(time.works_on(friday.plus_days(7)));
        assert_eq!(time.hands_on_limit(friday), 420);
        assert_eq!(time.next_exception(), 2);
    }

    #[test]
    fn extra_hours_let_the_day_hold_as_much_more() {
        let mut time = MyTime::typical();
        let friday: Date = "2026-11-27".parse().expect("a date");
        let hours = |start: u16, end: u16| ExceptionKind::Extra {
            start: TimeOfDay(start),
            end: TimeOfDay(end),
        };
        for (id, kind) in [(1, hours(1365, 1410)), (2, hours(1410, 30))] {
            let label = "up late".to_owned();
            time.exceptions.push(Exception { id, date: friday, kind, label });
        }
        assert_eq!(time.hands_on_limit(friday), 180 + 45 + 60);
        assert_eq!(time.hands_on_limit(friday.plus_days(1)), 420);
        assert_eq!(time.validate(), []);
        time.exceptions[0].kind = hours(600, 600);
        assert_eq!(fields(&time), ["exceptions.0.end"]);
    }

    #[test]
    fn each_wrong_field_is_named_once() {
        let mut time = MyTime::typical();
        time.day_job[0].days.clear();
        time.day_job[0].end = time.day_job[0].start;
        time.travel = 241;
        time.wake = time.bedtime;
        time.limits.fine = 1441;
        time.family.push(WeeklySpan {
            label: "  ".into(),
            days: vec![Weekday::Mon],
            start: TimeOfDay(1440),
            end: TimeOfDay(1441),
            away: false,
        });
        for _ in 0..2 {
            time.exceptions.push(Exception {
                id: 1,
                date: "2026-11-27".parse().expect("a date"),
                kind: ExceptionKind::NoBaking,
                label: "trip".into(),
            });
        }
        assert_eq!(
            fields(&time),
            [
                "day_job.0.end",
                "day_job.0.days",
                "family.0.label",
                "family.0.start",
                "family.0.end",
                "travel",
                "wake",
                "exceptions.1.id",
                "limits.fine",
            ]
        );
        for refusal in time.validate() {
            assert!(!refusal.message.ends_with('.'), "{refusal}");
        }
    }

    #[test]
    fn records_without_the_away_mark_are_at_home() {
        let span: WeeklySpan =
            serde_json::from_str(r#"{"label":"tea","days":["mon"],"start":960,"end":1020}"#)
                .expect("an older record");
        assert!(!span.away);
    }
}
