//! What does not fit, in the baker's words, with the blocks that it is about.

use crate::breakdown::{AgeLimit, Cut, Rest, StepId};
use crate::calendar::Elapsed;
use crate::plan::arrange::Arrange;
use crate::plan::check::{Breach, BreachKind};

use super::blocks::BlockKey;
use super::gauges::excess;
use super::together::{Together, place_of};
use super::view::Context;
use super::words::{capitalised, day_time, duration};

/// Something that does not fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProblemView {
    /// In a sentence.
    pub text: String,
    /// The day of the horizon on which it shows; none when it is about no moment.
    pub day: Option<i32>,
    /// When it shows, in elapsed minutes; none when it is about no moment.
    pub at: Option<Elapsed>,
    /// Blocks that it is about, the first one to be jumped to.
    pub blocks: Vec<BlockKey>,
}

/// All problems of the horizon, by the moment at which they show: first what the plan breaks, then what
/// cannot be made as asked.
pub(super) fn problems(context: &Context<'_>) -> Vec<ProblemView> {
    let breaches = &context.input.report.breaches;
    let mut problems: Vec<ProblemView> = breaches
        .iter()
        .filter(|breach| !said_by_another(breaches, breach))
        .map(|breach| in_words(context, breach))
        .collect();
    problems.arrange_by(|a, b| (a.at, &a.text).cmp(&(b.at, &b.text)));
    problems.dedup_by(|a, b| a.text == b.text);
    problems.extend(context.input.outlook.work.notes.iter().filter(|note| note.problem).map(
        |note| ProblemView {
            text: format!("{}: {}", context.order_title(note.order), note.text),
            day: None,
            at: None,
            blocks: Vec::new(),
        },
    ));
    problems
}

/// A place is checked once for each height of its shelves; the baker is told of the worst only.
fn said_by_another(breaches: &[Breach], breach: &Breach) -> bool {
    // What does not stand together is said in its own words, and of each set.
    let class = |id: &str| place_of(id).filter(|_| Cut::named(id).is_none());
    let place = class(&breach.id);
    let same = |other: &&Breach| {
        place.is_some()
            && class(&other.id) == place
            && (other.kind, other.at) == (breach.kind, breach.at)
    };
    breaches.iter().filter(same).any(|other| {
        (other.by, std::cmp::Reverse(&other.id)) > (breach.by, std::cmp::Reverse(&breach.id))
    })
}

fn in_words(context: &Context<'_>, breach: &Breach) -> ProblemView {
    let grid = i32::from(context.input.outlook.assembled.problem.grid_minutes.max(1));
    let at = Elapsed(breach.at.saturating_mul(grid));
    let by = i32::try_from(breach.by).unwrap_or(i32::MAX).saturating_mul(grid);
    let work = &context.input.outlook.work;
    let subject = Subject::of(context, &breach.id);
    let text = match (&subject, breach.kind) {
        (Subject::Step(step), kind) => about_step(context, step, kind, at, by),
        (Subject::Rest(rest), kind) => about_rest(context, rest, kind, at, by),
        (Subject::Limit(limit), _) => format!(
            "{} ({}): kept {} too long, from {}",
            capitalised(&limit.what),
            context.step(&limit.from).map_or_else(String::new, |s| context.order_title(s.order)),
            duration(by),
            day_time(context.horizon, at)
        ),
        (Subject::Handover(order), _) => {
            format!("{order} is not ready when it leaves: {} late", duration(by))
        }
        (Subject::Worker, _) => format!(
            "{} holds {} more work than a day may",
            capitalised(super::words::day_name(context.horizon.wall(at).date())),
            duration(by)
        ),
        (Subject::Resource(name), _) => overfull(context, &breach.id, name, at, breach),
        (Subject::Unknown, _) => breach.text.clone(),
    };
    let blocks = match &subject {
        Subject::Step(id) => blocks_of(context, id, at),
        Subject::Rest(rest) => {
            let mut blocks = blocks_of(context, &rest.to, at);
            blocks.extend(blocks_of(context, &rest.from, at));
            blocks
        }
        Subject::Limit(limit) => blocks_of(context, &limit.from, at),
        Subject::Handover(_) => work
            .rests
            .iter()
            .filter(|rest| rest.to.0 == breach.id)
            .flat_map(|rest| blocks_of(context, &rest.from, at))
            .collect(),
        Subject::Resource(_) => users(context, &breach.id, at),
        Subject::Worker | Subject::Unknown => Vec::new(),
    };
    let date = context.horizon.wall(at).date();
    let day = i32::try_from(date.days_since(context.horizon.start)).ok();
    ProblemView { text, day, at: Some(at), blocks }
}

