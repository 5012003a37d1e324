//! One sitting, with all that is needed beside it.

use std::collections::BTreeMap;

use crate::breakdown::{RestStay, Step};
use crate::calendar::{Span, Wall};
use crate::card::Card;
use crate::keeping::CAUTION;
use crate::kitchen::Place;
use crate::order::OrderId;
use crate::record::Progress;
use crate::supply::{amount, good};
use crate::week::blocks::{BlockKey, BlockKind, BlockState, Sitting};
use crate::week::sheet::{age_limit, way_limit};
use crate::week::standing::placed_rests;
use crate::week::threads::{Thread, threads};
use crate::week::view::Context;
use crate::week::words::{at_place, capitalised, duration, full_day, time_range, time_seen_from};

use super::count::{Count, count};
use crate::week::keeps;

/// How a sitting stands, in the order in which it matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum JobState {
    /// Hands are at it, or it is in the oven.
    Running,
    /// Begun, and stopped for a while.
    Paused,
    /// By the plan it is its time.
    Due,
    /// Its time is to come.
    Later,
    /// Its time is over by the plan, and nothing was said of it.
    Unsaid,
    /// Done.
    Done,
}

/// What is to be done with what comes out of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct After {
    /// "base-coated cookies · dry on the rack until Thu 19:10".
    pub words: String,
    /// How long it may rest, with the source; may be empty.
    pub limit: String,
    /// Where and when to look at the picture; none where it takes no place.
    pub picture: Option<(Place, Wall)>,
}

/// A sitting at the bench.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Job {
    /// Which.
    pub key: BlockKey,
    /// Whose.
    pub order: OrderId,
    /// Two letters for the order.
    pub mark: String,
    /// The client's name.
    pub whom: String,
    /// "Flood the base coat".
    pub name: String,
    /// "Decorated cookies".
    pub product: String,
    /// The method card.
    pub card: String,
    /// The step's id on that card.
    pub step: String,
    /// When, by the plan or as it was.
    pub span: Span,
    /// The start, minutes of universal time.
    pub start_utc: i64,
    /// "18:30–19:45".
    pub time: String,
    /// "Tuesday 24 Nov, 18:30–19:45".
    pub when: String,
    /// Minutes that were reckoned for it.
    pub minutes: u32,
    /// "1 h 15 min · fine handwork · sitting 2 of 3".
    pub facts: String,
    /// "24 cookies + 4 spares on 3 trays".
    pub detail: String,
    /// Theme, colours and wishes: what it should look like.
    pub looks: Vec<String>,
    /// Allergies that the client named, with what was agreed; may be empty.
    pub allergies: String,
    /// What goes in: name and amount, for the whole batch.
    pub amounts: Vec<(String, String)>,
    /// Whether the amounts are for more sittings than this one.
    pub amounts_for_all: bool,
    /// What to bring, from where, from when on.
    pub bring: Vec<String>,
    /// Steps before it of which nobody said that they are done.
    pub waits_for: Vec<String>,
    /// For the bench.
    pub notes: Vec<String>,
    /// What goes where afterwards.
    pub after: Vec<After>,
    /// Keeping limits that begin with it and run across later steps.
    pub limits: Vec<String>,
    /// Said when a keeping time shows.
    pub caution: Option<&'static str>,
    /// How it stands.
    pub state: JobState,
    /// Seconds of work in stretches that have ended.
    pub worked: i64,
    /// Since when hands are at it without a pause, seconds of universal time.
    pub since: Option<i64>,
    /// Minutes that it took, once done.
    pub took: Option<u32>,
    /// Its pieces; none where there is nothing to count.
    pub count: Option<Count>,
    /// In the oven: no hands are needed, and it rings.
    pub oven: bool,
}

impl Job {
    /// Seconds worked until an instant.
    pub fn worked_at(&self, now: i64) -> i64 {
        self.worked + self.since.map_or(0, |since| (now - since).max(0))
    }
}

/// What all jobs are read from.
pub(super) struct Around<'a> {
    pub(super) context: &'a Context<'a>,
    cards: Vec<Card>,
    threads: Vec<Thread>,
}

impl<'a> Around<'a> {
    pub(super) fn of(context: &'a Context<'a>) -> Self {
        Self { context, cards: context.input.book.all_cards(), threads: threads(context) }
    }
}

