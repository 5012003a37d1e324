//! Until when each product of an order keeps, and how much of that is used up when it is handed over.
//!
//! The earliest end of all limits that run to the handover decides: of the way in which the finished thing is kept, and
//! of what ages from an earlier step on. Limits for safety and for quality are told apart.

use crate::breakdown::{Rest, StepId};
use crate::calendar::{Elapsed, Wall};
use crate::order::{ItemId, OrderId};
use crate::plan::arrange::Arrange;

use super::standing::chosen;
use super::view::{Context, WeekInput};
use super::words::{duration, full_day, time_of};

/// Until when one product keeps by a plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Keeps {
    /// Whose.
    pub order: OrderId,
    /// Which of its items.
    pub item: ItemId,
    /// The step that finishes it.
    pub finished_by: StepId,
    /// For example "Decorated cookies".
    pub product: String,
    /// The last moment.
    pub until: Wall,
    /// Whether that is for safety; else for quality.
    pub safety: bool,
    /// Hundredths of its keeping that are used up when it is handed over, rounded up; above 100 it is past.
    pub used: u32,
    /// "Best by Sunday 29 Nov, 20:00".
    pub date: String,
    /// "Best by Sunday 29 Nov, 20:00; 40 % of its keeping is used up at the handover (source)".
    pub words: String,
}

/// A limit as it runs in the plan.
struct Running<'a> {
    from: Elapsed,
    greatest: i32,
    over: u32,
    safety: bool,
    source: &'a str,
}

impl Running<'_> {
    fn end(&self) -> Elapsed {
        self.from.plus(self.greatest)
    }

    fn used(&self, at: Elapsed) -> u32 {
        let passed = i64::from(at.0.saturating_sub(self.from.0).max(0));
        let share =
            (passed * 100 + i64::from(self.greatest.max(1)) - 1) / i64::from(self.greatest.max(1));
        u32::try_from(share).unwrap_or(u32::MAX)
    }
}

/// Every product that is placed and has a limit, by order and item.
pub fn keeps(input: WeekInput<'_>) -> Vec<Keeps> {
    of(&Context::of(input))
}

pub(super) fn of(context: &Context<'_>) -> Vec<Keeps> {
    let work = &context.input.outlook.work;
    let finished = work.rests.iter().filter(|rest| work.is_last(rest));
    let mut all: Vec<Keeps> = finished.filter_map(|rest| one(context, rest)).collect();
    all.arrange_by_key(|keeps| (keeps.order, keeps.item));
    all
}

/// The same of what a step finishes; none where it finishes nothing that leaves.
pub(super) fn finished_by(context: &Context<'_>, step: &StepId) -> Option<Keeps> {
    let work = &context.input.outlook.work;
    let rest = work.rests.iter().find(|rest| rest.from == *step && work.is_last(rest))?;
    one(context, rest)
}

fn one(context: &Context<'_>, rest: &Rest) -> Option<Keeps> {
    let work = &context.input.outlook.work;
    let last = context.step(&rest.from)?;
    let done = context.extent(&rest.from)?.end;
    let order = context.order(last.order)?;
    let handed_over = context.horizon.elapsed(order.handover.at);
    let minutes = |value: u32| i32::try_from(value).unwrap_or(i32::MAX);
    let way = chosen(context, rest)?;
    let of_way = way.greatest.map(|greatest| Running {
        from: done,
        greatest: minutes(greatest),
        over: way.over,
        safety: way.safety,
        source: &way.source,
    });
    let across = work.limits.iter().filter(|limit| limit.to == rest.to).filter_map(|limit| {
        let from = context.step(&limit.from)?;
        let extent = context.extent(&limit.from)?;
        (from.item == last.item).then_some(Running {
            from: if limit.from_start { extent.start } else { extent.end },
            greatest: minutes(limit.greatest),
            over: limit.over,
            safety: limit.safety,
            source: &limit.source,
        })
    });
    let running: Vec<Running<'_>> = of_way.into_iter().chain(across).collect();
    // Where both end at once, safety is what is said.
    let first = running.iter().min_by_key(|limit| (limit.end(), !limit.safety))?;
    let used = running.iter().map(|limit| limit.used(handed_over)).max().unwrap_or(0);
    let until = context.horizon.wall(first.end());
    // What stands in the book was taken, so its rules hold together.
    let profile = context.input.book.settings.rules.profile().ok()?;
    let kind = if first.safety { profile.safety_words() } else { profile.quality_words() };
    let date = format!("{kind} {}, {}", full_day(until.date()), time_of(until));
    let share = if used <= 100 {
        format!("{used} % of its keeping is used up at the handover")
    } else if 0 < first.over {
        let by = duration(handed_over.0 - first.end().0);
        format!("that is {by} before the handover, which this order allows")
    } else {
        "that is before the handover".to_owned()
    };
    let source = match first.source.trim() {
        "" => String::new(),
        source => format!(" ({source})"),
    };
    Some(Keeps {
        order: last.order,
        item: last.item,
        finished_by: last.id.clone(),
        product: last.product.clone(),
        until,
        safety: first.safety,
        used,
        words: format!("{date}; {share}{source}"),
        date,
    })
}

#[cfg(test)]
mod tests {
    use super::super::fixture::fixture;
    use super::*;

    #[test]
    fn the_earliest_end_decides_and_the_greatest_share_is_told() {
        let mut fixture = fixture();
        let found = keeps(fixture.input());
        assert_eq!(found.len(), 1);
        // Piped on Friday until 20:00, best for 2 days; 19 of 48 hours are over on Saturday at 15:00. Baked on Tuesday
        // until 20:30, 10 days: 90 ½ of 240 hours.
        assert_eq!(found[0].date, "Best by Sunday 29 Nov, 20:00");
        assert_eq!((found[0].used, found[0].safety), (40, false));
        assert_eq!(
            found[0].words,
            "Best by Sunday 29 Nov, 20:00; 40 % of its keeping is used up at the handover (common practice, no \
             published source)"
        );
        // A shorter limit for safety from the baking on goes before it.
        fixture.outlook.work.limits[0].greatest = 4 * 24 * 60;
        fixture.outlook.work.limits[0].safety = true;
        let found = keeps(fixture.input());
        assert_eq!(found[0].date, "Eat or throw away by Saturday 28 Nov, 20:30");
        assert_eq!((found[0].used, found[0].safety), (95, true), "90 ½ of 96 hours, rounded up");
        fixture.outlook.work.limits[0].greatest = 24 * 60;
        assert!(keeps(fixture.input())[0].words.contains("that is before the handover"));
    }
}
