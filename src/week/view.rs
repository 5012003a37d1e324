//! The whole view of one week, put together.

use std::collections::{BTreeMap, BTreeSet};

use crate::breakdown::{Step, StepId};
use crate::calendar::{Date, Elapsed, Horizon, Span, Wall};
use crate::kitchen::{Occupancy, Stay, use_over_time};
use crate::order::{Order, OrderId};
use crate::plan::Plan;
use crate::plan::arrange::{Arrange, map_of};
use crate::plan::check::Report;
use crate::record::{Book, Outlook};

use super::axis::{DayAxis, FoldKey};
use super::blocks::{self, Block, Sitting};
use super::clock::{date_of, day_span};
use super::gauges::{self, Gauge};
use super::list::{self, ListItem};
use super::past_best;
use super::problems::{self, ProblemView};
use super::standing;
use super::threads::{self, Run, Thread};
use super::words::{day_and_month, day_name, day_short, time_of};

/// What a week is made from.
#[derive(Debug, Clone, Copy)]
pub struct WeekInput<'a> {
    /// Orders, pins and ticks.
    pub book: &'a Book,
    /// Days, windows, work and problem.
    pub outlook: &'a Outlook,
    /// What is placed where.
    pub plan: &'a Plan,
    /// What is wrong with it.
    pub report: &'a Report,
    /// What the clock shows.
    pub now: Wall,
    /// First day shown: a day of the horizon, as a rule a Monday.
    pub first_day: i32,
    /// Strips that the reader has unfolded.
    pub unfolded: &'a BTreeSet<FoldKey>,
}

/// One week of the horizon, ready to be drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WeekView {
    /// Monday to Sunday.
    pub days: Vec<DayView>,
    /// What rests from block to block, in order of its start.
    pub threads: Vec<Thread>,
    /// What does not fit, in this week or another.
    pub problems: Vec<ProblemView>,
    /// For example "23–29 Nov 2026".
    pub title: String,
    /// Whether there is anything to show at all: a sitting or a handover in the horizon.
    pub any_work: bool,
}

/// One day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayView {
    /// Day of the horizon.
    pub day: i32,
    /// Which.
    pub date: Date,
    /// "Thu".
    pub short: &'static str,
    /// "Thursday".
    pub name: &'static str,
    /// "26 Nov".
    pub date_text: String,
    /// Contains now.
    pub today: bool,
    /// Over.
    pub past: bool,
    /// Units from the top at which now lies, when it is today.
    pub now_y: Option<i32>,
    /// Free time to scale, the rest in strips.
    pub axis: DayAxis,
    /// Sittings, by start.
    pub blocks: Vec<Block>,
    /// Orders that leave on this day.
    pub handovers: Vec<HandoverMark>,
    /// Where something rests on this day, by place.
    pub runs: Vec<Run>,
    /// One for each place of the kitchen.
    pub gauges: Vec<Gauge>,
    /// Hands-on minutes placed on this day.
    pub hands_on: i32,
    /// The day as a list, for eyes and ears that do not use the grid.
    pub list: Vec<ListItem>,
}

/// A moment at which an order leaves the kitchen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HandoverMark {
    /// Whose.
    pub order: OrderId,
    /// Two letters.
    pub mark: String,
    /// Units from the top of the day.
    pub y: i32,
    /// When.
    pub at: Elapsed,
    /// "15:00".
    pub time: String,
    /// For example "Mira’s woodland table leaves".
    pub text: String,
}

/// Lookups that every part of the view needs.
pub(super) struct Context<'a> {
    pub(super) input: WeekInput<'a>,
    pub(super) horizon: &'a Horizon,
    pub(super) now: Elapsed,
    pub(super) sittings: Vec<Sitting<'a>>,
    steps: BTreeMap<&'a StepId, &'a Step>,
}

impl<'a> Context<'a> {
    pub(super) fn of(input: WeekInput<'a>) -> Self {
        let horizon = &input.outlook.horizon;
        let steps = map_of(input.outlook.work.steps.iter().map(|step| (&step.id, step)));
        let now = horizon.elapsed(input.now);
        let sittings = blocks::sittings(&input);
        Self { input, horizon, now, sittings, steps }
    }

