//! What stands where and when, as the plan has it.

use crate::breakdown::{Rest, RestChoice, RestStay, StepNeed};
use crate::calendar::{Elapsed, Span};
use crate::kitchen::Stay;
use crate::order::OrderId;

use super::view::Context;

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

/// All rests that are placed and last at all, in the order of the work.
pub(super) fn placed_rests<'a>(context: &Context<'a>) -> Vec<PlacedRest<'a>> {
    let (work, plan) = (&context.input.outlook.work, context.input.plan);
    work.rests
        .iter()
        .filter_map(|rest| {
            let step = context.step(&rest.from)?;
            let start = context.extent(&rest.from)?.end;
            let end = context.start_of(&rest.to)?;
            let named = plan.modes.get(&rest.id);
            let choice = rest
                .choices
                .iter()
                .find(|choice| Some(&choice.name) == named)
                .or_else(|| rest.choices.first())?;
            let span = Span { start, end };
            (start < end).then_some(PlacedRest { rest, choice, order: step.order, span })
        })
        .collect()
}

/// Everything that stands anywhere: what rests, what is worked on, what waits between sittings.
pub(super) fn stays(context: &Context<'_>) -> Vec<Stay> {
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
        for (span, at) in placed.parts() {
            if span.is_empty() {
                continue;
            }
            all.extend(at.map(|at| stay(at, span, &placed.rest.what, placed.order)));
        }
    }
    for sitting in &context.sittings {
        for need in &sitting.step.needs {
            if let StepNeed::Stand(at) = need {
                all.push(stay(at, sitting.span, &sitting.step.name, sitting.step.order));
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
            all.push(stay(at, pause, &label, before.step.order));
        }
    }
    all
}