/// What a breach is about, found by its id.
enum Subject<'a> {
    Step(&'a StepId),
    Rest(&'a Rest),
    Limit(&'a AgeLimit),
    Handover(String),
    Worker,
    Resource(String),
    Unknown,
}

impl<'a> Subject<'a> {
    fn of(context: &Context<'a>, id: &str) -> Self {
        let work = &context.input.outlook.work;
        let problem = &context.input.outlook.assembled.problem;
        if let Some(step) = work.steps.iter().find(|step| step.id.0 == id) {
            Self::Step(&step.id)
        } else if let Some(rest) = work.rests.iter().find(|rest| rest.id == id) {
            Self::Rest(rest)
        } else if let Some(limit) = work.limits.iter().find(|limit| limit.id == id) {
            Self::Limit(limit)
        } else if let Some(point) = work.handovers.iter().find(|point| point.id.0 == id) {
            Self::Handover(context.order_title(point.order))
        } else if problem.workers.iter().any(|worker| worker.id == id) {
            Self::Worker
        } else if problem.resources.iter().any(|resource| resource.id == id) {
            Self::Resource(place_of(id).map_or_else(|| id.to_owned(), |p| p.name().to_owned()))
        } else {
            Self::Unknown
        }
    }
}

fn about_step(
    context: &Context<'_>,
    id: &StepId,
    kind: BreachKind,
    at: Elapsed,
    by: i32,
) -> String {
    let name = context.step(id).map_or(id.0.as_str(), |step| step.name.as_str());
    let order = context.step(id).map_or_else(String::new, |step| context.order_title(step.order));
    let what = format!("{name} ({order})");
    let moment = day_time(context.horizon, at);
    match kind {
        BreachKind::Missing => format!("{what} has no free window before its handover"),
        BreachKind::Window => format!("{what} runs outside free time on {moment}"),
        BreachKind::Clash => {
            format!("{what} overlaps other hands-on work on {moment} for {}", duration(by))
        }
        BreachKind::Limit => format!("{what} is more than the day may hold, on {moment}"),
        BreachKind::Overfull => format!("{what} needs more room than there is on {moment}"),
        BreachKind::TooShort => format!("The sittings of {what} overlap by {}", duration(by)),
        BreachKind::TooLong => {
            format!("The pause between sittings of {what} is {} too long", duration(by))
        }
        BreachKind::OutOfTime => format!("{what} is {} out of its time, on {moment}", duration(by)),
        BreachKind::Pin => format!("{what} could not stay where it was pinned"),
    }
}

fn about_rest(
    context: &Context<'_>,
    rest: &Rest,
    kind: BreachKind,
    at: Elapsed,
    by: i32,
) -> String {
    let what = capitalised(&rest.what);
    let order = context.step(&rest.from).map_or_else(String::new, |s| context.order_title(s.order));
    let moment = day_time(context.horizon, at);
    match kind {
        BreachKind::TooShort => {
            format!("{what} ({order}): the rest from {moment} is {} too short", duration(by))
        }
        BreachKind::TooLong => {
            format!("{what} ({order}): kept {} too long, from {moment}", duration(by))
        }
        _ => format!("{what} ({order}) cannot rest as planned from {moment}"),
    }
}

/// "Fridge overfull on Friday 20:00–23:15 by 3 dm²".
fn overfull(context: &Context<'_>, id: &str, name: &str, at: Elapsed, breach: &Breach) -> String {
    let problem = &context.input.outlook.assembled.problem;
    let grid = i32::from(problem.grid_minutes.max(1));
    let end = Elapsed(overfull_until(context, id, breach.at).saturating_mul(grid));
    let start = day_time(context.horizon, at);
    let same_day = context.horizon.wall(at).date() == context.horizon.wall(end).date();
    let stretch = if same_day {
        format!("{start}–{}", super::words::time_of(context.horizon.wall(end)))
    } else {
        format!("{start} to {}", day_time(context.horizon, end))
    };
    if let Some(together) = Together::of(context, id) {
        return format!("{}: {stretch}", capitalised(&together.trouble(at)));
    }
    let Some(place) = place_of(id) else {
        return format!("{} needed twice on {stretch}", capitalised(name));
    };
    let excess = excess(place, u32::try_from(breach.by).unwrap_or(u32::MAX));
    format!("{} overfull on {stretch} by {excess}", capitalised(name))
}

/// The first slot after `from` at which a resource holds what it must.
fn overfull_until(context: &Context<'_>, id: &str, from: i32) -> i32 {
    let problem = &context.input.outlook.assembled.problem;
    let Some(resource) = problem.resources.iter().find(|resource| resource.id == id) else {
        return from;
    };
    let taken = taken(context, id);
    let over = |slot: i32| {
        let units: i64 = taken
            .iter()
            .filter(|(start, end, _)| *start <= slot && slot < *end)
            .map(|(_, _, units)| units)
            .sum();
        units > resource.capacity
    };
    (from..problem.horizon).find(|slot| !over(*slot)).unwrap_or(problem.horizon)
}

/// What is taken of a resource: from slot, to slot, units.
fn taken(context: &Context<'_>, id: &str) -> Vec<(i32, i32, i64)> {
    let (problem, plan) = (&context.input.outlook.assembled.problem, context.input.plan);
    let units = |amounts: &[(String, i64)]| -> i64 {
        amounts.iter().filter(|(name, _)| name == id).map(|(_, units)| units).sum()
    };
    let extent = |activity: &str| -> Option<(i32, i32)> {
        let lengths = &problem.activities.iter().find(|one| one.id == activity)?.segments;
        let starts = plan.starts.get(activity)?;
        Some((*starts.first()?, starts.last()? + lengths.last()?))
    };
    let mut taken: Vec<(i32, i32, i64)> = Vec::new();
    for resource in problem.resources.iter().filter(|resource| resource.id == id) {
        taken.extend(&resource.busy);
    }
    for activity in &problem.activities {
        let starts = plan.starts.get(&activity.id).map_or(&[][..], Vec::as_slice);
        let spans: Vec<(i32, i32)> =
            starts.iter().zip(&activity.segments).map(|(s, n)| (*s, s + n)).collect();
        taken.extend(spans.iter().map(|(s, e)| (*s, *e, units(&activity.uses))));
        for pair in spans.windows(2) {
            if let [before, after] = pair {
                taken.push((before.1, after.0, units(&activity.hold)));
            }
        }
    }
    for link in &problem.links {
        let (Some(from), Some(to)) = (extent(&link.from), extent(&link.to)) else { continue };
        let (start, end) = (from.1, to.0);
        let chosen = plan.modes.get(&link.id);
        match link.modes.iter().find(|mode| Some(&mode.name) == chosen) {
            Some(mode) => {
                let tail = mode.tail.as_ref().map_or(0, |tail| tail.len);
                taken.push((start, end - tail, units(&mode.store)));
                if let Some(tail) = &mode.tail {
                    taken.push((end - tail.len, end, units(&tail.store)));
                }
            }
            None => taken.push((start, end, units(&link.store))),
        }
    }
    taken.retain(|(start, end, units)| start < end && *units > 0);
    taken
}

/// The sittings of a step, the one at or nearest after `at` first.
fn blocks_of(context: &Context<'_>, id: &StepId, at: Elapsed) -> Vec<BlockKey> {
    let mut own: Vec<_> =
        context.sittings.iter().filter(|sitting| &sitting.step.id == id).collect();
    own.arrange_by_key(|sitting| sitting.span.end <= at);
    own.into_iter().map(super::blocks::Sitting::key).collect()
}

/// The sittings that put something into a place, or use a piece of equipment, at a moment.
fn users(context: &Context<'_>, id: &str, at: Elapsed) -> Vec<BlockKey> {
    if let Some(together) = Together::of(context, id) {
        let steps = together.steps(at);
        return steps.iter().flat_map(|step| blocks_of(context, step, at)).collect();
    }
    let place = place_of(id);
    let mut keys: Vec<BlockKey> = super::standing::placed_rests(context)
        .iter()
        .filter(|placed| {
            placed.parts().iter().any(|(span, stay)| {
                span.contains(at) && place.is_some() && stay.map(|stay| stay.place) == place
            })
        })
        .filter_map(|placed| blocks_of(context, &placed.rest.from, at).into_iter().last())
        .collect();
    let problem = &context.input.outlook.assembled.problem;
    for sitting in context.sittings.iter().filter(|sitting| sitting.span.contains(at)) {
        let uses = problem
            .activities
            .iter()
            .find(|activity| activity.id == sitting.step.id.0)
            .is_some_and(|activity| activity.uses.iter().any(|(name, _)| name == id));
        if uses {
            keys.push(sitting.key());
        }
    }
    keys
}
