//! Small pictures of the place, for each day at its fullest moment.

use std::sync::Arc;

use leptos::prelude::*;
use rackweek::cold::{ColdView, Paper, PlaceView, front};
use rackweek::kitchen::Place;

use super::model::ColdModel;
use crate::app::parts::{Icon, mark_class};

/// Px for a small picture.
const WIDE: u32 = 88;
const HIGH: u32 = 70;
/// A board in a small picture, px.
const BOARD: u32 = 2;

/// A day, as it is drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Day {
    index: usize,
    short: &'static str,
    date: String,
    words: String,
    past: bool,
    over: bool,
}

/// One picture a day; a tap goes there.
#[component]
pub(super) fn DayStrip() -> impl IntoView {
    let model = expect_context::<ColdModel>();
    let shown_day = Memo::new(move |_| {
        model.with(|view, _, _, _| view.day_of(model.time())).unwrap_or_default()
    });
    let drawn = Memo::new(move |_| {
        let place = model.spot.place.get();
        model.view.with(|view| {
            let view = view.as_ref()?;
            let found = view.place(place)?;
            Some((Arc::clone(view), place, days(view, found)))
        })
    });
    view! {
        <ol class="cold-days" data-scrolls="" aria-label="Each day at its fullest moment">
            {move || {
                let (view, place, days) = drawn.get()?;
                let paper = Paper::small(view.place(place)?, WIDE, HIGH, BOARD);
                Some(
                    days
                        .into_iter()
                        .enumerate()
                        .map(|(day, of)| {
                            let picture = small(&view, place, of.index, paper);
                            view! {
                                <li>
                                    <button
                                        type="button"
                                        class="cold-day"
                                        class:past=of.past
                                        aria-current=move || (shown_day.get() == day).then_some("true")
                                        aria-label=of.words
                                        on:click=move |_| model.go_day(day, of.index)
                                    >
                                        {picture}
                                        <span>
                                            {of.over.then(|| view! { <Icon name="warn" /> })}
                                            <b>{of.short}</b>
                                            " "
                                            {of.date}
                                        </span>
                                    </button>
                                </li>
                            }
                        })
                        .collect_view(),
                )
            }}
        </ol>
    }
}

fn days(view: &ColdView, place: &PlaceView) -> Vec<Day> {
    let named = view.days.iter().zip(&place.fullest);
    named
        .map(|(day, index)| {
            let moment = place.moments.get(*index);
            let start =
                moment.map_or(day.span.start, |moment| moment.span.start.max(day.span.start));
            let time = view.wall(start).minute_of_day();
            let fill = place.fill_words(*index);
            let words = if moment.is_none_or(rackweek::cold::MomentView::is_empty) {
                format!("{}: {fill}", day.full)
            } else {
                format!("{}, fullest at {:02}:{:02}: {fill}", day.full, time / 60, time % 60)
            };
            Day {
                index: *index,
                short: day.short,
                date: day.date.clone(),
                words,
                past: day.span.end <= view.now,
                over: moment.is_some_and(|moment| !moment.outside.is_empty()),
            }
        })
        .collect()
}

fn small(
    view: &ColdView,
    place: Place,
    index: usize,
    paper: Paper,
) -> Option<impl IntoView + use<>> {
    let found = view.place(place)?;
    let moment = found.moments.get(index)?;
    let picture = front(found, moment, paper.mm(BOARD));
    let rows = picture
        .rows
        .iter()
        .map(|row| {
            let kept = row
                .kept
                .iter()
                .map(|(x, width)| {
                    view! {
                        <rect
                            class="cold-kept-small"
                            x=*x
                            y=row.top
                            width=*width
                            height=row.floor - row.top
                        ></rect>
                    }
                })
                .collect_view();
            view! {
                <rect class="cold-ground" y=row.top width=row.width height=row.floor - row.top></rect>
                {kept}
                <rect class="cold-board" y=row.floor width=row.width height=paper.mm(BOARD)></rect>
            }
        })
        .collect_view();
    let boxes = picture
        .boxes
        .iter()
        .filter_map(|drawn| {
            let stand = view.stands.get(moment.boxes.get(drawn.index)?.stand)?;
            Some(view! {
                <g class=format!("cold-box {}", mark_class(stand.order))>
                    <rect x=drawn.x y=drawn.y width=drawn.width height=drawn.height></rect>
                </g>
            })
        })
        .collect_view();
    let (width, height) = (picture.width, picture.height);
    Some(view! {
        <svg
            class="cold-small"
            width=paper.px(width)
            height=paper.px(height)
            viewBox=format!("0 0 {width} {height}")
            aria-hidden="true"
            focusable="false"
        >
            {rows}
            {boxes}
        </svg>
    })
}
