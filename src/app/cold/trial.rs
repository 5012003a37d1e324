//! A place with and without another time for a step, side by side, and what it costs.

use std::sync::Arc;

use leptos::prelude::*;
use rackweek::cold::{ColdView, Paper, PlaceView, at_fullest_within, compare, of_order};
use rackweek::kitchen::Place;
use rackweek::week::place_word;

use super::front::FrontPicture;
use super::model::ColdModel;
use super::what_if::Tried;
use crate::app::parts::capital;

/// Px of a dialog around two pictures, and its greatest width.
const AROUND: f64 = 112.0;
const WIDEST: f64 = 1024.0;
/// Px for a picture's height, and of a board.
const HIGH: u32 = 430;
const BOARD: u32 = 20;

/// Which moments are compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Moments {
    Same,
    Fullest,
}

#[component]
pub(super) fn Trial(tried: Arc<Tried>) -> impl IntoView {
    let model = expect_context::<ColdModel>();
    let what_if = model.what_if;
    let place = RwSignal::new(model.spot.place.get_untracked());
    let moments = RwSignal::new(Moments::Fullest);
    let without = model.view.get_untracked();
    let used: Vec<Place> = Place::ALL
        .into_iter()
        .filter(|place| {
            let used = |view: &ColdView| view.place(*place).is_some_and(PlaceView::is_used);
            used(&tried.view) || without.as_ref().is_some_and(|view| used(view))
        })
        .collect();
    let tabs = used
        .into_iter()
        .map(|one| {
            view! {
                <button
                    type="button"
                    class="button"
                    aria-pressed=move || if place.get() == one { "true" } else { "false" }
                    on:click=move |_| place.set(one)
                >
                    {capital(place_word(one))}
                </button>
            }
        })
        .collect_view();
    let way = move |which: Moments, words: &'static str| {
        view! {
            <button
                type="button"
                class="button"
                aria-pressed=move || if moments.get() == which { "true" } else { "false" }
                on:click=move |_| moments.set(which)
            >
                {words}
            </button>
        }
    };
    let clauses = if tried.clauses.is_empty() {
        vec!["nothing else changes".to_owned()]
    } else {
        tried.clauses.clone()
    };
    let clauses =
        clauses.into_iter().map(|text| view! { <li>{capital(&text)}</li> }).collect_view();
    let (drawn, doing) = (Arc::clone(&tried), Arc::clone(&tried));
    view! {
        <p><strong>{tried.words.clone()}</strong></p>
        <section>
            <h3>"What it changes"</h3>
            <ul class="cold-clauses">{clauses}</ul>
        </section>
        <div class="row tight" role="group" aria-label="Place">{tabs}</div>
        <div class="row tight" role="group" aria-label="Moments">
            {way(Moments::Fullest, "Each at its fullest")} {way(Moments::Same, "The same moment")}
        </div>
        {move || {
            let before = without.clone()?;
            Some(pair(&model, &before, &drawn, place.get(), moments.get()))
        }}
        <div class="row">
            <button
                type="button"
                class="button strong"
                on:click=move |_| what_if.do_it(&doing)
            >
                "Do it"
            </button>
            <button type="button" class="button" on:click=move |_| what_if.leave_it()>
                "Leave it"
            </button>
        </div>
    }
}

fn pair(
    model: &ColdModel,
    before: &Arc<ColdView>,
    tried: &Tried,
    place: Place,
    moments: Moments,
) -> AnyView {
    let after = &tried.view;
    // What the order does to the place shows while it is there; where it never is, any day will do.
    let within = of_order(before, after, place, tried.order).unwrap_or_else(|| before.span());
    let inner = window().inner_width().ok().and_then(|width| width.as_f64()).unwrap_or(800.0);
    let width = ((inner.min(WIDEST) - AROUND) / 2.0).max(100.0) as u32;
    // One scale for both.
    let scale = [before, after]
        .into_iter()
        .filter_map(|view| Some(Paper::small(view.place(place)?, width, HIGH, BOARD)))
        .min_by_key(|paper| paper.scale);
    let said = compare(before, after, place, within);
    let time = untrack(|| model.time());
    let side = |view: &Arc<ColdView>, name: &'static str, title: &'static str, fullest: String| {
        let found = view.place(place)?;
        let index = match moments {
            Moments::Same => found.at(time),
            Moments::Fullest => at_fullest_within(view, found, within),
        };
        let words = match moments {
            Moments::Same => format!("{}: {}", view.when(time), found.fill_words(index)),
            Moments::Fullest => fullest,
        };
        Some(view! {
            <figure class="cold-side-by-side" data-side=name>
                <figcaption>
                    <strong>{title}</strong>
                    <span class="soft small">{capital(&words)}</span>
                </figcaption>
                <FrontPicture view=Arc::clone(view) place=place index=index paper=scale? name=name />
            </figure>
        })
    };
    let [was, is] = said.unwrap_or_default();
    view! {
        <div class="cold-pair">
            {side(before, "before", "As it is planned", was)} {side(after, "after", "With it", is)}
        </div>
    }
    .into_any()
}
