//! The week as it would look with one more order: a few lines for each day, to be looked at and not touched.
//!
//! In: a week whose plan is a trial, and the order that it is about. Out: the days from the first that changes
//! to the handover, each with its sittings on one scale. Positions are thousandths; nothing here can be moved.

use serde::{Deserialize, Serialize};

use crate::breakdown::StepId;
use crate::calendar::{Elapsed, Horizon, Span};
use crate::order::OrderId;
use crate::plan::arrange::set_of;

use super::blocks::{Block, BlockKey};
use super::clock::date_of;
use super::view::{DayView, WeekInput, WeekView};
use super::words::{day_short, time_of};

/// Most days shown; of a longer stretch, those on which nothing changes are left out.
const DAYS_MOST: usize = 14;

/// What a trial does to a sitting.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum TrialChange {
    /// It belongs to the order in question.
    Added,
    /// It would move; from when, for example "Thu 18:30".
    Moved(String),
    /// It stays where it is.
    Stays,
}

/// A sitting in a trial.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TrialSitting {
    /// "18:30–19:45".
    pub time: String,
    /// For example "Flood the base coat".
    pub name: String,
    /// Thousandths of the scale.
    pub left: i32,
    /// Thousandths of the scale.
    pub width: i32,
    /// Thousandths of the row's height.
    pub top: i32,
    /// Thousandths of the row's height: less than all where something runs beside it.
    pub height: i32,
    /// Minutes of hands-on work; 0 in the oven.
    pub hands_on: i32,
    /// What the trial does to it.
    pub change: TrialChange,
}

/// A day in a trial.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TrialDay {
    /// "Thu".
    pub short: String,
    /// "26 Nov".
    pub date: String,
    /// Free time: left and width in thousandths of the scale.
    pub free: Vec<(i32, i32)>,
    /// By start.
    pub sittings: Vec<TrialSitting>,
    /// When the order in question leaves, for example "15:00".
    pub leaves: Option<String>,
}

/// A trial, day by day.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct TrialWeek {
    /// In order.
    pub days: Vec<TrialDay>,
    /// Hours written at the scale: thousandths, and for example "18".
    pub hours: Vec<(i32, String)>,
}

impl TrialWeek {
    /// Lays it out; `input.first_day` does not matter.
    pub fn of(input: WeekInput<'_>, order: OrderId) -> Self {
        let horizon = &input.outlook.horizon;
        let weeks = i32::from(horizon.days.div_ceil(7));
        let all: Vec<DayView> = (0..weeks)
            .flat_map(|week| WeekView::of(WeekInput { first_day: week * 7, ..input }).days)
            .collect();
        let moved = Moves::of(&input, order);
        let changes = |day: &DayView| {
            day.blocks.iter().any(|block| moved.change(block) != TrialChange::Stays)
                || day.handovers.iter().any(|mark| mark.order == order)
        };
        let (Some(first), Some(last)) =
            (all.iter().position(&changes), all.iter().rposition(&changes))
        else {
            return Self::default();
        };
        let mut days: Vec<&DayView> = all.iter().take(last + 1).skip(first).collect();
        if days.len() > DAYS_MOST {
            days.retain(|day| changes(day));
        }
        let scale = Scale::over(horizon, &days);
        Self {
            days: days.iter().map(|day| scale.day(horizon, day, order, &moved)).collect(),
            hours: scale.hours(),
        }
    }

    /// How many sittings it takes from the order in question.
    pub fn added(&self) -> usize {
        let sittings = self.days.iter().flat_map(|day| &day.sittings);
        sittings.filter(|sitting| sitting.change == TrialChange::Added).count()
    }
}

/// Which sittings of other orders start elsewhere than they were shown.
pub(super) struct Moves {
    order: OrderId,
    from: Vec<(BlockKey, String)>,
}

impl Moves {
    pub(super) fn of(input: &WeekInput<'_>, order: OrderId) -> Self {
        let (horizon, problem) = (&input.outlook.horizon, &input.outlook.assembled.problem);
        let grid = i32::from(problem.grid_minutes.max(1));
        let own = input.outlook.work.steps.iter().filter(|step| step.order == order);
        let own = set_of(own.map(|step| &step.id));
        let mut from = Vec::new();
        for activity in &problem.activities {
            let step = StepId(activity.id.clone());
            let starts = input.plan.starts.get(&activity.id);
            let (Some(before), Some(after)) = (&activity.reference, starts) else { continue };
            if own.contains(&step) {
                continue;
            }
            // Sittings that lie behind are no segments of the problem any more.
            let past = input.outlook.assembled.past.get(&step).map_or(0, Vec::len);
            for (index, (before, after)) in before.iter().zip(after).enumerate() {
                if before != after {
                    let at = horizon.wall(Elapsed(before.saturating_mul(grid)));
                    let text = format!("{} {}", day_short(at.date()), time_of(at));
                    from.push((BlockKey { step: step.clone(), sitting: past + index }, text));
                }
            }
        }
        Self { order, from }
    }

