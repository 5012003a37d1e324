//! Where a sitting may go: by finger or mouse (a height on a day), and by keyboard.
//!
//! Moving one sitting of a step leaves the step's other sittings where they are.

use crate::calendar::{BusySpan, Elapsed, Horizon, Span, Wall};
use crate::card::StepKind;
use crate::plan::possible_starts;
use crate::record::Command;

use super::axis::{SNAP, snap};
use super::blocks::BlockKey;
use super::view::{Context, DayView, WeekInput};
use super::words::{day_name, duration, time_of, time_range};

/// How far from the pointer, in units, a legal start may lie and still be taken.
const PULL: i32 = 60;

/// All that is needed to move one sitting. Made once, when it is picked up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reach {
    /// What is moved.
    pub key: BlockKey,
    /// For example "Flood the base coat".
    pub name: String,
    /// Minutes.
    pub length: i32,
    /// Where it stands.
    pub from: Elapsed,
    /// Stretches of starts from which nothing speaks against it: sorted, disjoint; the last minute of
    /// each is a start too.
    pub starts: Vec<MoveFrom>,
    /// The planner named no start at all, so every free window long enough is offered.
    pub guessed: bool,
    horizon: Horizon,
    all: Vec<Elapsed>,
    now: Elapsed,
    pub(super) free: Vec<Span>,
    busy: Vec<BusySpan>,
    home_only: bool,
}

/// From the first start to the last one, both included, every [`SNAP`] minutes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MoveFrom {
    /// First start.
    pub first: Elapsed,
    /// Last start.
    pub last: Elapsed,
}

/// A stretch of a day in which the sitting may lie, from the first start to the end after the last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Band {
    /// Units from the top of the day.
    pub top: i32,
    /// Units from the top of the day.
    pub bottom: i32,
}

/// What a drop at some height would do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Landing {
    /// It would stand here.
    Here {
        /// Its new start.
        start: Elapsed,
        /// Units from the top of the day.
        top: i32,
        /// Units.
        height: i32,
        /// For example "Thursday 18:30–19:45".
        words: String,
    },
    /// It cannot stand here.
    NotPossible {
        /// Why, for example "day job 08:00–18:15".
        reason: String,
    },
}

/// A step of the keyboard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Nudge {
    /// A quarter of an hour earlier, or the next possible start before that.
    Earlier,
    /// A quarter of an hour later, or the next possible start after that.
    Later,
    /// The day before at the same time, or what is possible nearest to it.
    DayBefore,
    /// The day after at the same time, or what is possible nearest to it.
    DayAfter,
}

impl Reach {
    /// Where a sitting may go. None: there is no such sitting, it is done, or it is not placed.
    pub fn of(input: WeekInput<'_>, key: &BlockKey) -> Option<Self> {
        let problem = &input.outlook.assembled.problem;
        let named = match Self::segment(input, key) {
            Some(segment) => possible_starts(problem, input.plan, &key.step.0, segment),
            None => Vec::new(),
        };
        Self::among(input, key, &named)
    }

    /// Which of its activity's segments a sitting is: those that lie behind are none any more.
    pub fn segment(input: WeekInput<'_>, key: &BlockKey) -> Option<usize> {
        let past = input.outlook.assembled.past.get(&key.step).map_or(0, Vec::len);
        key.sitting.checked_sub(past)
    }

