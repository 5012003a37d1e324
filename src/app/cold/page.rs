//! The page: place, moment, pictures, list, table; and what is said when there is nothing to draw.

use leptos::ev;
use leptos::html::Div;
use leptos::prelude::*;
use rackweek::cold::PlaceView;
use rackweek::keeping::CAUTION;
use rackweek::kitchen::Place;
use rackweek::week::{place_letter, place_word};

use super::chosen::{ChosenBox, HereList};
use super::model::{ColdModel, ColdSpot};
use super::pictures::PlacePictures;
use super::strip::DayStrip;
use super::table::MomentTable;
use super::time::TimeBar;
use super::what_if::WhatIfDialog;
use crate::app::parts::{For, Icon, capital};
use crate::app::{AppState, Page};

/// Px that are not for pictures when one has scrolled down to them.
const AROUND: f64 = 210.0;
/// Px for pictures on paper: A4 upright with its margins.
const PAPER: (u32, u32) = (660, 760);

/// Who is where, when.
#[component]
pub(crate) fn ColdPage() -> impl IntoView {
    let app = expect_context::<AppState>();
    let model = ColdModel::new(app, expect_context::<ColdSpot>());
    provide_context(model);
    let frame = NodeRef::<Div>::new();
    let measure = move || {
        let Some(frame) = frame.try_get_untracked().flatten() else { return };
        let inner = window().inner_height().ok().and_then(|height| height.as_f64());
        let height = (inner.unwrap_or(800.0) - AROUND).max(360.0) as u32;
        let width = u32::try_from(frame.client_width()).unwrap_or(0).max(200);
        if !model.printing.get_untracked() && model.room.get_untracked() != (width, height) {
            model.room.set((width, height));
        }
    };
    Effect::new(move |_| {
        if frame.get().is_some() {
            measure();
        }
    });
    let resized = window_event_listener(ev::resize, move |_| measure());
    let before = window_event_listener(ev::beforeprint, move |_| print_out(&model));
    let after = window_event_listener(ev::afterprint, move |_| {
        model.printing.set(false);
        measure();
    });
    on_cleanup(move || {
        resized.remove();
        before.remove();
        after.remove();
        model.what_if.leave();
    });
    let ready = Memo::new(move |_| model.view.with(Option::is_some));
    view! {
        <section
            class="cold"
            aria-label="Cold & counter"
            data-packing-ms=move || {
                model.view.track();
                model.packing_ms.get_value()
            }
        >
            <Show
                when=move || ready.get()
                fallback=|| view! { <p class="page soft">"Looking into the fridge …"</p> }
            >
                <div class="cold-top-bar">
                    <Places />
                    <div class="cold-doings">
                        <button
                            type="button"
                            class="button"
                            on:click=move |_| model.what_if.begin(None)
                        >
                            "What if …"
                        </button>
                        <button
                            type="button"
                            class="button"
                            on:click=move |_| {
                                print_out(&model);
                                after_drawing(|| {
                                    // Refused printing leaves everything as it is.
                                    let _ = window().print();
                                });
                            }
                        >
                            "Print"
                        </button>
                    </div>
                </div>
                <Empty />
                <TimeBar />
                <DayStrip />
                <PrintTitle />
                <div class="cold-body">
                    <div class="cold-drawn" node_ref=frame>
                        <Shown />
                    </div>
                    <div class="cold-side">
                        <ChosenBox />
                        <HereList />
                    </div>
                </div>
                <MomentTable />
                <p class="caution cold-caution">{CAUTION}</p>
                <WhatIfDialog />
            </Show>
        </section>
    }
}

/// Draws every place, as wide as paper is.
fn print_out(model: &ColdModel) {
    model.room.set(PAPER);
    model.printing.set(true);
}

/// Runs once what was changed just now has been drawn.
fn after_drawing(run: impl FnOnce() + 'static) {
    request_animation_frame(move || request_animation_frame(run));
}

/// The place looked at; on paper every place in which something stands.
#[component]
fn Shown() -> impl IntoView {
    let model = expect_context::<ColdModel>();
    let places = Memo::new(move |_| {
        let chosen = model.spot.place.get();
        if !model.printing.get() {
            return vec![chosen];
        }
        let time = model.time();
        let used = |place: &Place| {
            model.view.with(|view| {
                let view = view.as_ref()?;
                let found = view.place(*place)?;
                Some(!found.moments.get(found.at(time))?.is_empty())
            })
        };
        let of =
            Place::ALL.into_iter().filter(|place| used(place) == Some(true)).collect::<Vec<_>>();
        if of.is_empty() { vec![chosen] } else { of }
    });
    view! {
        <For each=move || places.get() key=|place| *place let:place>
            <Missing place=place />
            <PlacePictures place=place />
        </For>
    }
}

