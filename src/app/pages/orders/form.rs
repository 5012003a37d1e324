//! The form for one order. Nothing is in the book until it is saved; what is typed survives a reload.

use std::sync::Arc;

use leptos::prelude::*;
use rackweek::kitchen::Kitchen;
use rackweek::order::{Order, OrderId, Stage};
use rackweek::record::Command;
use wasm_bindgen::JsCast;
use web_sys::HtmlElement;

use super::draft::{Errors, OrderDraft};
use super::item::ItemForm;
use super::preview::{Preview, preview};
use super::{Cards, stored_draft};
use crate::app::pages::kitchen::usual;
use crate::app::parts::{Area, ErrorLine, Icon, Input, stage_name};
use crate::app::{AppState, Page, intl, prefs};

/// What the parts of the form share.
#[derive(Clone, Copy)]
pub(super) struct Desk {
    pub(super) draft: RwSignal<OrderDraft>,
    pub(super) errors: RwSignal<Errors>,
    pub(super) cards: Cards,
    pub(super) kitchen: StoredValue<Arc<Kitchen>>,
}

impl Desk {
    /// What is wrong with a field.
    pub(super) fn error(self, field: impl Into<String>) -> Signal<Option<String>> {
        let field = field.into();
        Signal::derive(move || self.errors.read().get(&field).cloned())
    }

    /// Writes into the draft and takes the field's error away: it is being put right.
    pub(super) fn write(self, field: &str, write: impl FnOnce(&mut OrderDraft)) {
        self.draft.update(write);
        if self.errors.read_untracked().contains_key(field) {
            self.errors.update(|errors| {
                errors.remove(field);
            });
        }
    }

    /// A field of the draft as a signal.
    fn text(self, read: fn(&OrderDraft) -> &String) -> Signal<String> {
        Signal::derive(move || read(&self.draft.read()).clone())
    }

    /// What the order comes to; an unfinished form counts what can be read.
    pub(super) fn preview(self, only: Option<rackweek::order::ItemId>) -> Preview {
        let cards = self.cards.0.read();
        let draft = self.draft.read();
        let items = draft
            .items
            .iter()
            .filter(|item| only.is_none_or(|id| item.id == id))
            .map(|item| item.item(0, &cards, &mut |_, _| {}))
            .filter(|item| (1..=1000).contains(&item.count) && item.spares <= item.count)
            .collect();
        let empty =
            OrderDraft { date: "2000-01-03".to_owned(), items: Vec::new(), ..draft.clone() };
        let time = OrderDraft { time: "10:00".to_owned(), delivery: false, ..empty };
        let Ok(order) = time.order(OrderId(1), &cards) else { return Preview::default() };
        preview(&Order { items, ..order }, &cards, &self.kitchen.get_value())
    }
}