    /// As [`Reach::of`], among starts named as half-open stretches of slots.
    pub(super) fn among(
        input: WeekInput<'_>,
        key: &BlockKey,
        named: &[(i32, i32)],
    ) -> Option<Self> {
        let context = Context::of(input);
        let step = context.step(&key.step)?;
        let went = input.book.progress.get(&key.step);
        let under_way = went.is_some_and(|went| !went.sittings.is_empty());
        if under_way || input.book.pins.get(&key.step).is_some_and(|pin| pin.done) {
            return None;
        }
        let own: Vec<Span> = context
            .sittings
            .iter()
            .filter(|sitting| sitting.step.id == key.step)
            .map(|sitting| sitting.span)
            .collect();
        let span = *own.get(key.sitting)?;
        if own.len() != step.sittings.len() {
            return None;
        }
        let length = span.minutes();
        let before = key.sitting.checked_sub(1).and_then(|index| own.get(index));
        let after = own.get(key.sitting + 1);
        let low = before.map_or(i32::MIN, |span| span.end.0).max(context.now.0);
        let high = after.map_or(i32::MAX, |span| span.start.0).saturating_sub(length);

        let windows = &input.outlook.windows;
        let home_only = step.kind == StepKind::Oven;
        let free = if home_only { &windows.home } else { &windows.free };
        let grid = i32::from(input.outlook.assembled.problem.grid_minutes.max(1));
        let named: Vec<MoveFrom> = named
            .iter()
            .filter(|(from, to)| from < to)
            .map(|(from, to)| MoveFrom {
                first: Elapsed(from.saturating_mul(grid)),
                last: Elapsed((to - 1).saturating_mul(grid)),
            })
            .collect();
        let guessed = named.is_empty();
        let offered = if guessed { fitting(free, length) } else { named };
        let starts = offered
            .into_iter()
            .filter_map(|starts| {
                let first = starts.first.0.max(up(low));
                let last = starts.last.0.min(down(high));
                (first <= last).then_some(MoveFrom { first: Elapsed(first), last: Elapsed(last) })
            })
            .collect();
        Some(Self {
            key: key.clone(),
            name: step.name.clone(),
            length,
            from: span.start,
            starts,
            guessed,
            horizon: input.outlook.horizon.clone(),
            all: own.iter().map(|span| span.start).collect(),
            now: context.now,
            free: free.clone(),
            busy: windows.busy.clone(),
            home_only,
        })
    }

    /// Where on a day the sitting may lie.
    pub fn bands(&self, day: &DayView) -> Vec<Band> {
        let mut bands: Vec<Band> = Vec::new();
        for starts in self.on(day.axis.span) {
            let band = Band {
                top: day.axis.y_of(starts.first),
                bottom: day.axis.y_of(starts.last.plus(self.length)),
            };
            match bands.last_mut() {
                Some(last) if band.top <= last.bottom => last.bottom = last.bottom.max(band.bottom),
                _ => bands.push(band),
            }
        }
        bands
    }

    /// What a drop would do when the block's upper edge is at a height of a day.
    pub fn land(&self, day: &DayView, y: i32) -> Landing {
        let wanted = snap(day.axis.moment_at(y));
        let nearest = self
            .on(day.axis.span)
            .map(|starts| nearest(starts, wanted))
            .min_by_key(|start| (day.axis.y_of(*start) - y).abs());
        match nearest {
            Some(start) if (day.axis.y_of(start) - y).abs() <= PULL => {
                let top = day.axis.y_of(start);
                let end = start.plus(self.length);
                Landing::Here {
                    start,
                    top,
                    height: day.axis.y_of(end) - top,
                    words: self.words_at(start),
                }
            }
            _ => Landing::NotPossible { reason: self.why_not(wanted) },
        }
    }

    /// The start that a step of the keyboard leads to; none: nothing is possible that way.
    pub fn nudge(&self, from: Elapsed, nudge: Nudge) -> Option<Elapsed> {
        match nudge {
            Nudge::Earlier => self
                .starts
                .iter()
                .rev()
                .find(|starts| starts.first < from)
                .map(|starts| starts.last.min(Elapsed(from.0 - 1)))
                .map(|start| Elapsed(down(start.0))),
            Nudge::Later => self
                .starts
                .iter()
                .find(|starts| starts.last > from)
                .map(|starts| starts.first.max(Elapsed(from.0 + 1)))
                .map(|start| Elapsed(up(start.0))),
            Nudge::DayBefore => self.other_day(from, -1),
            Nudge::DayAfter => self.other_day(from, 1),
        }
    }

