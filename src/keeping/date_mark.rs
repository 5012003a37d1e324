//! The date on the box: the last day on which a cold, ready-to-eat food may be eaten.
//!
//! FDA Food Code 3-501.17: seven days at 5 °C or below, the day of making counted as day 1; what is
//! opened counts from its opening and never past its maker's date; a mixture keeps the date of its
//! earliest part; the freezer stops the count. A day of which part was frozen is counted as North
//! Carolina's date-marking sheet does: the day of freezing is not counted, the day of thawing is.
//! The planner counts minutes instead and is stricter (see [`super::passed`]).

use crate::calendar::Date;
use crate::refusal::Refusal;

/// Minutes up to which no mark is needed: 24 hours.
pub const NO_MARK_MINUTES: u32 = 24 * 60;

/// How days are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DayRule {
    /// Days in all, the day of making among them; at least 1.
    pub days: u8,
    /// Whether the day on which a thing goes into the freezer counts too. The stricter way: without it
    /// a thing frozen late in the day has had that day for nothing.
    pub freezing_day_counts: bool,
}

impl DayRule {
    /// The Food Code's seven days.
    pub const FOOD_CODE: Self = Self { days: 7, freezing_day_counts: false };
}

/// A stay in the freezer, by its days.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Freezing {
    /// Put in.
    pub frozen: Date,
    /// Taken out to thaw.
    pub thawed: Date,
}

/// When something was made (or opened), and when it was frozen since.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Made {
    /// The day of making.
    pub on: Date,
    /// Stays in the freezer, in order.
    pub freezings: Vec<Freezing>,
}

impl Made {
    /// Made on a day and never frozen.
    pub fn on(on: Date) -> Self {
        Self { on, freezings: Vec::new() }
    }

    /// The last day on which it may be eaten. Freezing what has no day left gives it none back.
    /// Refused when a freezing is not in order.
    pub fn last_day(&self, rule: DayRule) -> Result<Date, Refusal> {
        let mut left = i64::from(rule.days.max(1));
        let mut start = self.on;
        for (index, freezing) in self.freezings.iter().enumerate() {
            if freezing.frozen < start || freezing.thawed < freezing.frozen {
                return Err(Refusal::of(
                    format!("freezings.{index}"),
                    format!(
                        "frozen {} and thawed {} is not in order after {start}; write for example frozen \
                         {start}, thawed {}",
                        freezing.frozen,
                        freezing.thawed,
                        start.plus_days(7)
                    ),
                ));
            }
            let counted = i64::from(rule.freezing_day_counts);
            let used = (freezing.frozen.days_since(start) + counted).max(1);
            if left <= used {
                break;
            }
            left -= used;
            start = freezing.thawed;
        }
        Ok(start.plus_days(left - 1))
    }
}

/// Whether food kept for so many minutes needs a mark at all.
pub fn needs_mark(minutes: u32) -> bool {
    NO_MARK_MINUTES < minutes
}

/// The last day of what was opened: counted from the opening, and never after its maker's date.
pub fn opened(on: Date, makers: Option<Date>, rule: DayRule) -> Date {
    let counted = on.plus_days(i64::from(rule.days.max(1)) - 1);
    makers.map_or(counted, |makers| makers.min(counted))
}

/// The last day of a mixture: the earliest of its parts' last days; None when it has no part that
/// needs a mark.
pub fn combined(parts: &[Made], rule: DayRule) -> Result<Option<Date>, Refusal> {
    let days: Result<Vec<Date>, Refusal> = parts.iter().map(|part| part.last_day(rule)).collect();
    Ok(days?.into_iter().min())
}