    pub(super) fn len(&self) -> usize {
        self.from.len()
    }

    fn change(&self, block: &Block) -> TrialChange {
        if block.order == self.order {
            return TrialChange::Added;
        }
        let from = self.from.iter().find(|(key, _)| *key == block.key);
        from.map_or(TrialChange::Stays, |(_, from)| TrialChange::Moved(from.clone()))
    }
}

/// Minutes of the wall clock, the same on every day of a trial, so that an hour stands below itself.
struct Scale {
    from: i32,
    to: i32,
}

impl Scale {
    /// From the first hour that is free or worked in to the last.
    fn over(horizon: &Horizon, days: &[&DayView]) -> Self {
        let (mut from, mut to) = (24 * 60, 0);
        for day in days {
            let free = day.axis.sections.iter().filter(|section| section.busy.is_none());
            let spans = free.map(|section| section.span);
            for span in spans.chain(day.blocks.iter().map(span_of)) {
                let (start, end) = minutes(horizon, day, span);
                from = from.min(start);
                to = to.max(end);
            }
        }
        if to <= from { Self { from: 0, to: 24 * 60 } } else { Self { from, to } }.whole_hours()
    }

    fn whole_hours(self) -> Self {
        Self { from: self.from.div_euclid(60) * 60, to: (self.to + 59).div_euclid(60) * 60 }
    }

    fn at(&self, minute: i32) -> i32 {
        (minute - self.from).clamp(0, self.to - self.from) * 1000 / (self.to - self.from)
    }

    /// Left and width.
    fn place(&self, horizon: &Horizon, day: &DayView, span: Span) -> (i32, i32) {
        let (start, end) = minutes(horizon, day, span);
        let left = self.at(start);
        (left, self.at(end) - left)
    }

    fn day(&self, horizon: &Horizon, day: &DayView, order: OrderId, moved: &Moves) -> TrialDay {
        let free = day.axis.sections.iter().filter(|section| section.busy.is_none());
        // What goes on after midnight is told on the day on which it begins.
        let date = date_of(horizon, day.day);
        let begun = day.blocks.iter().filter(|block| horizon.wall(block.start).date() == date);
        let sittings = begun.map(|block| {
            let (left, width) = self.place(horizon, day, span_of(block));
            TrialSitting {
                time: block.time.clone(),
                name: block.name.clone(),
                left,
                width,
                top: block.left,
                height: block.width,
                hands_on: if block.kind.hands_on() { block.length() } else { 0 },
                change: moved.change(block),
            }
        });
        let leaves = day.handovers.iter().find(|mark| mark.order == order);
        TrialDay {
            short: day.short.to_owned(),
            date: day.date_text.clone(),
            free: free.map(|section| self.place(horizon, day, section.span)).collect(),
            sittings: sittings.collect(),
            leaves: leaves.map(|mark| mark.time.clone()),
        }
    }

    /// Every third full hour.
    fn hours(&self) -> Vec<(i32, String)> {
        let full = (0..=24).filter(|hour| hour % 3 == 0).map(|hour| hour * 60);
        let shown = full.filter(|minute| self.from < *minute && *minute < self.to);
        shown.map(|minute| (self.at(minute), format!("{:02}", minute / 60))).collect()
    }
}

fn span_of(block: &Block) -> Span {
    Span::new(block.start, block.end)
}

/// Minutes of the wall clock within a day; what goes on after midnight ends at 24:00.
fn minutes(horizon: &Horizon, day: &DayView, span: Span) -> (i32, i32) {
    let minute = |moment: Elapsed| {
        let wall = horizon.wall(moment);
        let days = wall.date().days_since(date_of(horizon, day.day));
        match days {
            0 => i32::from(wall.minute_of_day()),
            ..0 => 0,
            _ => 24 * 60,
        }
    };
    (minute(span.start), minute(span.end))
}
