//! One day: head, strips and free time, blocks, threads, and the gauges under it.

use leptos::prelude::*;
use rackweek::kitchen::Place;
use rackweek::week::{
    Band, DayView, HandoverMark, Landing, Section, Thread, ThreadPiece, Tick, WeekView,
    place_letter,
};

use super::block::BlockView;
use super::model::{By, WeekModel};
use super::places::DayGauges;
use super::sign::{Sign, SignView};
use crate::app::parts::mark_class;

/// Pixels beside the blocks in which threads run.
const CHANNEL: i32 = 22;
/// Pixels between the lanes of two places.
const LANE: i32 = 3;

/// One of the seven days.
#[component]
pub(super) fn DayColumn(
    /// Which.
    column: usize,
) -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let day = Memo::new(move |_| {
        model.view.with(|view| view.as_ref().and_then(|view| view.days.get(column).cloned()))
    });
    let height = Memo::new(move |_| day.with(|day| day.as_ref().map_or(0, |day| day.axis.height)));
    let is = move |test: fn(&DayView) -> bool| move || day.with(|d| d.as_ref().is_some_and(test));
    let keys = Memo::new(move |_| {
        day.with(|day| {
            day.as_ref().map_or_else(Vec::new, |day| {
                day.blocks.iter().map(|block| block.key.clone()).collect::<Vec<_>>()
            })
        })
    });
    let label = move || {
        day.with(|day| {
            day.as_ref().map_or_else(String::new, |day| format!("{} {}", day.name, day.date_text))
        })
    };
    view! {
        <section
            class="week-day"
            class:today=is(|day| day.today)
            class:past=is(|day| day.past)
            class:chosen=move || model.chosen.get() == column
            aria-label=label
        >
            <DayHead day=day />
            <div class="week-body" data-column=column style:height=move || px(height.get())>
                <Sections day=day />
                <Ticks day=day />
                <Bands day=day />
                <Threads column=column height=height />
                <ul class="week-blocks">
                    <For each=move || keys.get() key=|key| key.clone() let:key>
                        <BlockView day=day key=key />
                    </For>
                </ul>
                <Handovers day=day />
                {move || {
                    day.with(|day| day.as_ref().and_then(|day| day.now_y))
                        .map(|y| {
                            view! { <div class="week-now" aria-hidden="true" style:top=move || px(y)></div> }
                        })
                }}
                <TargetMark column=column />
            </div>
            <DayGauges column=column day=day />
        </section>
    }
}

/// A length in pixels.
pub(super) fn px(units: i32) -> String {
    format!("{units}px")
}

#[component]
fn DayHead(day: Memo<Option<DayView>>) -> impl IntoView {
    let text = move |pick: fn(&DayView) -> String| {
        move || day.with(|day| day.as_ref().map_or_else(String::new, pick))
    };
    let leaving = Memo::new(move |_| {
        day.with(|day| day.as_ref().map_or_else(Vec::new, |day| day.handovers.clone()))
    });
    view! {
        <header class="week-head">
            <h3>
                <span class="week-short">{text(|day| day.short.to_owned())}</span>
                <span class="week-date">{text(|day| day.date_text.clone())}</span>
            </h3>
            <p class="week-load">
                {text(|day| if day.hands_on == 0 { String::new() } else { hands_on(day.hands_on) })}
                {move || {
                    leaving
                        .get()
                        .into_iter()
                        .map(|mark| {
                            view! {
                                <span class="week-leaves" title=mark.text.clone()>
                                    <SignView sign=Sign::Handover />
                                    {mark.mark.clone()}
                                </span>
                            }
                        })
                        .collect_view()
                }}
            </p>
        </header>
    }
}

/// "2 h 30 work".
fn hands_on(minutes: i32) -> String {
    match (minutes / 60, minutes % 60) {
        (0, rest) => format!("{rest} min work"),
        (hours, 0) => format!("{hours} h work"),
        (hours, rest) => format!("{hours} h {rest} work"),
    }
}

