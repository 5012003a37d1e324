//! Where else a sitting could start, and what each start costs: grades, bands on the days, and a list.
//!
//! In: a [`Reach`] and what [`crate::plan::explain::WhereElse`] has found out so far. Out: positions and words.
//! A grade does not count how far the sitting itself goes from where it was shown: she moves it on purpose.

use std::collections::BTreeMap;

use crate::calendar::{Elapsed, Span};
use crate::plan::check::Parts;
use crate::plan::explain::{Candidate, Verdict};

use super::axis::SNAP;
use super::clock::{date_of, day_span};
use super::moves::{MoveFrom, Reach};
use super::view::{DayView, WeekInput};
use super::why::dearest;
use super::words::{full_day, time_range};

/// Dearer than so many hours of her evenings is much dearer.
const MUCH_HOURS: i64 = 8;

/// What a start costs, roughly.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    /// No more than where it stands.
    AsGood,
    /// A little more.
    Dearer,
    /// Much more.
    MuchDearer,
    /// Nothing speaks against it, but it has not been tried.
    Untried,
    /// Tried, and no sound plan was found.
    NotFound,
}

impl Grade {
    /// For a band on a day.
    pub fn short(self) -> &'static str {
        match self {
            Self::AsGood => "good",
            Self::Dearer => "fair",
            Self::MuchDearer => "poor",
            Self::Untried => "",
            Self::NotFound => "no plan",
        }
    }
}

/// Neighbouring starts of one grade on a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark {
    /// Units from the top of the day: the first start.
    pub top: i32,
    /// Units from the top of the day: a quarter of an hour after the last start.
    pub bottom: i32,
    /// What they cost.
    pub grade: Grade,
}

/// What is known of the starts of one sitting.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Costs {
    known: BTreeMap<Elapsed, Verdict>,
    grid: i32,
    much: i64,
    /// Nothing is left to find out.
    pub done: bool,
}

impl Costs {
    /// Nothing is known yet.
    pub fn of(input: WeekInput<'_>) -> Self {
        let problem = &input.outlook.assembled.problem;
        let grid = i32::from(problem.grid_minutes.max(1));
        let hour = problem.weights.evening.max(1) * i64::from(60 / grid.min(60));
        Self { known: BTreeMap::new(), grid, much: MUCH_HOURS * hour, done: false }
    }

    /// Learns more.
    pub fn learn(&mut self, news: &[Candidate], done: bool) {
        let at = |slot: i32| Elapsed(slot.saturating_mul(self.grid));
        self.known.extend(news.iter().map(|candidate| (at(candidate.start), candidate.verdict)));
        self.done = done;
    }

    /// Minutes of a slot.
    pub fn grid(&self) -> i32 {
        self.grid.max(1)
    }

    /// The planner's slot of a start.
    pub fn slot(&self, start: Elapsed) -> i32 {
        start.0.div_euclid(self.grid.max(1))
    }

    /// What a start costs.
    pub fn grade(&self, start: Elapsed) -> Grade {
        match self.known.get(&start) {
            None | Some(Verdict::Likely) => Grade::Untried,
            Some(Verdict::NotFound) => Grade::NotFound,
            Some(Verdict::Sound { dearer, .. }) => match price(*dearer) {
                ..=0 => Grade::AsGood,
                cost if cost <= self.much => Grade::Dearer,
                _ => Grade::MuchDearer,
            },
        }
    }

    /// The same in words, with the weightiest reason; what exactly changes is said by
    /// [`super::changes`].
    pub fn words(&self, start: Elapsed) -> String {
        let reason = match self.known.get(&start) {
            Some(Verdict::Sound { dearer, .. }) => dearest(alone(*dearer)),
            _ => None,
        };
        let grade = match self.grade(start) {
            Grade::AsGood => return "as good as now".to_owned(),
            Grade::Dearer => "a little worse",
            Grade::MuchDearer => "clearly worse",
            Grade::Untried => return "possible, not worked out yet".to_owned(),
            Grade::NotFound => return "no plan found with it here".to_owned(),
        };
        reason.map_or_else(|| grade.to_owned(), |reason| format!("{grade}: {reason}"))
    }