    pub(super) fn step(&self, id: &StepId) -> Option<&'a Step> {
        self.steps.get(id).copied()
    }

    pub(super) fn order(&self, id: OrderId) -> Option<&'a Order> {
        self.input.book.orders.get(&id)
    }

    /// At most two letters that stand for an order on blocks.
    pub(super) fn mark(&self, id: OrderId) -> String {
        self.order(id).map_or_else(|| id.0.to_string(), Order::mark)
    }

    /// First start and last end of a placed step.
    pub(super) fn extent(&self, id: &StepId) -> Option<Span> {
        let mut own = self.sittings.iter().filter(|sitting| &sitting.step.id == id);
        let first = own.next()?;
        let end = own.next_back().unwrap_or(first).span.end;
        Some(Span { start: first.span.start, end })
    }

    /// When what names a step or a handover point begins.
    pub(super) fn start_of(&self, id: &StepId) -> Option<Elapsed> {
        if let Some(extent) = self.extent(id) {
            return Some(extent.start);
        }
        let point = self.input.outlook.work.handovers.iter().find(|point| &point.id == id)?;
        Some(self.horizon.elapsed(point.leaves))
    }

    /// The client's name, or the theme where there is no name.
    pub(super) fn order_title(&self, id: OrderId) -> String {
        match self.order(id) {
            Some(order) if !order.client.trim().is_empty() => order.client.trim().to_owned(),
            Some(order) if !order.theme.trim().is_empty() => order.theme.trim().to_owned(),
            _ => format!("order {}", id.0),
        }
    }
}

/// The first day, a Monday, of the horizon's week that contains a date. May lie outside the horizon.
pub fn first_day_of_week_with(horizon: &Horizon, date: Date) -> i32 {
    let days = date.monday().days_since(horizon.start);
    i32::try_from(days).unwrap_or(0)
}

impl WeekView {
    /// Lays out a week.
    pub fn of(input: WeekInput<'_>) -> Self {
        let context = Context::of(input);
        let stays = standing::stays(&context);
        let places = input
            .book
            .kitchen
            .as_ref()
            .map_or_else(Vec::new, |kitchen| use_over_time(kitchen, context.horizon, &stays));
        let mut days: Vec<DayView> = (input.first_day..input.first_day + 7)
            .map(|day| context.day(day, &places, &stays))
            .collect();
        let threads = threads::lay(threads::threads(&context), &days);
        let problems = problems::problems(&context);
        let old = past_best::past_best(&context);
        for (column, day) in days.iter_mut().enumerate() {
            day.runs = threads::runs(&threads, column);
            blocks::mark_breaches(&mut day.blocks, &problems);
            blocks::mark_past_best(&mut day.blocks, &old);
            day.list = list::list(&context, day);
        }
        let any_work = !context.sittings.is_empty() || !input.outlook.work.handovers.is_empty();
        Self { title: title(&days), days, threads, problems, any_work }
    }

    /// The block of a sitting, with its day's place among the seven.
    pub fn block(&self, key: &super::BlockKey) -> Option<(usize, &Block)> {
        self.days.iter().enumerate().find_map(|(index, day)| {
            Some((index, day.blocks.iter().find(|block| &block.key == key)?))
        })
    }
}

/// "23–29 Nov 2026", "30 Nov–6 Dec 2026".
fn title(days: &[DayView]) -> String {
    let (Some(first), Some(last)) = (days.first(), days.last()) else { return String::new() };
    let ((_, first_month, first_day), (year, month, _)) = (first.date.parts(), last.date.parts());
    if first_month == month {
        format!("{first_day}–{} {year}", last.date_text)
    } else {
        format!("{}–{} {year}", first.date_text, last.date_text)
    }
}

impl Context<'_> {
    fn day(&self, day: i32, places: &[Occupancy], stays: &[Stay]) -> DayView {
        let span = day_span(self.horizon, day);
        let occupied: Vec<Span> = self
            .sittings
            .iter()
            .filter(|sitting| sitting.shown())
            .filter_map(|sitting| sitting.span.shared(span))
            .collect();
        let unfolded = |key: FoldKey| self.input.unfolded.contains(&key);
        let axis =
            DayAxis::of(self.horizon, day, &self.input.outlook.windows, &occupied, &unfolded);
        let date = date_of(self.horizon, day);
        let today = span.start <= self.now && self.now < span.end;
        let blocks = blocks::blocks(self, day, &axis);
        let own = blocks.iter().filter(|block| block.kind.hands_on() && block.helper.is_none());
        let hands_on = own.map(Block::length).sum();
        DayView {
            day,
            date,
            short: day_short(date),
            name: day_name(date),
            date_text: day_and_month(date),
            today,
            past: span.end <= self.now,
            now_y: today.then(|| axis.y_of(self.now)),
            handovers: self.handovers(span, &axis),
            gauges: gauges::gauges(self, day, span, places, stays),
            axis,
            blocks,
            runs: Vec::new(),
            hands_on,
            list: Vec::new(),
        }
    }

    fn handovers(&self, day: Span, axis: &DayAxis) -> Vec<HandoverMark> {
        let mut marks: Vec<HandoverMark> = self
            .input
            .outlook
            .work
            .handovers
            .iter()
            .filter_map(|point| {
                let at = self.horizon.elapsed(point.leaves);
                (day.start <= at && at < day.end).then(|| HandoverMark {
                    order: point.order,
                    mark: self.mark(point.order),
                    y: axis.y_of(at),
                    at,
                    time: time_of(self.horizon.wall(at)),
                    text: format!("{} leaves", self.order_title(point.order)),
                })
            })
            .collect();
        marks.arrange_by_key(|mark| (mark.at, mark.order));
        marks
    }
}
