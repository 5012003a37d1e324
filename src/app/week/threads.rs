//! Threads beside the blocks of a day: one lane for each place, and the ways from block to lane.

use leptos::prelude::*;
use rackweek::kitchen::Place;
use rackweek::week::{Thread, ThreadPiece, WeekView, place_letter};

use super::model::WeekModel;

/// Pixels beside the blocks in which threads run.
const CHANNEL: i32 = 22;
/// Pixels between the lanes of two places.
const LANE: i32 = 3;

/// What is drawn of the day's rests: a line down the lane of each place in which something rests, and
/// for each thread the way from its block into the lane and out again.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Line {
    class: String,
    path: String,
    /// The place's letter and where it stands; none on the ways in and out.
    letter: Option<(&'static str, i32, i32)>,
}

/// What rests on this day: lines beside the blocks, and the same in words for whoever cannot see them.
#[component]
pub(super) fn Threads(column: usize, height: Memo<i32>) -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let lines = Memo::new(move |_| {
        if !model.rests_shown.get() {
            return Vec::new();
        }
        let selected = model.selected.get().map(|key| key.step);
        model.view.with(|view| {
            let lit = |thread: &Thread| {
                selected.as_ref().is_some_and(|step| thread.from == *step || thread.to == *step)
            };
            view.as_ref().map_or_else(Vec::new, |view| lines(view, column, lit))
        })
    });
    let words = Memo::new(move |_| {
        model.view.with(|view| {
            let threads = view.as_ref().map_or(&[][..], |view| view.threads.as_slice());
            let here = |thread: &&Thread| {
                thread.parts.iter().flat_map(|part| &part.pieces).any(|p| p.column == column)
            };
            threads.iter().filter(here).map(|thread| thread.words.clone()).collect::<Vec<_>>()
        })
    });
    view! {
        <svg
            class="week-threads"
            aria-hidden="true"
            focusable="false"
            width=CHANNEL
            height=move || height.get()
        >
            {move || {
                lines
                    .get()
                    .into_iter()
                    .map(|Line { class, path, letter }| {
                        view! {
                            <g class=class>
                                <path d=path></path>
                                {letter
                                    .map(|(letter, x, y)| {
                                        view! {
                                            <circle cx=x cy=y r="6"></circle>
                                            <text x=x y=y + 3>
                                                {letter}
                                            </text>
                                        }
                                    })}
                            </g>
                        }
                    })
                    .collect_view()
            }}
        </svg>
        <ul class="aside" aria-label="Resting">
            {move || words.get().into_iter().map(|words| view! { <li>{words}</li> }).collect_view()}
        </ul>
    }
}

fn lines(view: &WeekView, column: usize, lit: impl Fn(&Thread) -> bool) -> Vec<Line> {
    let mut lines: Vec<Line> = Vec::new();
    for thread in &view.threads {
        let class = if lit(thread) { "week-thread lit" } else { "week-way" };
        let mut before: Option<i32> = None;
        for part in &thread.parts {
            let x = lane_of(part.place);
            for piece in part.pieces.iter().filter(|piece| piece.column == column) {
                let path = way(*piece, x, before.filter(|_| piece.top > 0), lit(thread));
                let class = format!("{class} {}", place_class(part.place));
                lines.push(Line { class, path, letter: None });
            }
            before = Some(x);
        }
    }
    let runs = view.days.get(column).map_or(&[][..], |day| day.runs.as_slice());
    lines.extend(runs.iter().map(|run| {
        let x = lane_of(run.place);
        let step = if run.top == 0 { lane_number(run.place) % 3 * 13 } else { 0 };
        Line {
            class: format!("week-thread {}", place_class(run.place)),
            path: format!("M{x} {}V{}", run.top, run.bottom),
            letter: run.place.map(|place| (place_letter(place), x, run.top + 9 + step)),
        }
    }));
    lines
}

fn lane_number(place: Option<Place>) -> i32 {
    match place {
        Some(Place::Fridge) => 0,
        Some(Place::Freezer) => 1,
        Some(Place::Rack) => 2,
        Some(Place::Counter) => 3,
        Some(Place::RoomShelf) => 4,
        None => 5,
    }
}

/// Pixels from the channel's left edge.
fn lane_of(place: Option<Place>) -> i32 {
    3 + LANE * lane_number(place)
}

/// Out of the block on the left into the lane, from another place's lane, and back into a block; for a
/// thread that is to stand out, the lane itself too.
fn way(piece: ThreadPiece, x: i32, before: Option<i32>, whole: bool) -> String {
    let ThreadPiece { top, bottom, starts, ends, .. } = piece;
    let into = match (starts, before) {
        (true, _) => format!("M0 {top}H{x}"),
        (false, Some(before)) => format!("M{before} {top}H{x}"),
        (false, None) => format!("M{x} {top}"),
    };
    let along = if whole { format!("V{bottom}") } else { format!("M{x} {bottom}") };
    let out = if ends { "H0" } else { "" };
    format!("{into}{along}{out}")
}

/// Each place has its own dashes, besides its letter and colour.
pub(super) fn place_class(place: Option<Place>) -> &'static str {
    match place {
        None => "nowhere",
        Some(Place::Fridge) => "fridge",
        Some(Place::Freezer) => "freezer",
        Some(Place::Rack) => "rack",
        Some(Place::Counter) => "counter",
        Some(Place::RoomShelf) => "room-shelf",
    }
}