/// All sittings of the horizon that the sheet may speak of.
pub(super) fn jobs(around: &Around<'_>) -> Vec<Job> {
    let (context, day) = (around.context, 24 * 60);
    context
        .sittings
        .iter()
        .filter(|sitting| sitting.shown())
        .filter(|sitting| {
            let (start, end) = (sitting.span.start, sitting.span.end);
            let near = context.now.since(end) <= 2 * day && start.since(context.now) <= day;
            near || went(context, sitting.step)
                .is_some_and(|went| went.done() < went.sittings.len())
        })
        .map(|sitting| job(around, sitting))
        .collect()
}

fn went<'a>(context: &Context<'a>, step: &Step) -> Option<&'a Progress> {
    context.input.book.progress.get(&step.id)
}

fn state(context: &Context<'_>, sitting: &Sitting<'_>) -> JobState {
    if BlockState::of(context, &sitting.step.id, sitting.index) == BlockState::Done {
        return JobState::Done;
    }
    let worked = went(context, sitting.step).and_then(|went| went.sittings.get(sitting.index));
    match worked {
        Some(worked) if worked.left().is_none() => return JobState::Running,
        Some(_) => return JobState::Paused,
        None => {}
    }
    if sitting.span.end <= context.now {
        // What something was made of is there.
        if used_up(context, sitting.step) { JobState::Done } else { JobState::Unsaid }
    } else if sitting.span.start <= context.now {
        JobState::Due
    } else {
        JobState::Later
    }
}

/// Whether a step after it has been begun.
fn used_up(context: &Context<'_>, step: &Step) -> bool {
    let book = context.input.book;
    let begun = |id| {
        book.progress.get(id).is_some_and(|went| !went.sittings.is_empty())
            || book.pins.get(id).is_some_and(|pin| pin.done)
    };
    context.input.outlook.work.rests.iter().any(|rest| rest.from == step.id && begun(&rest.to))
}

/// Everything about one sitting.
pub(super) fn job(around: &Around<'_>, sitting: &Sitting<'_>) -> Job {
    let context = around.context;
    let (step, horizon, input) = (sitting.step, context.horizon, &context.input);
    let order = context.order(step.order);
    let time = time_range(horizon, sitting.span.start, sitting.span.end);
    let own = went(context, step).and_then(|went| went.sittings.get(sitting.index));
    let reckoned = input.outlook.reckoned.get(&step.id).and_then(|all| all.get(sitting.index));
    let planned = step.sittings.get(sitting.index).copied().unwrap_or(0);
    let minutes = reckoned.copied().unwrap_or(planned);
    let kind = BlockKind::of(step.kind);
    let length = duration(i32::try_from(minutes).unwrap_or(i32::MAX));
    let part =
        (sitting.count > 1).then(|| format!("sitting {} of {}", sitting.index + 1, sitting.count));
    let by = sitting.helper.as_ref().map(|helper| format!("by {helper}"));
    let facts = [length, kind.text().to_owned()].into_iter().chain(part).chain(by);
    let facts: Vec<String> = facts.collect();
    let item = order.and_then(|order| order.items.iter().find(|item| item.id == step.item));
    let looks = [order.map(|order| &order.theme), item.map(|item| &item.notes)];
    let looks = looks.into_iter().flatten().map(|text| text.trim().to_owned());
    let mut limits: Vec<String> = Vec::new();
    for one in input.outlook.work.limits.iter().filter(|one| one.from == step.id) {
        let line = age_limit(one);
        // A component has one for each step that uses it.
        if !limits.contains(&line) {
            limits.push(line);
        }
    }
    if sitting.index + 1 == sitting.count {
        limits.extend(keeps::finished_by(context, &step.id).map(|one| one.words));
    }
    let after = if sitting.index + 1 == sitting.count { after(around, step) } else { Vec::new() };
    let limited = !limits.is_empty() || after.iter().any(|one| !one.limit.is_empty());
    let bring = if sitting.index == 0 { bring(context, step) } else { paused(sitting) };
    Job {
        key: sitting.key(),
        order: step.order,
        mark: context.mark(step.order),
        whom: context.order_title(step.order),
        name: step.name.clone(),
        product: step.product.clone(),
        card: step.card.clone(),
        step: step.id.0.rsplit('.').next().unwrap_or_default().to_owned(),
        span: sitting.span,
        start_utc: horizon.utc(sitting.span.start),
        when: format!("{}, {time}", full_day(horizon.wall(sitting.span.start).date())),
        time,
        minutes,
        facts: facts.join(" · "),
        detail: step.detail.clone(),
        looks: looks.filter(|text| !text.is_empty()).collect(),
        allergies: order.map_or_else(String::new, |order| {
            let texts = [order.allergies.trim(), order.agreed.trim()];
            texts
                .into_iter()
                .filter(|text| !text.is_empty())
                .collect::<Vec<_>>()
                .join(" · agreed: ")
        }),
        amounts: amounts(context, step),
        amounts_for_all: sitting.count > 1,
        bring,
        waits_for: waits_for(context, step),
        notes: step.notes.clone(),
        caution: limited.then_some(CAUTION),
        after,
        limits,
        state: state(context, sitting),
        worked: own.map_or(0, |worked| {
            worked.stretches.iter().filter_map(|one| Some(one.to? - one.from)).sum()
        }),
        since: own.and_then(|worked| {
            worked.stretches.last().filter(|one| one.to.is_none()).map(|one| one.from)
        }),
        took: own.and_then(crate::record::Worked::minutes),
        count: count(context, &around.cards, step),
        oven: kind == BlockKind::Oven,
    }
}

