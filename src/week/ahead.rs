//! The days ahead: how much work by hand each of them holds, and what of a heavy one can be done before.

use crate::breakdown::StepId;
use crate::calendar::{Date, Elapsed, MyTime};
use crate::plan::arrange::Arrange;
use crate::plan::possible_starts;

use super::blocks::{BlockKind, BlockState, Sitting};
use super::view::{Context, WeekInput};
use super::words::{day_name, duration};

/// So many days are looked at, today's among them.
const DAYS: i64 = 7;
/// A day is heavy from so many per cent of what it may hold on.
const HEAVY: i64 = 85;

/// A day ahead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AheadDay {
    /// "Thursday".
    pub day: String,
    /// "2 h 55 min of 3 h".
    pub amount: String,
    /// Thousandths of what the day may hold, at most 1000.
    pub share: u16,
    /// Whether it is a heavy one.
    pub heavy: bool,
    /// Of a heavy one: "“Make the icing” (Mira) can be done on Tuesday already".
    pub words: Option<String>,
}

/// The days from today on that hold work by hand. What may come before was bounded by the planner, not searched: it is
/// likely, and moving it there shows.
pub fn look_ahead(input: WeekInput<'_>) -> Vec<AheadDay> {
    let context = Context::of(input);
    let today = context.horizon.wall(context.now).date();
    let typical = MyTime::typical();
    let time = input.book.time.as_ref().unwrap_or(&typical);
    let mut days = Vec::new();
    for date in (0..DAYS).map(|after| today.plus_days(after)) {
        let of_day = by_hand(&context, date);
        let minutes: i64 = of_day.iter().map(|one| i64::from(one.span.minutes())).sum();
        if minutes == 0 {
            continue;
        }
        let limit = i64::from(time.hands_on_limit(date)).max(1);
        let heavy = limit * HEAVY <= minutes * 100;
        let words = |minutes: i64| duration(i32::try_from(minutes).unwrap_or(i32::MAX));
        days.push(AheadDay {
            day: if date == today { "Today".to_owned() } else { day_name(date).to_owned() },
            amount: format!("{} of {}", words(minutes), words(limit)),
            share: u16::try_from((minutes * 1000 / limit).clamp(0, 1000)).unwrap_or(1000),
            heavy,
            words: (heavy && date != today).then(|| before(&context, date, &of_day)).flatten(),
        });
    }
    days
}

/// Sittings by hand that begin on a date, by start.
fn by_hand<'a, 'b>(context: &'b Context<'a>, date: Date) -> Vec<&'b Sitting<'a>> {
    let all = context
        .sittings
        .iter()
        .filter(|one| BlockKind::of(one.step.kind).hands_on() && one.helper.is_none());
    let mut own: Vec<&Sitting<'_>> = all
        .filter(|one| one.shown() && context.horizon.wall(one.span.start).date() == date)
        .collect();
    own.arrange_by_key(|one| one.span.start);
    own
}

/// The longest sitting of a day that can be worked on a day before: on which, the one with the least work.
fn before(context: &Context<'_>, date: Date, of_day: &[&Sitting<'_>]) -> Option<String> {
    let mut movable: Vec<&&Sitting<'_>> = of_day
        .iter()
        .filter(|one| BlockState::of(context, &one.step.id, one.index) == BlockState::Planned)
        .collect();
    movable.arrange_by_key(|one| std::cmp::Reverse(one.span.minutes()));
    movable.into_iter().find_map(|one| {
        let to = earlier(context, &one.step.id, one.index, date)?;
        let whose = context.order_title(one.step.order);
        let when =
            if to == context.horizon.wall(context.now).date() { "today" } else { day_name(to) };
        let on = if when == "today" { String::new() } else { "on ".to_owned() };
        Some(format!("“{}” ({whose}) can be done {on}{when} already", one.step.name))
    })
}

/// The day before a date on which a sitting may start, with the least work by hand on it.
fn earlier(context: &Context<'_>, step: &StepId, segment: usize, date: Date) -> Option<Date> {
    let problem = &context.input.outlook.assembled.problem;
    let grid = i32::from(problem.grid_minutes.max(1));
    let spans = possible_starts(problem, context.input.plan, &step.0, segment);
    let mut days: Vec<Date> = Vec::new();
    for (from, to) in spans {
        let mut slot = from;
        while slot < to {
            let start = Elapsed(slot.saturating_mul(grid));
            let on = context.horizon.wall(start).date();
            if context.now <= start && on < date && !days.contains(&on) {
                days.push(on);
            }
            slot += 1;
        }
    }
    let work = |on: &Date| -> i64 {
        by_hand(context, *on).iter().map(|one| i64::from(one.span.minutes())).sum()
    };
    days.into_iter().min_by_key(|on| (work(on), std::cmp::Reverse(*on)))
}

#[cfg(test)]
mod tests {
    use super::super::fixture::fixture;
    use super::*;

    #[test]
    fn a_day_is_heavy_by_what_it_may_hold_and_names_what_can_go_before() {
        let fixture = fixture();
        let days = look_ahead(fixture.input());
        let amounts: Vec<(&str, &str)> =
            days.iter().map(|day| (day.day.as_str(), day.amount.as_str())).collect();
        assert!(!amounts.is_empty(), "{amounts:?}");
        let before: Vec<bool> = days.iter().map(|day| day.heavy).collect();
        // The same week of a baker whose evenings hold an hour.
        let mut short = fixture;
        let mut time = MyTime::typical();
        time.limits.hands_on_workday = 60;
        short.book.time = Some(time);
        let days = look_ahead(short.input());
        assert!(days.iter().all(|day| day.amount.ends_with(" of 1 h")), "{days:?}");
        assert!(
            before.iter().filter(|heavy| **heavy).count()
                < days.iter().filter(|day| day.heavy).count()
        );
        let friday = days.iter().find(|day| day.day == "Friday").expect("pipes on Friday");
        assert!(friday.heavy && friday.share == 1000, "{friday:?}");
        let words = "“Pipe the details” (Mira Holm) can be done on Thursday already";
        assert_eq!(friday.words.as_deref(), Some(words));
        // What she pinned stays, and is not spoken of.
        let start = "2026-11-27T19:00".parse().expect("a moment");
        let pin = crate::record::Pin { starts: vec![start], done: false };
        short.book.pins.insert(StepId("o1.i1.pipe".into()), pin);
        let days = look_ahead(short.input());
        assert_eq!(days.last().map(|day| (day.heavy, day.words.clone())), Some((true, None)));
    }
}