/// The form.
#[component]
pub(super) fn OrderForm(
    /// None: a new one.
    order: Option<Order>,
) -> impl IntoView {
    let state = expect_context::<AppState>();
    let cards = expect_context::<Cards>();
    let id = order.as_ref().map(|order| order.id);
    let fresh = order
        .as_ref()
        .map_or_else(OrderDraft::new, |order| OrderDraft::of(order, &cards.0.read_untracked()));
    let kept = stored_draft().filter(|draft| draft.order == id && *draft != fresh);
    let came_back = RwSignal::new(kept.is_some());
    let start = StoredValue::new(fresh.clone());
    let kitchen = state.book.read_untracked().kitchen.clone().unwrap_or_else(usual);
    let desk = Desk {
        draft: RwSignal::new(kept.unwrap_or(fresh)),
        errors: RwSignal::new(Errors::new()),
        cards,
        kitchen: StoredValue::new(Arc::new(kitchen)),
    };
    Effect::new(move |_| {
        let draft = desk.draft.read();
        if start.with_value(|start| *start == *draft) {
            // Opening a form and leaving it is no draft; another order's draft stays.
            if prefs::get::<OrderDraft>(prefs::Slot::OrderDraft)
                .is_some_and(|kept| kept.order == id)
            {
                prefs::clear(prefs::Slot::OrderDraft);
            }
        } else {
            prefs::set(prefs::Slot::OrderDraft, &*draft);
        }
    });
    let save = move || save(state, desk, id);
    let title = order
        .as_ref()
        .map_or_else(|| "New order".to_owned(), |order| format!("Order for {}", order.client));
    let old_stage = order.as_ref().map(|order| order.stage);
    let total = Memo::new(move |_| desk.preview(None).by_hand);
    view! {
        <form
            class="page narrow stack order-form"
            novalidate=true
            on:submit=move |event| {
                event.prevent_default();
                save();
            }
        >
            <div class="row apart">
                <h2>{title}</h2>
                <button
                    type="button"
                    class="button"
                    on:click=move |_| state.go(Page::Orders, None)
                >
                    "Back"
                </button>
            </div>
            {move || {
                came_back
                    .get()
                    .then(|| {
                        view! {
                            <div class="banner">
                                <p>"This is what you had typed and not saved."</p>
                                <button
                                    type="button"
                                    class="button"
                                    on:click=move |_| {
                                        desk.draft.set(start.get_value());
                                        came_back.set(false);
                                    }
                                >
                                    "Discard it"
                                </button>
                            </div>
                        }
                    })
            }}
            <Who desk=desk />
            <When desk=desk />
            <Items desk=desk />
            <More desk=desk old_stage=old_stage />
            <div class="form-end">
                <p class="soft">
                    {move || {
                        let minutes = total.get();
                        if minutes == 0 {
                            "Add what you will make".to_owned()
                        } else {
                            format!(
                                "About {} by hand in all",
                                intl::duration(minutes.next_multiple_of(15)),
                            )
                        }
                    }}
                </p>
                <button type="submit" class="button strong">
                    <Icon name="check" />
                    "Save order"
                </button>
            </div>
        </form>
    }
}

fn save(state: AppState, desk: Desk, id: Option<OrderId>) {
    let cards = desk.cards.0.read_untracked().clone();
    let draft = desk.draft.get_untracked();
    let number = id.unwrap_or_else(|| state.book.read_untracked().next_order());
    let is_first = state.book.read_untracked().orders.is_empty();
    let answer = draft.order(number, &cards).and_then(|order| {
        let said = format!(
            "Order for {} saved, handover {}",
            order.client.trim(),
            intl::date_time(order.handover.at)
        );
        match state.apply(Command::PutOrder(order)) {
            Ok(()) => Ok(said),
            Err(refusals) => Err(draft.placed(&refusals)),
        }
    });
    match answer {
        Ok(said) => {
            prefs::clear(prefs::Slot::OrderDraft);
            state.say(said, true);
            state.go(if is_first { Page::Week } else { Page::Orders }, None);
        }
        Err(errors) => {
            let unplaced: Vec<String> = errors
                .iter()
                .filter(|(field, _)| field.is_empty() || *field == "id" || *field == "order")
                .map(|(_, text)| text.clone())
                .collect();
            state.say(
                if unplaced.is_empty() {
                    format!("Not saved yet: {} to put right", errors.len())
                } else {
                    unplaced.join("; ")
                },
                false,
            );
            desk.errors.set(errors);
            // After the errors are drawn.
            request_animation_frame(focus_first_error);
        }
    }
}

/// The first field of the form that is marked as wrong.
fn focus_first_error() {
    let found = document().query_selector(".order-form [aria-invalid=true]").ok().flatten();
    if let Some(field) = found.and_then(|field| field.dyn_into::<HtmlElement>().ok()) {
        let _ = field.focus();
    }
}

/// Client and theme.
#[component]
fn Who(
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
fn When(
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
                <div class="field">
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
fn Items(
    /// Of this form.
    desk: Desk,
) -> impl IntoView {
    let ids =
        Memo::new(move |_| desk.draft.read().items.iter().map(|item| item.id).collect::<Vec<_>>());
    let choices = move || {
        let cards = desk.cards.0.read();
        let products = cards.iter().filter(|card| !card.component);
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
            <For each=move || ids.get() key=|id| id.0 let(id)>
                <ItemForm desk=desk id=id />
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
fn More(
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
        </section>
    }
}
