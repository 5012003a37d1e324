//! One day: head, strips and free time, blocks, threads, and the gauges under it.

use leptos::prelude::*;
use rackweek::week::{Band, DayView, HandoverMark, Landing, Section, Tick};

use super::block::BlockView;
use super::elsewhere::Marks;
use super::model::{By, WeekModel};
use super::places::DayGauges;
use super::sign::{Sign, SignView};
use super::threads::Threads;
use crate::app::parts::{For, mark_class};

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
                <Marks day=day />
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
                                <span>
                                    <span class="aside">{format!("{}: ", name())}</span>
                                    {format!("{label} ")}
                                </span>
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
