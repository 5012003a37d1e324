//! All that the week knows of one sitting.

use crate::breakdown::{AgeLimit, RestChoice};
use crate::calendar::Wall;
use crate::keeping::CAUTION;
use crate::order::OrderId;
use crate::plan::arrange::Arrange;

use super::blocks::{BlockKey, BlockKind, BlockState};
use super::keeps;
use super::standing::placed_rests;
use super::threads::Thread;
use super::view::{Context, WeekInput, WeekView};
use super::words::{duration, full_day, time_range};

/// One sitting, in full.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    /// Which.
    pub key: BlockKey,
    /// For example "Flood the base coat".
    pub name: String,
    /// For example "Decorated cookies".
    pub product: String,
    /// The method card that the step is on: a component's own for a component's step.
    pub card: String,
    /// The step's id on that card.
    pub step: String,
    /// Whose.
    pub order: OrderId,
    /// Two letters for the order.
    pub mark: String,
    /// The client's name.
    pub order_title: String,
    /// The order's theme, may be empty.
    pub theme: String,
    /// "Thursday 26 Nov, 18:30–19:45".
    pub when: String,
    /// "1 h 15 min".
    pub length: String,
    /// "sitting 2 of 3", or nothing.
    pub part: Option<String>,
    /// Who helps: it is not done by the baker's own hands.
    pub helper: Option<String>,
    /// How it is worked.
    pub kind: BlockKind,
    /// "24 cookies + 4 spares on 3 trays".
    pub detail: String,
    /// For the bench.
    pub notes: Vec<String>,
    /// What rests until this step.
    pub before: Vec<SheetRest>,
    /// What rests after this step.
    pub after: Vec<SheetRest>,
    /// Keeping limits that begin with this step and run across later ones.
    pub limits: Vec<String>,
    /// Until when the finished product keeps, and how much of that is used up at the handover.
    pub keeps: Option<String>,
    /// What is wrong with it.
    pub breaches: Vec<String>,
    /// What is past its best with it, because the order allows that.
    pub past_best: Vec<String>,
    /// Whether the planner may move it.
    pub state: BlockState,
    /// Said when a keeping time shows.
    pub caution: Option<&'static str>,
    /// Starts of all the step's sittings, for a tick.
    pub starts: Vec<Wall>,
}

/// A rest beside a sitting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetRest {
    /// Its thread's words.
    pub words: String,
    /// How long it may last, with the limit's source; empty when there is no limit.
    pub limit: String,
}

impl Sheet {
    /// Everything about a sitting; none when the plan has no such sitting.
    pub fn of(input: WeekInput<'_>, view: &WeekView, key: &BlockKey) -> Option<Self> {
        let context = Context::of(input);
        let sitting = context.sittings.iter().find(|sitting| &sitting.key() == key)?;
        let step = sitting.step;
        let rests = placed_rests(&context);
        let beside = |wanted: &dyn Fn(&Thread) -> bool| -> Vec<SheetRest> {
            let mut found: Vec<&Thread> = view.threads.iter().filter(|t| wanted(t)).collect();
            found.arrange_by_key(|thread| thread.span.start);
            found
                .into_iter()
                .map(|thread| SheetRest {
                    words: thread.words.clone(),
                    limit: rests
                        .iter()
                        .find(|placed| placed.rest.id == thread.id)
                        .map_or_else(String::new, |placed| way_limit(placed.choice)),
                })
                .collect()
        };
        let before = beside(&|thread| thread.to == step.id && thread.from != step.id);
        let after = beside(&|thread| thread.from == step.id && thread.to != step.id);
        let limits: Vec<String> = input
            .outlook
            .work
            .limits
            .iter()
            .filter(|limit| limit.from == step.id)
            .map(age_limit)
            .collect();
        let keeps = keeps::of(&context);
        let keeps = keeps.into_iter().find(|one| (one.order, one.item) == (step.order, step.item));
        let keeps = keeps.map(|one| format!("{}: {}", one.product, one.words));
        let limited = keeps.is_some()
            || !limits.is_empty()
            || before.iter().chain(&after).any(|rest| !rest.limit.is_empty());
        let day = context.horizon.wall(sitting.span.start).date();
        let time = time_range(context.horizon, sitting.span.start, sitting.span.end);
        Some(Self {
            key: key.clone(),
            name: step.name.clone(),
            product: step.product.clone(),
            card: step.card.clone(),
            step: step.id.0.rsplit('.').next().unwrap_or_default().to_owned(),
            order: step.order,
            mark: context.mark(step.order),
            order_title: context.order_title(step.order),
            theme: context.order(step.order).map_or_else(String::new, |o| o.theme.clone()),
            when: format!("{}, {time}", full_day(day)),
            length: duration(sitting.span.minutes()),
            part: (sitting.count > 1)
                .then(|| format!("sitting {} of {}", sitting.index + 1, sitting.count)),
            helper: sitting.helper.clone(),
            kind: BlockKind::of(step.kind),
            detail: step.detail.clone(),
            notes: step.notes.clone(),
            before,
            after,
            limits,
            keeps,
            past_best: view.block(key).map_or_else(Vec::new, |(_, block)| block.past_best.clone()),
            breaches: view.block(key).map_or_else(Vec::new, |(_, block)| block.breaches.clone()),
            state: BlockState::of(&context, &step.id, sitting.index),
            caution: limited.then_some(CAUTION),
            starts: context
                .sittings
                .iter()
                .filter(|own| own.step.id == step.id)
                .map(|own| context.horizon.wall(own.span.start))
                .collect(),
        })
    }
}

/// How long a way to rest may last, as [`limit`] says it; empty when nothing limits it.
pub(super) fn way_limit(way: &RestChoice) -> String {
    let RestChoice { least, greatest, over, safety, source, .. } = way;
    greatest.map_or_else(String::new, |greatest| limit(*least, (greatest, *over), *safety, source))
}

/// "Baked cookies at most 10 days (common practice, no published source)".
pub(super) fn age_limit(one: &AgeLimit) -> String {
    format!("{} {}", one.what, limit(0, (one.greatest, one.over), one.safety, &one.source))
}

/// "at least 8 h, at most 2 days (safety limit; FDA Food Code 3-501.17(A))". With the greatest goes what the order
/// lets it be past that.
fn limit(least: u32, (greatest, over): (u32, u32), safety: bool, source: &str) -> String {
    let minutes = |value: u32| duration(i32::try_from(value).unwrap_or(i32::MAX));
    let most = match over {
        0 => format!("at most {}", minutes(greatest)),
        over => {
            format!("at most {}, up to {} past it for this order", minutes(greatest), minutes(over))
        }
    };
    let text = if least > 0 { format!("at least {}, {most}", minutes(least)) } else { most };
    match (safety, source.trim()) {
        (true, "") => format!("{text} (safety limit)"),
        (true, source) => format!("{text} (safety limit; {source})"),
        (false, "") => text,
        (false, source) => format!("{text} ({source})"),
    }
}
