//! What happens, one after the other: sittings, what is taken out and put elsewhere between them, and
//! handovers. For what leaves the house as a list: a shared week, a calendar file.

use crate::calendar::Span;
use crate::kitchen::Place;
use crate::order::OrderId;
use crate::plan::arrange::Arrange;

use super::blocks::{BlockKind, BlockState};
use super::standing::placed_rests;
use super::view::{Context, WeekInput};

/// What kind of thing happens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DoingKind {
    /// A sitting.
    Work(BlockKind),
    /// Something moves from one place to another while it rests, as when it thaws.
    TakeOut,
    /// An order leaves the kitchen.
    Handover,
}

/// One thing that happens.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Doing {
    /// The same as long as the order, its card's version and its cuts are: `o1.i1.flood#0`,
    /// `o1.i1.thaw@1`, `o1.handover`.
    pub id: String,
    /// Whose.
    pub order: OrderId,
    /// What kind.
    pub kind: DoingKind,
    /// When; a take-out and a handover last no time.
    pub span: Span,
    /// "Flood the base coat", "Take cake layers out of the freezer, into the fridge", "Handover".
    pub title: String,
    /// "Decorated cookies"; empty for a handover.
    pub product: String,
    /// "24 cookies + 4 spares on 3 trays", may be empty.
    pub detail: String,
    /// Which sitting of how many, counted from 1; none when the step is not cut.
    pub part: Option<(usize, usize)>,
    /// Ticked off.
    pub done: bool,
}

/// All of the horizon, by start.
pub fn doings(input: WeekInput<'_>) -> Vec<Doing> {
    let context = Context::of(input);
    let sittings = context.sittings.iter().filter(|sitting| sitting.shown()).map(|sitting| Doing {
        id: sitting.key().to_string(),
        order: sitting.step.order,
        kind: DoingKind::Work(BlockKind::of(sitting.step.kind)),
        span: sitting.span,
        title: sitting.step.name.clone(),
        product: sitting.step.product.clone(),
        detail: sitting.step.detail.clone(),
        part: (sitting.count > 1).then_some((sitting.index + 1, sitting.count)),
        done: BlockState::of(&context, &sitting.step.id, sitting.index) == BlockState::Done,
    });
    let handovers = input.outlook.work.handovers.iter().map(|point| {
        let at = context.horizon.elapsed(point.leaves);
        Doing {
            id: point.id.0.clone(),
            order: point.order,
            kind: DoingKind::Handover,
            span: Span { start: at, end: at },
            title: "Handover".to_owned(),
            product: String::new(),
            detail: String::new(),
            part: None,
            done: false,
        }
    });
    let mut all: Vec<Doing> = sittings.chain(take_outs(&context)).chain(handovers).collect();
    // What begins at the same moment stays in the order of the work.
    all.arrange_by_key(|doing| doing.span.start);
    all
}

/// The moments within a rest at which something changes its place.
fn take_outs(context: &Context<'_>) -> Vec<Doing> {
    let mut all = Vec::new();
    for placed in placed_rests(context) {
        let Some(maker) = context.step(&placed.rest.from) else { continue };
        let parts = placed.parts();
        for (index, pair) in parts.windows(2).enumerate() {
            let [(_, before), (span, after)] = pair else { continue };
            let (before, after) = (before.map(|at| at.place), after.map(|at| at.place));
            if before == after {
                continue;
            }
            let what = begun_small(&placed.rest.what);
            let title = match (before, after) {
                (Some(from), None) => format!("Take {what} {}", out_of(from)),
                (Some(from), Some(to)) => {
                    format!("Take {what} {}, {}", out_of(from), into(to))
                }
                (None, Some(to)) => format!("Put {what} {}", into(to)),
                (None, None) => continue,
            };
            all.push(Doing {
                id: format!("{}@{}", placed.rest.id, index + 1),
                order: placed.order,
                kind: DoingKind::TakeOut,
                span: Span { start: span.start, end: span.start },
                title,
                product: maker.product.clone(),
                detail: String::new(),
                part: None,
                done: false,
            });
        }
    }
    all
}

/// A name within a sentence: "Royal icing" becomes "royal icing", "NY rolls" stays.
fn begun_small(text: &str) -> String {
    let mut letters = text.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(second)) if second.is_lowercase() => {
            first.to_lowercase().chain(letters).collect()
        }
        _ => text.to_owned(),
    }
}

fn out_of(place: Place) -> &'static str {
    match place {
        Place::Fridge => "out of the fridge",
        Place::Freezer => "out of the freezer",
        Place::Rack => "off the rack",
        Place::Counter => "off the counter",
        Place::RoomShelf => "off the room shelf",
    }
}

fn into(place: Place) -> &'static str {
    match place {
        Place::Fridge => "into the fridge",
        Place::Freezer => "into the freezer",
        Place::Rack => "onto the rack",
        Place::Counter => "onto the counter",
        Place::RoomShelf => "onto the room shelf",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::breakdown::RestStay;
    use crate::week::fixture::fixture;

    #[test]
    fn sittings_take_outs_and_handovers_come_by_their_start() {
        let mut week = fixture();
        let choice = &mut week.outlook.work.rests[1].choices[0];
        choice.stay = Some(RestStay { place: Place::Freezer, boxes: Vec::new() });
        choice.tail = Some((120, Some(RestStay { place: Place::Counter, boxes: Vec::new() })));
        let all = doings(week.input());
        let told: Vec<(&str, String)> = all
            .iter()
            .map(|one| (one.id.as_str(), week.outlook.horizon.wall(one.span.start).to_string()))
            .collect();
        assert_eq!(
            told,
            [
                ("o1.i1.bake#0", "2026-11-24T19:30".to_owned()),
                ("o1.i1.flood#0", "2026-11-24T19:30".to_owned()),
                ("o1.i1.flood#1", "2026-11-25T20:00".to_owned()),
                ("o1.i1.pipe#0", "2026-11-27T19:00".to_owned()),
                ("o1.i1.keep@1", "2026-11-28T13:00".to_owned()),
                ("o1.handover", "2026-11-28T15:00".to_owned()),
            ]
        );
        assert_eq!(all[2].part, Some((2, 2)));
        assert_eq!(all[4].title, "Take base-coated cookies out of the freezer, onto the counter");
        assert_eq!(all[4].kind, DoingKind::TakeOut);
    }

    #[test]
    fn a_rest_in_one_place_takes_nothing_out() {
        let week = fixture();
        assert!(doings(week.input()).iter().all(|one| one.kind != DoingKind::TakeOut));
    }
}