/// A heading that only paper has: the screen says it above.
#[component]
fn PrintTitle() -> impl IntoView {
    let model = expect_context::<ColdModel>();
    let when =
        move || model.with(|view, _, _, moment| view.from_to(moment.span)).unwrap_or_default();
    view! { <h2 class="cold-print-title">"Cold & counter: " {when}</h2> }
}

/// The five places, each with how full it is at the moment looked at.
#[component]
fn Places() -> impl IntoView {
    let model = expect_context::<ColdModel>();
    let entries = Place::ALL
        .into_iter()
        .map(|place| {
            let told = Memo::new(move |_| {
                let time = model.time();
                model.view.with(|view| {
                    let found = view.as_ref()?.place(place)?;
                    let index = found.at(time);
                    let moment = found.moments.get(index)?;
                    let short = match (found.exists(), place) {
                        (false, _) => "none".to_owned(),
                        (true, Place::Rack) => {
                            format!("{} of {}", moment.boxes.len(), moment.surfaces.len())
                        }
                        (true, _) => format!("{} %", moment.fullness().div_ceil(10)),
                    };
                    Some((short, !moment.outside.is_empty(), found.fill_words(index)))
                })
            });
            let (short, over, words) = (
                move || told.get().map(|told| told.0).unwrap_or_default(),
                move || told.get().is_some_and(|told| told.1),
                move || told.get().map(|told| told.2).unwrap_or_default(),
            );
            view! {
                <button
                    type="button"
                    class="button cold-tab"
                    aria-pressed=move || {
                        if model.spot.place.get() == place { "true" } else { "false" }
                    }
                    aria-label=move || format!("{}: {}", capital(place.name()), words())
                    on:click=move |_| {
                        model.selected.set(None);
                        model.spot.place.set(place);
                    }
                >
                    <span class="cold-tab-name">
                        <b aria-hidden="true">{place_letter(place)}</b>
                        " "
                        {capital(place_word(place))}
                    </span>
                    <span class="cold-tab-fill number">
                        {move || over().then(|| view! { <Icon name="warn" /> })}
                        {short}
                    </span>
                </button>
            }
        })
        .collect_view();
    view! { <div class="cold-tabs" role="group" aria-label="Place">{entries}</div> }
}

/// What to do while nothing stands anywhere.
#[component]
fn Empty() -> impl IntoView {
    let model = expect_context::<ColdModel>();
    let empty = Memo::new(move |_| {
        model.view.with(|view| {
            view.as_ref().is_some_and(|view| !view.places.iter().any(PlaceView::is_used))
        })
    });
    move || {
        empty.get().then(|| {
            view! {
                <div class="cold-empty">
                    <div>
                        <h2>"Nothing stands anywhere yet"</h2>
                        <p>
                            "Once an order is confirmed and planned, its boxes and trays stand here, hour by hour. Until then you see your shelves, to scale, and what is free of them."
                        </p>
                    </div>
                    <button
                        type="button"
                        class="button strong"
                        on:click=move |_| model.app.go(Page::Orders, None)
                    >
                        "Open the order book"
                    </button>
                </div>
            }
        })
    }
}

/// A place that the kitchen does not have.
#[component]
fn Missing(place: Place) -> impl IntoView {
    let model = expect_context::<ColdModel>();
    let missing = Memo::new(move |_| {
        model.view.with(|view| {
            view.as_ref().and_then(|view| view.place(place)).is_some_and(|found| !found.exists())
        })
    });
    move || {
        missing.get().then(|| {
            view! {
                <div class="cold-empty">
                    <div>
                        <h2>{format!("Your kitchen has no {place}")}</h2>
                        <p>"Measure it on the page “Kitchen”, and it is drawn here to scale."</p>
                    </div>
                    <button
                        type="button"
                        class="button strong"
                        on:click=move |_| model.app.go(Page::Kitchen, None)
                    >
                        "Open the kitchen"
                    </button>
                </div>
            }
        })
    }
}
