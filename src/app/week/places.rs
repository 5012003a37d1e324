//! The gauges under a day, and who is where on it.

use leptos::html::Dialog;
use leptos::prelude::*;
use rackweek::calendar::Date;
use rackweek::week::{DayView, Gauge, Occupant, place_letter, place_word};

use super::model::WeekModel;
use super::sign::{Sign, SignView};
use super::threads::place_class;
use crate::app::Page;
use crate::app::cold::ColdSpot;
use crate::app::parts::show_while;

/// One small gauge for each place, and a tap that says more.
#[component]
pub(super) fn DayGauges(column: usize, day: Memo<Option<DayView>>) -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let gauges = Memo::new(move |_| {
        day.with(|day| day.as_ref().map_or_else(Vec::new, |day| day.gauges.clone()))
    });
    let label = move || {
        day.with(|day| {
            let Some(day) = day else { return String::new() };
            let places: Vec<&str> = day.gauges.iter().map(|gauge| gauge.words.as_str()).collect();
            format!("Places on {}: {}", day.name, places.join("; "))
        })
    };
    view! {
        <div class="week-gauges">
            // Seen only: the button over it says this in words.
            <div class="week-gauge-rows" aria-hidden="true">
                {move || {
                    gauges.get().into_iter().map(|gauge| view! { <GaugeRow gauge=gauge /> }).collect_view()
                }}
            </div>
            <button
                type="button"
                class="week-open-places"
                aria-haspopup="dialog"
                aria-label=label
                on:click=move |_| model.places_of.set(Some(column))
            ></button>
        </div>
    }
}

#[component]
fn GaugeRow(gauge: Gauge) -> impl IntoView {
    let empty = gauge.peak == 0 && !gauge.overfull;
    let text = if empty { "–".to_owned() } else { short(&gauge) };
    view! {
        <span class="week-gauge" class:over=gauge.overfull class:empty=empty>
            <span class="week-letter">{place_letter(gauge.place)}</span>
            <span class="week-word">{place_word(gauge.place)}</span>
            <Profile gauge=gauge.clone() />
            <span class="week-peak">
                {gauge.overfull.then(|| view! { <SignView sign=Sign::Warn /> })}
                {text}
            </span>
        </span>
    }
}

/// "5 of 8" where a column has no room for the unit.
fn short(gauge: &Gauge) -> String {
    gauge.peak_text.trim_end_matches(" trays").to_owned()
}

/// Fullness over the day, midnight to midnight; the line is what the place can hold.
#[component]
fn Profile(gauge: Gauge) -> impl IntoView {
    // A little above the line is left for what is too much.
    let height = |fill: i32| fill.clamp(0, 1250) * 80 / 1000;
    let mut points = vec!["M0 100".to_owned()];
    points.extend(gauge.steps.iter().map(|step| {
        let top = 100 - height(step.fill);
        format!("L{} {top}L{} {top}", step.from, step.to)
    }));
    points.push("L1000 100Z".to_owned());
    let path = points.concat();
    view! {
        <svg
            class=format!("week-profile {}", place_class(Some(gauge.place)))
            viewBox="0 0 1000 100"
            preserveAspectRatio="none"
            aria-hidden="true"
            focusable="false"
        >
            <path class="fill" d=path></path>
            <path class="limit" d="M0 20H1000"></path>
        </svg>
    }
}

/// Who is where on a day: at the peak, and over the day.
#[component]
pub(super) fn PlacesDialog() -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let dialog = NodeRef::<Dialog>::new();
    show_while(dialog, move || model.places_of.read().is_some());
    let day = Memo::new(move |_| {
        let column = model.places_of.get()?;
        model.view.with(|view| view.as_ref()?.days.get(column).cloned())
    });
    let title = move || {
        day.with(|day| {
            day.as_ref()
                .map_or_else(String::new, |day| format!("Places on {} {}", day.name, day.date_text))
        })
    };
    view! {
        <dialog
            class="dialog week-places"
            node_ref=dialog
            aria-label=title
            on:close=move |_| model.places_of.set(None)
        >
            <div class="stack">
                <div class="week-dialog-head">
                    <h2>{title}</h2>
                    <button type="button" class="button" on:click=move |_| model.places_of.set(None)>
                        "Close"
                    </button>
                </div>
                {move || {
                    day.get()
                        .map(|day| {
                            let date = day.date;
                            day.gauges
                                .into_iter()
                                .map(|gauge| view! { <PlaceView date=date gauge=gauge /> })
                                .collect_view()
                        })
                }}
                <p class="caution">{rackweek::keeping::CAUTION}</p>
            </div>
        </dialog>
    }
}

#[component]
fn PlaceView(date: Date, gauge: Gauge) -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let spot = expect_context::<ColdSpot>();
    let (place, at_fullest) = (gauge.place, date.at(fullest_minute(&gauge)));
    let empty = gauge.over_day.is_empty();
    let (at_peak, over_day) = (gauge.at_peak.clone(), gauge.over_day.clone());
    let later: Vec<Occupant> = over_day.into_iter().filter(|one| !at_peak.contains(one)).collect();
    let peak_title = if gauge.peak_time == "all day" {
        "All day".to_owned()
    } else {
        format!("Fullest {}", gauge.peak_time)
    };
    view! {
        <section class="week-place" class:over=gauge.overfull>
            <h3>
                <span class="week-letter">{place_letter(gauge.place)}</span>
                {gauge.overfull.then(|| view! { <SignView sign=Sign::Warn /> })}
                {gauge.words.clone()}
            </h3>
            {(!empty)
                .then(|| {
                    view! {
                        <div class="week-chart">
                            <Profile gauge=gauge.clone() />
                            <div class="week-hours" aria-hidden="true">
                                <span>"0"</span>
                                <span>"6"</span>
                                <span>"12"</span>
                                <span>"18"</span>
                                <span>"24"</span>
                            </div>
                        </div>
                        <Occupants title=peak_title occupants=at_peak />
                        <Occupants title="At other times".to_owned() occupants=later />
                        <button
                            type="button"
                            class="button"
                            aria-label=format!("See the {place} drawn to scale")
                            on:click=move |_| {
                                spot.look(place, at_fullest);
                                model.places_of.set(None);
                                model.app.go(Page::Cold, None);
                            }
                        >
                            "See it drawn to scale"
                        </button>
                    }
                })}
        </section>
    }
}

/// The minute of the day in the middle of its fullest stretch.
fn fullest_minute(gauge: &Gauge) -> u16 {
    let step = gauge.steps.iter().rev().max_by_key(|step| step.fill);
    let middle = step.map_or(500, |step| i32::midpoint(step.from, step.to));
    u16::try_from(middle * 1440 / 1000).unwrap_or(0).min(1439)
}

#[component]
fn Occupants(title: String, occupants: Vec<Occupant>) -> impl IntoView {
    (!occupants.is_empty()).then(|| {
        view! {
            <h4>{title}</h4>
            <ul class="week-occupants">
                {occupants
                    .into_iter()
                    .map(|one| {
                        view! {
                            <li>
                                <b>{one.mark}</b>
                                <span>{one.what}</span>
                                <span class="soft">{one.when}</span>
                            </li>
                        }
                    })
                    .collect_view()}
            </ul>
        }
    })
}