    fn other_day(&self, from: Elapsed, direction: i64) -> Option<Elapsed> {
        let wall = self.horizon.wall(from);
        (1..=i64::from(self.horizon.days)).find_map(|days| {
            let date = wall.date().plus_days(days * direction);
            let wanted = self.horizon.elapsed(date.at(wall.minute_of_day()));
            let day = Span::new(
                self.horizon.elapsed(date.at(0)),
                self.horizon.elapsed(date.plus_days(1).at(0)),
            );
            self.on(day)
                .map(|starts| nearest(starts, wanted))
                .min_by_key(|start| start.since(wanted).abs())
        })
    }

    /// "Thursday 18:30–19:45".
    pub fn words_at(&self, start: Elapsed) -> String {
        let day = day_name(self.horizon.wall(start).date());
        format!("{day} {}", time_range(&self.horizon, start, start.plus(self.length)))
    }

    /// The command that puts the sitting there and pins its step.
    pub fn command(&self, start: Elapsed) -> Command {
        let starts: Vec<Wall> = self
            .all
            .iter()
            .enumerate()
            .map(|(index, own)| if index == self.key.sitting { start } else { *own })
            .map(|start| self.horizon.wall(start))
            .collect();
        Command::PinStep(self.key.step.clone(), starts)
    }

    /// The starts that lie on a day.
    pub(super) fn on(&self, day: Span) -> impl Iterator<Item = MoveFrom> {
        self.starts.iter().filter_map(move |starts| {
            let first = starts.first.0.max(up(day.start.0));
            let last = starts.last.0.min(down(day.end.0 - 1));
            (first <= last).then_some(MoveFrom { first: Elapsed(first), last: Elapsed(last) })
        })
    }

    /// Why a start is not among the possible ones, as far as can be told from where it lies.
    pub(super) fn why_not(&self, start: Elapsed) -> String {
        let wanted = Span::new(start, start.plus(self.length));
        if start < self.now {
            return "that time is over".to_owned();
        }
        let roomy = self.free.iter().any(|free| free.start <= start && wanted.end <= free.end);
        if !roomy {
            if let Some(free) = self.free.iter().find(|free| free.contains(start))
                && free.minutes() < self.length
            {
                return format!(
                    "the free window {} is too short for {}",
                    time_range(&self.horizon, free.start, free.end),
                    duration(self.length)
                );
            }
            if let Some(busy) = self.busy.iter().find(|busy| busy.span.shared(wanted).is_some()) {
                let times = time_range(&self.horizon, busy.span.start, busy.span.end);
                return if self.home_only {
                    format!("nobody is home for all of it: {} {times}", busy.label)
                } else {
                    format!("{} {times}", busy.label)
                };
            }
            return "nobody can work then".to_owned();
        }
        match (self.starts.first(), self.starts.last()) {
            (Some(first), _) if start < first.first => {
                format!("too early: possible from {}", self.day_and_time(first.first))
            }
            (_, Some(last)) if start > last.last => format!(
                "too late for what comes after it: possible until {}",
                self.day_and_time(last.last)
            ),
            (None, _) => "nothing else is possible while its neighbours stay pinned".to_owned(),
            _ => "what it follows, or what it needs, leaves no room there".to_owned(),
        }
    }

    fn day_and_time(&self, moment: Elapsed) -> String {
        let wall = self.horizon.wall(moment);
        format!("{} {}", day_name(wall.date()), time_of(wall))
    }
}

/// The first quarter hour at or after.
fn up(minute: i32) -> i32 {
    minute.saturating_add(SNAP - 1).div_euclid(SNAP).saturating_mul(SNAP)
}

/// The last quarter hour at or before.
fn down(minute: i32) -> i32 {
    minute.div_euclid(SNAP).saturating_mul(SNAP)
}

fn nearest(starts: MoveFrom, wanted: Elapsed) -> Elapsed {
    snap(wanted).clamp(starts.first, starts.last)
}

/// Every start from which a length fits into one of the windows.
fn fitting(windows: &[Span], length: i32) -> Vec<MoveFrom> {
    windows
        .iter()
        .map(|window| (up(window.start.0), down(window.end.0.saturating_sub(length))))
        .filter(|(first, last)| first <= last)
        .map(|(first, last)| MoveFrom { first: Elapsed(first), last: Elapsed(last) })
        .collect()
}