    /// The grades of a day, from the top.
    pub fn marks(&self, reach: &Reach, day: &DayView) -> Vec<Mark> {
        let mut marks: Vec<Mark> = Vec::new();
        for starts in reach.on(day.axis.span) {
            for start in quarters(starts) {
                let grade = self.grade(start);
                let (top, bottom) = (day.axis.y_of(start), day.axis.y_of(start.plus(SNAP)));
                match marks.last_mut() {
                    Some(last) if last.grade == grade && last.bottom == top => last.bottom = bottom,
                    _ => marks.push(Mark { top, bottom, grade }),
                }
            }
        }
        marks
    }

    /// The least costly start of a stretch; of equal ones the earliest.
    fn best(&self, starts: MoveFrom) -> Option<Elapsed> {
        let cost = |start: &Elapsed| match self.known.get(start) {
            Some(Verdict::Sound { dearer, .. }) => (0, price(*dearer).max(0)),
            None | Some(Verdict::Likely) => (1, 0),
            Some(Verdict::NotFound) => (2, 0),
        };
        quarters(starts).min_by_key(cost)
    }
}

/// One day of the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ElsewhereDay {
    /// "Thursday 26 Nov".
    pub name: String,
    /// For each stretch of possible starts the best one.
    pub rows: Vec<ElsewhereRow>,
    /// Why there is none; empty when there is one.
    pub reason: String,
}

/// One start of the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ElsewhereRow {
    /// When.
    pub start: Elapsed,
    /// "18:30–19:45".
    pub time: String,
    /// What it costs.
    pub grade: Grade,
    /// The same in words.
    pub words: String,
}

/// The list, day by day: from the first day on which it could start to the last, and one more on either
/// side for the reason why not there.
pub fn elsewhere(input: WeekInput<'_>, reach: &Reach, costs: &Costs) -> Vec<ElsewhereDay> {
    let horizon = &input.outlook.horizon;
    let today = i32::from(horizon.day_of(horizon.elapsed(input.now)));
    let days: Vec<i32> =
        [reach.starts.first().map(|s| s.first), reach.starts.last().map(|s| s.last)]
            .into_iter()
            .flatten()
            .map(|moment| i32::from(horizon.day_of(moment)))
            .collect();
    let (Some(first), Some(last)) = (days.first(), days.last()) else { return Vec::new() };
    let last_day = i32::from(horizon.days) - 1;
    ((first - 1).max(today)..=(last + 1).min(last_day))
        .map(|day| {
            let span = day_span(horizon, day);
            let row = |start: Elapsed| ElsewhereRow {
                start,
                time: time_range(horizon, start, start.plus(reach.length)),
                grade: costs.grade(start),
                words: if start == reach.from {
                    "where it is now".to_owned()
                } else {
                    costs.words(start)
                },
            };
            let found = reach.on(span).filter_map(|starts| costs.best(starts));
            let rows: Vec<ElsewhereRow> =
                found.map(row).filter(|row| row.grade != Grade::NotFound).collect();
            let reason = match (rows.is_empty(), reach.on(span).next()) {
                (false, _) => String::new(),
                (true, Some(_)) => "no plan found with it on this day".to_owned(),
                (true, None) => reach.why_not_on(span),
            };
            ElsewhereDay { name: full_day(date_of(horizon, day)), rows, reason }
        })
        .collect()
}

/// Every start of a stretch.
fn quarters(starts: MoveFrom) -> impl Iterator<Item = Elapsed> {
    (starts.first.0..=starts.last.0).step_by(SNAP.unsigned_abs() as usize).map(Elapsed)
}

/// Without what it costs to leave the place where it was shown.
fn alone(dearer: Parts) -> Parts {
    Parts { total: price(dearer), stability: 0, ..dearer }
}

fn price(dearer: Parts) -> i64 {
    dearer.total - dearer.stability
}

impl Reach {
    /// Why nothing of a day is among the possible starts, told for the middle of its longest free window.
    fn why_not_on(&self, day: Span) -> String {
        let windows = self.free.iter().filter_map(|free| free.shared(day));
        match windows.max_by_key(|free| free.minutes()) {
            None => "no free time".to_owned(),
            Some(free) => {
                let slack = (free.minutes() - self.length).max(0) / 2;
                self.why_not(super::axis::snap(free.start.plus(slack)))
            }
        }
    }
}
