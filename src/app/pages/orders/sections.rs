//! The parts of the order form: who, when, what, and all the rest.

use leptos::prelude::*;
use rackweek::order::Stage;
use wasm_bindgen::JsCast;
use web_sys::HtmlElement;

use super::form::Desk;
use super::item::ItemForm;
use crate::app::intl;
use crate::app::parts::{Area, ErrorLine, For, Icon, Input, stage_name};

/// Client and theme.
#[component]
pub(super) fn Who(
    /// Of this form.
    desk: Desk,
) -> impl IntoView {
    view! {
        <section class="card stack">
            <h3>"Who and what for"</h3>
            <div class="grid-2">
                <Input
                    id="order-client"
                    label="Client"
                    value=desk.text(|draft| &draft.client)
                    on_input=move |text| desk.write("client", |draft| draft.client = text)
                    error=desk.error("client")
                    longest=120
                />
                <Input
                    id="order-theme"
                    label="Theme and colours"
                    value=desk.text(|draft| &draft.theme)
                    on_input=move |text| desk.write("theme", |draft| draft.theme = text)
                    error=desk.error("theme")
                />
            </div>
        </section>
    }
}

/// Date, time, collection or delivery.
#[component]
pub(super) fn When(
    /// Of this form.
    desk: Desk,
) -> impl IntoView {
    let delivery = Memo::new(move |_| desk.draft.read().delivery);
    let way = move |delivers: bool, name: &'static str| {
        view! {
            <button
                type="button"
                class="button"
                aria-pressed=move || (delivery.get() == delivers).to_string()
                on:click=move |_| desk.write("handover", |draft| draft.delivery = delivers)
            >
                {name}
            </button>
        }
    };
    let day = move || {
        let date = desk.draft.read().date.parse::<rackweek::calendar::Date>().ok()?;
        Some(intl::date_long(date))
    };
    view! {
        <section class="card stack">
            <h3>"Handover" <span class="soft">{move || day().map(|day| format!(" · {day}"))}</span></h3>
            <div class="grid-auto">
                <Input
                    id="order-handover-date"
                    label="Date"
                    kind="date"
                    value=desk.text(|draft| &draft.date)
                    on_input=move |text| desk.write("handover.date", |draft| draft.date = text)
                    error=desk.error("handover.date")
                />
                <Input
                    id="order-handover-time"
                    label="Time"
                    kind="time"
                    value=desk.text(|draft| &draft.time)
                    on_input=move |text| desk.write("handover.time", |draft| draft.time = text)
                    error=desk.error("handover.time")
                />
                <div class="field double">
                    <span class="label">"How"</span>
                    <div class="row tight" role="group" aria-label="How it is handed over">
                        {way(false, "Collection")} {way(true, "Delivery")}
                    </div>
                </div>
            </div>
            {move || {
                delivery
                    .get()
                    .then(|| {
                        view! {
                            <div class="grid-2">
                                <Input
                                    id="order-handover-travel"
                                    label="Way there"
                                    unit="min"
                                    keyboard="numeric"
                                    value=desk.text(|draft| &draft.travel)
                                    on_input=move |text| {
                                        desk.write("handover.travel", |draft| draft.travel = text);
                                    }
                                    error=desk.error("handover.travel")
                                    longest=4
                                />
                                <Input
                                    id="order-handover-place"
                                    label="Where to"
                                    value=desk.text(|draft| &draft.place)
                                    on_input=move |text| {
                                        desk.write("handover.place", |draft| draft.place = text);
                                    }
                                    error=desk.error("handover.place")
                                />
                            </div>
                        }
                    })
            }}
        </section>
    }
}

