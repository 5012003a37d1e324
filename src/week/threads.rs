//! Threads: what rests, from block to block, with words that say what is where.

use crate::breakdown::{StepId, StepNeed};
use crate::calendar::{Elapsed, Span};
use crate::kitchen::Place;
use crate::order::OrderId;
use crate::plan::arrange::Arrange;

use super::standing::placed_rests;
use super::view::{Context, DayView};
use super::words::{at_place, time_seen_from};

/// A rest, from the block that it follows to the block that it comes before.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Thread {
    /// The rest's id; a wait step's id for a wait.
    pub id: String,
    /// Step that it follows (a wait step's own id for a wait).
    pub from: StepId,
    /// Step or handover point that it comes before (a wait step's own id for a wait).
    pub to: StepId,
    /// Whose.
    pub order: OrderId,
    /// Two letters for the order.
    pub mark: String,
    /// For example "base-coated cookies".
    pub what: String,
    /// For example "base-coated cookies · drying on the rack until Thu 19:10".
    pub words: String,
    /// From its start to its end.
    pub span: Span,
    /// Its stretches by place, in order.
    pub parts: Vec<ThreadPart>,
}

/// A stretch of a day over which something rests in a place: one line, however many threads run in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Run {
    /// Where; none: takes no place.
    pub place: Option<Place>,
    /// Units from the top of the day.
    pub top: i32,
    /// Units from the top of the day.
    pub bottom: i32,
}

/// A stretch of a thread in one place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ThreadPart {
    /// Where; none: takes no place.
    pub place: Option<Place>,
    /// When.
    pub span: Span,
    /// One for each day of the week that it touches.
    pub pieces: Vec<ThreadPiece>,
}

/// What is drawn of a thread on one day: a line down its lane.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ThreadPiece {
    /// Which of the seven days.
    pub column: usize,
    /// Units from the top of the day.
    pub top: i32,
    /// Units from the top of the day.
    pub bottom: i32,
    /// Comes out of its block here.
    pub starts: bool,
    /// Goes into its block here.
    pub ends: bool,
}

/// All threads of the horizon, without lanes and pieces.
pub(super) fn threads(context: &Context<'_>) -> Vec<Thread> {
    let mut threads: Vec<Thread> = placed_rests(context)
        .into_iter()
        .map(|placed| {
            let parts: Vec<ThreadPart> = placed
                .parts()
                .into_iter()
                .map(|(span, stay)| ThreadPart {
                    place: stay.map(|stay| stay.place),
                    span,
                    pieces: Vec::new(),
                })
                .collect();
            Thread {
                id: placed.rest.id.clone(),
                from: placed.rest.from.clone(),
                to: placed.rest.to.clone(),
                order: placed.order,
                mark: context.mark(placed.order),
                what: placed.rest.what.clone(),
                words: words(context, &placed.rest.what, &placed.choice.name, &parts),
                span: placed.span,
                parts,
            }
        })
        .collect();
    threads.extend(context.sittings.iter().filter(|sitting| !sitting.shown()).map(|sitting| {
        let step = sitting.step;
        let place = step.needs.iter().find_map(|need| match need {
            StepNeed::Stand(stay) => Some(stay.place),
            _ => None,
        });
        let parts = vec![ThreadPart { place, span: sitting.span, pieces: Vec::new() }];
        Thread {
            id: step.id.0.clone(),
            from: step.id.clone(),
            to: step.id.clone(),
            order: step.order,
            mark: context.mark(step.order),
            what: step.product.clone(),
            words: words(context, &step.product, &step.name, &parts),
            span: sitting.span,
            parts,
        }
    }));
    threads.arrange_by(|a, b| {
        (a.span.start, a.span.end, &a.id).cmp(&(b.span.start, b.span.end, &b.id))
    });
    threads
}

/// "base-coated cookies · dry on the rack until Thu 19:10"; a rest in two places names both.
fn words(context: &Context<'_>, what: &str, way: &str, parts: &[ThreadPart]) -> String {
    let horizon = context.horizon;
    let mut seen_from = parts.first().map_or(Elapsed(0), |part| part.span.start);
    let mut text = what.to_owned();
    for (index, part) in parts.iter().enumerate() {
        let place = part.place.map_or("", at_place);
        let way = way.trim();
        let said = if index > 0 {
            if place.is_empty() { "then out".to_owned() } else { format!("then {place}") }
        } else if place.is_empty() || way.to_lowercase().contains(place) || way.is_empty() {
            if way.is_empty() { place.to_owned() } else { way.to_owned() }
        } else {
            format!("{way}, {place}")
        };
        let glue = if index == 0 { " · " } else { ", " };
        let until = time_seen_from(horizon, part.span.end, seen_from);
        text = format!("{text}{glue}{said} until {until}");
        seen_from = part.span.end;
    }
    text
}

/// Keeps the threads that the week shows, and gives each its piece of each day.
pub(super) fn lay(threads: Vec<Thread>, days: &[DayView]) -> Vec<Thread> {
    let (Some(first), Some(last)) = (days.first(), days.last()) else { return Vec::new() };
    let week = Span { start: first.axis.span.start, end: last.axis.span.end };
    let mut laid: Vec<Thread> =
        threads.into_iter().filter(|thread| thread.span.shared(week).is_some()).collect();
    for thread in &mut laid {
        let whole = thread.span;
        for part in &mut thread.parts {
            part.pieces = days
                .iter()
                .enumerate()
                .filter_map(|(column, day)| {
                    let shown = part.span.shared(day.axis.span)?;
                    Some(ThreadPiece {
                        column,
                        top: day.axis.y_of(shown.start),
                        bottom: day.axis.y_of(shown.end),
                        starts: shown.start == whole.start,
                        ends: shown.end == whole.end,
                    })
                })
                .collect();
        }
    }
    laid
}

/// The lines of one day, place by place, from top to bottom.
pub(super) fn runs(threads: &[Thread], column: usize) -> Vec<Run> {
    let mut runs: Vec<Run> = threads
        .iter()
        .flat_map(|thread| &thread.parts)
        .flat_map(|part| part.pieces.iter().map(|piece| (part.place, piece)))
        .filter(|(_, piece)| piece.column == column)
        .map(|(place, piece)| Run { place, top: piece.top, bottom: piece.bottom })
        .collect();
    runs.arrange_by_key(|run| (run.place, run.top, run.bottom));
    let mut merged: Vec<Run> = Vec::new();
    for run in runs {
        match merged.last_mut() {
            Some(last) if last.place == run.place && run.top <= last.bottom => {
                last.bottom = last.bottom.max(run.bottom);
            }
            _ => merged.push(run),
        }
    }
    merged
}