/// Free time and strips.
#[component]
fn Sections(day: Memo<Option<DayView>>) -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let sections = Memo::new(move |_| {
        day.with(|day| day.as_ref().map_or_else(Vec::new, |day| day.axis.sections.clone()))
    });
    // A strip keeps its element while it folds and unfolds, and with it the focus.
    let key = |section: &Section| (section.span.start, section.span.end, section.fold);
    let each = move || sections.get();
    let name = move || day.with(|day| day.as_ref().map_or("", |day| day.name));
    view! {
        <For each=each key=key let:first>
            {
                let span = first.span;
                let section = Memo::new(move |_| {
                    sections
                        .with(|all| all.iter().find(|section| section.span == span).cloned())
                        .unwrap_or_else(|| first.clone())
                });
                move || {
                    let (top, height) = section.with(|s| (s.top, s.bottom - s.top));
                    let (label, times) = section.with(|s| (s.label.clone(), s.times.clone()));
                    let (folded, busy, fold) =
                        section.with(|s| (s.folded, s.busy.is_some(), s.fold));
                    let _ = (top, height);
                    match fold {
                        Some(fold) => view! {
                            <button
                                type="button"
                                class="week-strip"
                                class:open=!folded
                                aria-expanded=(!folded).to_string()
                                aria-label=format!("{}: {label} {times}", name())
                                style:top=px(top)
                                style:height=px(height)
                                on:click=move |_| {
                                    // While a sitting waits for a tap, every tap is its target.
                                    let tapping = model.moving.read_untracked().is_some();
                                    if !tapping {
                                        model.toggle(fold);
                                    }
                                }
                            >
                                <span>{label.clone()}</span>
                                <span class="week-times">{times.clone()}</span>
                            </button>
                        }.into_any(),
                        None => view! {
                            <div
                                class="week-free"
                                class:busy=busy
                                style:top=px(top)
                                style:height=px(height)
                            >
                                {busy.then(|| label.clone())}
                            </div>
                        }.into_any(),
                    }
                }
            }
        </For>
    }
}

#[component]
fn Ticks(day: Memo<Option<DayView>>) -> impl IntoView {
    let ticks = Memo::new(move |_| {
        day.with(|day| day.as_ref().map_or_else(Vec::new, |day| day.axis.ticks.clone()))
    });
    view! {
        <div class="week-ticks" aria-hidden="true">
            {move || {
                ticks
                    .get()
                    .into_iter()
                    .map(|Tick { y, label }| {
                        let half = label.is_empty();
                        view! {
                            <div class="week-tick" class:half=half style:top=px(y)>
                                {label}
                            </div>
                        }
                    })
                    .collect_view()
            }}
        </div>
    }
}

/// Where the sitting on the move may lie.
#[component]
fn Bands(day: Memo<Option<DayView>>) -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let bands = Memo::new(move |_| {
        let Some(moving) = model.moving.get() else { return Vec::new() };
        day.with(|day| day.as_ref().map_or_else(Vec::new, |day| moving.reach.bands(day)))
    });
    move || {
        bands
            .get()
            .into_iter()
            .map(|Band { top, bottom }| {
                view! {
                    <div
                        class="week-band"
                        aria-hidden="true"
                        style:top=px(top)
                        style:height=px(bottom - top)
                    ></div>
                }
            })
            .collect_view()
    }
}

/// Where it would land.
#[component]
fn TargetMark(column: usize) -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let mark = Memo::new(move |_| {
        let target = model.target.get()?;
        match target.landing {
            Landing::Here { top, height, words, .. } if target.column == column => {
                Some((top, height, words))
            }
            _ => None,
        }
    });
    let named = move || {
        let by_hand = model.moving.read().as_ref().is_some_and(|moving| moving.by == By::Grip);
        !by_hand
    };
    move || {
        mark.get().map(|(top, height, words)| {
            let time = words.split(' ').next_back().unwrap_or_default().to_owned();
            view! {
                <div
                    class="week-target"
                    aria-hidden="true"
                    style:top=px(top)
                    style:height=px(height)
                >
                    {named().then_some(time)}
                </div>
            }
        })
    }
}

#[component]
fn Handovers(day: Memo<Option<DayView>>) -> impl IntoView {
    let marks = Memo::new(move |_| {
        day.with(|day| day.as_ref().map_or_else(Vec::new, |day| day.handovers.clone()))
    });
    move || {
        marks
            .get()
            .into_iter()
            .map(|HandoverMark { order, mark, y, time, text, .. }| {
                view! {
                    <div class=format!("week-handover {}", mark_class(order)) style:top=px(y)>
                        <SignView sign=Sign::Handover />
                        <span aria-hidden="true">{format!("{mark} {time}")}</span>
                        <span class="aside">{format!("{time} {text}")}</span>
                    </div>
                }
            })
            .collect_view()
    }
}

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
fn Threads(column: usize, height: Memo<i32>) -> impl IntoView {
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
    4 + LANE * lane_number(place)
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
