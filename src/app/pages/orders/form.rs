//! The form for one order. Nothing is in the book until it is saved; what is typed survives a reload.

use std::sync::Arc;

use leptos::prelude::*;
use rackweek::kitchen::Kitchen;
use rackweek::margin::Margins;
use rackweek::order::{Order, OrderId};
use rackweek::record::Command;
use wasm_bindgen::JsCast;
use web_sys::HtmlElement;

use super::care::CarePanel;
use super::draft::{Errors, OrderDraft};
use super::fit::{FitPanel, FitShort, keep_asking};
use super::looks::Looks;
use super::preview::{Preview, preview};
use super::quote::QuotePanel;
use super::sections::{Items, More, When, Who};
use super::{Cards, stored_draft};
use crate::app::pages::kitchen::usual;
use crate::app::parts::{CameBack, Icon};
use crate::app::{AppState, Page, intl, prefs};

/// What the parts of the form share.
#[derive(Clone, Copy)]
pub(super) struct Desk {
    pub(super) draft: RwSignal<OrderDraft>,
    pub(super) errors: RwSignal<Errors>,
    pub(super) cards: Cards,
    pub(super) kitchen: Memo<Arc<Kitchen>>,
    /// What was timed.
    pub(super) margins: Memo<Margins>,
    /// What the form asks of the week, or what is missing for that.
    pub(super) wish: Memo<Result<Order, Vec<String>>>,
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
    pub(super) fn text(self, read: fn(&OrderDraft) -> &String) -> Signal<String> {
        Signal::derive(move || read(&self.draft.read()).clone())
    }

    /// What the order comes to; an unfinished form counts what can be read.
    pub(super) fn preview(self, only: Option<rackweek::order::ItemId>) -> Preview {
        let Some(order) = self.sketch(only) else { return Preview::default() };
        preview(&order, &self.cards.0.read(), &self.kitchen.read(), &self.margins.read())
    }

    /// The order as far as it can be read, at no real time, with all items or one.
    pub(super) fn sketch(self, only: Option<rackweek::order::ItemId>) -> Option<Order> {
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
        let none = String::new();
        let empty = OrderDraft { guests: none.clone(), past_best: none, ..empty };
        let time = OrderDraft { time: "10:00".to_owned(), delivery: false, ..empty };
        let order = time.order(OrderId(1), &cards).ok()?;
        Some(Order { items, ..order })
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
    let draft = RwSignal::new(kept.unwrap_or(fresh));
    let desk = Desk {
        draft,
        errors: RwSignal::new(Errors::new()),
        cards,
        kitchen: Memo::new(move |_| {
            Arc::new(state.book.read().kitchen.clone().unwrap_or_else(usual))
        }),
        margins: Memo::new(move |_| state.book.read().margins.clone()),
        wish: Memo::new(move |_| draft.read().wish(&state.book.read(), &cards.0.read())),
    };
    // What is over needs no place in the week.
    let is_open = order.as_ref().is_none_or(|order| !order.is_over());
    if is_open {
        keep_asking(desk);
    }
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
            <CameBack
                came_back=came_back
                words="This is what you had typed and not saved."
                on_discard=move |()| desk.draft.set(start.get_value())
            />
            <div class="order-body">
                <div class="stack">
                    <Who desk=desk />
                    <When desk=desk />
                    <Looks desk=desk order=id />
                    <Items desk=desk />
                    <More desk=desk old_stage=old_stage />
                    <CarePanel desk=desk />
                    <QuotePanel desk=desk order=id />
                </div>
                {is_open.then(|| view! { <FitPanel desk=desk /> })}
            </div>
            <div class="form-end">
                {is_open.then(|| view! { <FitShort /> })}
                <p class="soft form-total">
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
    let answer = draft.order(number, &cards).and_then(|mut order| {
        if let Some(known) = state.book.read_untracked().orders.get(&number) {
            order.checked.clone_from(&known.checked);
            order.handed.clone_from(&known.handed);
        }
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