/// The items, and the cards to choose from.
#[component]
pub(super) fn Items(
    /// Of this form.
    desk: Desk,
) -> impl IntoView {
    // With another version of its card an item has other fields.
    let ids = Memo::new(move |_| {
        let draft = desk.draft.read();
        draft.items.iter().map(|item| (item.id, item.versions.is_empty())).collect::<Vec<_>>()
    });
    let choices = move || {
        let cards = super::Cards::newest();
        let products = cards.into_iter().filter(|card| !card.component);
        products
            .map(|card| {
                let (id, name) = (card.id.clone(), card.name.clone());
                let add = move |_| {
                    let cards = desk.cards.0.read_untracked();
                    let Some(card) = cards.iter().find(|card| card.id == id) else { return };
                    let mut added = None;
                    desk.write("items", |draft| added = Some(draft.add(card)));
                    if let Some(added) = added {
                        request_animation_frame(move || focus(&format!("item-{}-count", added.0)));
                    }
                };
                view! {
                    <li>
                        <button type="button" class="button" title=card.about.clone() on:click=add>
                            <Icon name="plus" />
                            {name}
                        </button>
                    </li>
                }
            })
            .collect_view()
    };
    let error = desk.error("items");
    view! {
        <section class="stack">
            <h3>"Items"</h3>
            <div class="grid-auto">
                <Input
                    id="order-guests"
                    label="Guests"
                    keyboard="numeric"
                    value=desk.text(|draft| &draft.guests)
                    on_input=move |text| desk.write("guests", |draft| draft.guests = text)
                    error=desk.error("guests")
                    longest=5
                />
            </div>
            <For each=move || ids.get() key=|(id, newest)| (id.0, *newest) let(item)>
                <ItemForm desk=desk id=item.0 />
            </For>
            <div class="field">
                <span class="label">"Add"</span>
                <ul
                    class="choice"
                    id="order-items"
                    tabindex="-1"
                    aria-label="Products"
                    // A list has no invalid state for a reader; the attribute is what is focused first.
                    aria-invalid=move || error.read().is_some().then_some("true")
                    aria-describedby="order-items-error"
                >
                    {choices}
                </ul>
                <ErrorLine id="order-items" error=error />
            </div>
        </section>
    }
}

/// Moves the focus to an element of the page.
pub(super) fn focus(id: &str) {
    let found =
        document().get_element_by_id(id).and_then(|field| field.dyn_into::<HtmlElement>().ok());
    if let Some(field) = found {
        let _ = field.focus();
    }
}

/// Allergies, notes, mark and stage.
#[component]
pub(super) fn More(
    /// Of this form.
    desk: Desk,
    /// The stage before; none for a new order.
    old_stage: Option<Stage>,
) -> impl IntoView {
    let stages: Vec<Stage> = match old_stage {
        None => vec![Stage::Enquiry, Stage::Quoted, Stage::Confirmed],
        Some(stage) => {
            Stage::ALL.into_iter().filter(|s| *s == stage || stage.may_become(*s)).collect()
        }
    };
    let buttons = stages
        .into_iter()
        .map(|stage| {
            view! {
                <button
                    type="button"
                    class="button"
                    aria-pressed=move || (desk.draft.read().stage == stage).to_string()
                    on:click=move |_| desk.write("stage", |draft| draft.stage = stage)
                >
                    {stage_name(stage)}
                </button>
            }
        })
        .collect_view();
    view! {
        <section class="card stack">
            <h3>"And also"</h3>
            <div class="grid-2">
                <Area
                    id="order-allergies"
                    label="Allergies"
                    value=desk.text(|draft| &draft.allergies)
                    on_input=move |text| desk.write("allergies", |draft| draft.allergies = text)
                    error=desk.error("allergies")
                />
                <Area
                    id="order-notes"
                    label="Notes"
                    value=desk.text(|draft| &draft.notes)
                    on_input=move |text| desk.write("notes", |draft| draft.notes = text)
                    error=desk.error("notes")
                />
            </div>
            <p class="caution">{rackweek::keeping::CAUTION}</p>
            <div class="grid-2">
                <div class="field">
                    <span class="label">"Stage"</span>
                    <div class="row tight" role="group" aria-label="Stage">
                        {buttons}
                    </div>
                    <p class="hint">"Only confirmed orders are placed in the week."</p>
                    <ErrorLine id="order-stage" error=desk.error("stage") />
                </div>
                <Input
                    id="order-mark"
                    label="Mark on the week"
                    hint="Two letters; left empty, the client’s initials."
                    value=desk.text(|draft| &draft.mark)
                    on_input=move |text| desk.write("mark", |draft| draft.mark = text)
                    error=desk.error("mark")
                    longest=2
                />
            </div>
            <div class="grid-2">
                <Input
                    id="order-past-best"
                    label="May be past its best by"
                    unit="h"
                    keyboard="numeric"
                    hint="Left empty, nothing is handed over past its best. Only quality gives way, and what is past is marked in the week; limits for safety stay as they are."
                    value=desk.text(|draft| &draft.past_best)
                    on_input=move |text| desk.write("past_best", |draft| draft.past_best = text)
                    error=desk.error("past_best")
                    longest=3
                />
            </div>
        </section>
    }
}