/// What the step uses up, each good once, as measured out: waste is bought, not weighed in.
fn amounts(context: &Context<'_>, step: &Step) -> Vec<(String, String)> {
    let mut sums: BTreeMap<&str, u64> = BTreeMap::new();
    for used in context.input.outlook.work.supplies.iter().filter(|used| used.step == step.id) {
        *sums.entry(&used.of).or_default() += used.milli;
    }
    let units = context.input.book.supplies.units;
    sums.into_iter()
        .filter_map(|(id, milli)| {
            let good = good(id)?;
            Some((capitalised(&good.name), amount(good, milli, units)))
        })
        .collect()
}

/// Where what it needs stands, or when it has to come out.
fn bring(context: &Context<'_>, step: &Step) -> Vec<String> {
    let rests = placed_rests(context);
    let mut lines = Vec::new();
    for placed in rests.iter().filter(|placed| placed.rest.to == step.id) {
        let parts = placed.parts();
        let what = capitalised(&placed.rest.what);
        let seen_from = placed.span.end;
        let line = match parts.as_slice() {
            [.., (before, Some(from)), (_, there)] => {
                let at = time_seen_from(context.horizon, before.end, seen_from);
                let there =
                    there.map_or_else(String::new, |to| format!(", then {}", at_place(to.place)));
                format!("{what}: {} until {at}{there}", at_place(from.place))
            }
            [.., (_, Some(from))] => format!("{what}: {}", at_place(from.place)),
            _ => continue,
        };
        lines.push(line);
    }
    lines
}

/// Where it waited since the sitting before.
fn paused(sitting: &Sitting<'_>) -> Vec<String> {
    let at = sitting.step.pause_at.as_ref();
    let line =
        |at: &RestStay| format!("{}: {}", capitalised(&sitting.step.product), at_place(at.place));
    at.map(line).into_iter().collect()
}

/// Steps before it that are not said to be done and are not believed to be.
fn waits_for(context: &Context<'_>, step: &Step) -> Vec<String> {
    let rests = &context.input.outlook.work.rests;
    let mut names = Vec::new();
    for rest in rests.iter().filter(|rest| rest.to == step.id) {
        let Some(before) = context.step(&rest.from) else { continue };
        let open = context
            .sittings
            .iter()
            .filter(|sitting| sitting.step.id == before.id)
            .any(|sitting| state(context, sitting) != JobState::Done);
        if open && !names.contains(&before.name) {
            names.push(before.name.clone());
        }
    }
    names
}

/// What goes where afterwards.
fn after(around: &Around<'_>, step: &Step) -> Vec<After> {
    let Around { context, threads, .. } = around;
    placed_rests(context)
        .iter()
        .filter(|placed| placed.rest.from == step.id)
        .filter_map(|placed| {
            let thread = threads.iter().find(|thread| thread.id == placed.rest.id)?;
            let limit = way_limit(placed.choice);
            let stands = placed.parts().into_iter().find_map(|(span, at)| Some((span, at?.place)));
            let picture = stands.map(|(span, place)| (place, context.horizon.wall(span.start)));
            Some(After { words: capitalised(&thread.words), limit, picture })
        })
        .collect()
}
