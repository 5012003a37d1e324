//! What stands where and when, as the plan has it.

use crate::breakdown::{Rest, RestChoice, RestStay, StepId, StepNeed};
use crate::calendar::{Elapsed, Span};
use crate::kitchen::Stay;
use crate::order::OrderId;
use crate::plan::arrange::Arrange;

use super::blocks::BlockKind;
use super::sheet;
use super::view::{Context, WeekInput};
use super::words::{at_place, full_day, time_of};

/// Something that stands somewhere for a while, what it is for, and where it goes next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stood {
    /// Names it as long as the work is the same: the rest and its part, or the step and its sitting.
    pub id: String,
    /// What stands where and when.
    pub stay: Stay,
    /// Whose.
    pub order: OrderId,
    /// The step that made it, or that is worked on.
    pub made_by: StepId,
    /// What follows, for example "“Pipe the details” on Friday 27 Nov 19:00".
    pub next: String,
    /// How long it may rest in all, with the source; empty when nothing limits it.
    pub limit: String,
}

/// A rest as placed: from the end of what it follows to the start of what it comes before.
pub(super) struct PlacedRest<'a> {
    pub(super) rest: &'a Rest,
    pub(super) choice: &'a RestChoice,
    pub(super) order: OrderId,
    pub(super) span: Span,
}

impl PlacedRest<'_> {
    /// The rest's stretches with where it stands: up to the tail, and the tail.
    pub(super) fn parts(&self) -> Vec<(Span, Option<&RestStay>)> {
        let Some((minutes, tail)) = &self.choice.tail else {
            return vec![(self.span, self.choice.stay.as_ref())];
        };
        let minutes = i32::try_from(*minutes).unwrap_or(i32::MAX);
        let turn = Elapsed(self.span.end.0.saturating_sub(minutes)).max(self.span.start);
        let first = Span { start: self.span.start, end: turn };
        let last = Span { start: turn, end: self.span.end };
        [(first, self.choice.stay.as_ref()), (last, tail.as_ref())]
            .into_iter()
            .filter(|(span, _)| span.start < span.end)
            .collect()
    }
}

/// The way in which the plan has it rest.
pub(super) fn chosen<'a>(context: &Context<'a>, rest: &'a Rest) -> Option<&'a RestChoice> {
    let named = context.input.plan.modes.get(&rest.id);
    let found = rest.choices.iter().find(|choice| Some(&choice.name) == named);
    found.or_else(|| rest.choices.first())
}

/// All rests that are placed and last at all, in the order of the work.
pub(super) fn placed_rests<'a>(context: &Context<'a>) -> Vec<PlacedRest<'a>> {
    let work = &context.input.outlook.work;
    work.rests
        .iter()
        .filter_map(|rest| {
            let step = context.step(&rest.from)?;
            let start = context.extent(&rest.from)?.end;
            let end = context.start_of(&rest.to)?;
            let choice = chosen(context, rest)?;
            let span = Span { start, end };
            (start < end).then_some(PlacedRest { rest, choice, order: step.order, span })
        })
        .collect()
}

/// Everything that stands anywhere: what rests, what is worked on, what waits between sittings.
pub fn standing(input: WeekInput<'_>) -> Vec<Stood> {
    stood(&Context::of(input))
}

/// When hands work, on what: the work zone of the counter is theirs then. By start.
pub fn working(input: WeekInput<'_>) -> Vec<(Span, String)> {
    let context = Context::of(input);
    let by_hand = context.sittings.iter().filter(|one| BlockKind::of(one.step.kind).hands_on());
    let mut all: Vec<(Span, String)> = by_hand
        .map(|one| (one.span, format!("{} {}", context.mark(one.step.order), one.step.name)))
        .collect();
    all.arrange_by_key(|(span, _)| (span.start, span.end));
    all
}

/// What [`standing`] says, without what it is for.
pub(super) fn stays(context: &Context<'_>) -> Vec<Stay> {
    stood(context).into_iter().map(|stood| stood.stay).collect()
}

fn stood(context: &Context<'_>) -> Vec<Stood> {
    let stay = |at: &RestStay, span: Span, label: &str, order: OrderId| Stay {
        place: at.place,
        boxes: at.boxes.clone(),
        label: label.to_owned(),
        mark: context.mark(order),
        span,
    };
    let grid = i32::from(context.input.outlook.assembled.problem.grid_minutes.max(1));
    let mut all = Vec::new();
    for mut placed in placed_rests(context) {
        // As it was packed: what leaves between two slots is taken from its place at the earlier one.
        let span = &mut placed.span;
        span.end = Elapsed(span.end.0.div_euclid(grid) * grid).max(span.start);
        let (rest, choice) = (placed.rest, placed.choice);
        let parts = placed.parts();
        for (index, (span, at)) in parts.iter().enumerate() {
            let Some(at) = at.filter(|_| !span.is_empty()) else { continue };
            let next = match parts.get(index + 1) {
                Some((later, Some(there))) => {
                    format!("{} on {}", at_place(there.place), day_and_time(context, later.start))
                }
                Some((later, None)) => format!("out on {}", day_and_time(context, later.start)),
                None => follower(context, &rest.to, placed.order),
            };
            let limit = sheet::way_limit(choice);
            all.push(Stood {
                id: format!("{}.{index}", rest.id),
                stay: stay(at, *span, &rest.what, placed.order),
                order: placed.order,
                made_by: rest.from.clone(),
                next,
                limit,
            });
        }
    }
    for sitting in &context.sittings {
        let step = sitting.step;
        for (index, need) in step.needs.iter().enumerate() {
            if let StepNeed::Stand(at) = need {
                all.push(Stood {
                    id: format!("{}.stand{}.{index}", step.id.0, sitting.index),
                    stay: stay(at, sitting.span, &step.name, step.order),
                    order: step.order,
                    made_by: step.id.clone(),
                    next: "what this step makes of it".to_owned(),
                    limit: String::new(),
                });
            }
        }
    }
    for pair in context.sittings.windows(2) {
        if let [before, after] = pair
            && before.step.id == after.step.id
            && let Some(at) = &before.step.pause_at
            && before.span.end < after.span.start
        {
            let label = format!("{}, between sittings", before.step.product);
            let pause = Span::new(before.span.end, after.span.start);
            all.push(Stood {
                id: format!("{}.pause{}", before.step.id.0, before.index),
                stay: stay(at, pause, &label, before.step.order),
                order: before.step.order,
                made_by: before.step.id.clone(),
                next: follower(context, &after.step.id, before.step.order),
                limit: String::new(),
            });
        }
    }
    all
}

/// "“Pipe the details” on Friday 27 Nov 19:00", "the handover to Mira Holm on Saturday 28 Nov 15:00".
fn follower(context: &Context<'_>, to: &StepId, order: OrderId) -> String {
    let name = match context.step(to) {
        Some(step) => format!("“{}”", step.name),
        None => format!("the handover to {}", context.order_title(order)),
    };
    match context.start_of(to) {
        Some(start) => format!("{name} on {}", day_and_time(context, start)),
        None => name,
    }
}

fn day_and_time(context: &Context<'_>, moment: Elapsed) -> String {
    let wall = context.horizon.wall(moment);
    format!("{} {}", full_day(wall.date()), time_of(wall))
}
