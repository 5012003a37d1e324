//! Which steps have not happened, and which have to happen again.

use std::collections::BTreeSet;

use crate::breakdown::StepId;
use crate::record::Command;
use crate::week::view::{Context, WeekInput};

/// A step that the plan had for the past has not happened; nor has what needs it and nobody spoke of.
/// `at`: seconds of universal time.
pub fn not_done(input: WeekInput<'_>, step: &StepId, at: i64) -> Command {
    Command::NotDone(not_done_steps(&Context::of(input), step), at)
}

/// The step, and what needs it, stands in the past, and nobody spoke of.
pub(super) fn not_done_steps(context: &Context<'_>, step: &StepId) -> Vec<StepId> {
    let after = reached(context, step, true).into_iter().filter(|id| id != step);
    let unsaid = after.filter(|id| !is_said(context, id) && is_past(context, id));
    [step.clone()].into_iter().chain(unsaid).collect()
}

/// A batch failed at a step: it and all that led to it have to happen again, and what was made of it since.
/// `at`: seconds of universal time.
pub fn make_again(input: WeekInput<'_>, step: &StepId, at: i64) -> Command {
    let context = Context::of(input);
    let mut all = reached(&context, step, false);
    all.extend(reached(&context, step, true));
    let mut steps: Vec<StepId> = Vec::new();
    for one in &input.outlook.work.steps {
        let concerned =
            all.contains(&one.id) && (is_said(&context, &one.id) || is_past(&context, &one.id));
        if concerned || one.id == *step {
            steps.push(one.id.clone());
        }
    }
    Command::NotDone(steps, at)
}

/// The step and all that it needs, or all that needs it, within its item.
fn reached(context: &Context<'_>, step: &StepId, onward: bool) -> BTreeSet<StepId> {
    let mut found = BTreeSet::from([step.clone()]);
    let mut open = vec![step.clone()];
    let item = context.step(step).map(|step| (step.order, step.item));
    while let Some(here) = open.pop() {
        for rest in &context.input.outlook.work.rests {
            let (near, far) = if onward { (&rest.from, &rest.to) } else { (&rest.to, &rest.from) };
            let same = context.step(far).map(|step| (step.order, step.item)) == item;
            if *near == here && same && found.insert(far.clone()) {
                open.push(far.clone());
            }
        }
    }
    found
}

/// She noted something of it herself.
fn is_said(context: &Context<'_>, step: &StepId) -> bool {
    let book = context.input.book;
    book.pins.get(step).is_some_and(|pin| pin.done)
        || book.progress.get(step).is_some_and(|went| !went.sittings.is_empty())
}

/// The plan has it begin before now.
fn is_past(context: &Context<'_>, step: &StepId) -> bool {
    context.start_of(step).is_some_and(|start| start < context.now)
}
