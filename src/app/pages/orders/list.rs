//! The list of orders: by handover, filtered by stage, searched.

use std::cmp::Reverse;
use std::time::Duration;

use leptos::leptos_dom::helpers::{TimeoutHandle, set_timeout_with_handle};
use leptos::prelude::*;
use rackweek::calendar::{Date, Wall};
use rackweek::order::{HandoverWay, Order, OrderId, Stage};
use rackweek::plan::arrange::Arrange;
use rackweek::record::{Book, Command};

use super::draft::OrderDraft;
use super::earned::BroughtIn;
use super::standing::Standing;
use super::{Cards, stored_draft};
use crate::app::parts::{For, Icon, Input, OrderMark, StageBadge, is_unfolded, stage_name};
use crate::app::state::words;
use crate::app::{AppState, Form, Page, intl, prefs, routes};

/// Orders drawn at once: a screen of them, so that a letter of a search is answered within a blink.
const FIRST: usize = 8;
/// Orders drawn soon after; the others follow when they are asked for. A search looks through all.
const SHOWN: usize = 30;
/// How long nothing is typed before the others are drawn, ms: longer than the pause between two letters, so that no
/// letter waits for rows that the next one takes away.
const QUIET_MS: u64 = 400;

/// Ids in the order of the list: what is to come first, then what is done, the newest first.
fn listed(book: &Book, stage: Option<Stage>, search: &str) -> Vec<OrderId> {
    let search = search.trim().to_lowercase();
    let matches = |order: &&Order| {
        stage.is_none_or(|stage| order.stage == stage)
            && (search.is_empty()
                || [&order.client, &order.theme, &order.notes]
                    .iter()
                    .any(|text| text.to_lowercase().contains(&search)))
    };
    let (mut done, mut open): (Vec<&Order>, Vec<&Order>) =
        book.orders.values().filter(matches).partition(|order| order.is_over());
    open.arrange_by_key(|order| (order.handover.at, order.id));
    done.arrange_by_key(|order| Reverse((order.handover.at, order.id)));
    open.into_iter().chain(done).map(|order| order.id).collect()
}

/// The list.
#[component]
pub(super) fn OrderList() -> impl IntoView {
    let state = expect_context::<AppState>();
    let stage = RwSignal::new(None::<Stage>);
    let search = RwSignal::new(String::new());
    let shown = RwSignal::new(FIRST);
    let waiting = StoredValue::new(None::<TimeoutHandle>);
    // Before each letter and stage, so that no row is drawn only to be taken away.
    let begin = move || {
        if let Some(waiting) = waiting.get_value() {
            waiting.clear();
        }
        shown.set(FIRST);
        // The page may be left before; then nothing is there to be set.
        let more = move || {
            let _ = shown.try_set(SHOWN);
        };
        waiting.set_value(set_timeout_with_handle(more, Duration::from_millis(QUIET_MS)).ok());
    };
    begin();
    let ids = Memo::new(move |_| listed(&state.book.read(), stage.get(), &search.read()));
    let first = move || ids.read().iter().copied().take(shown.get()).collect::<Vec<OrderId>>();
    let count = move |stage: Option<Stage>| {
        let book = state.book.read();
        book.orders.values().filter(|order| stage.is_none_or(|s| order.stage == s)).count()
    };
    let filter = move |one: Option<Stage>| {
        let name = one.map_or_else(|| "All".to_owned(), stage_name);
        view! {
            <button
                type="button"
                class="button"
                aria-pressed=move || (stage.get() == one).to_string()
                // A stage in which nothing stands only takes room.
                hidden=move || one.is_some() && stage.get() != one && count(one) == 0
                on:click=move |_| {
                    begin();
                    stage.set(one);
                }
            >
                {name}
                <span class="number soft">{move || count(one)}</span>
            </button>
        }
    };
    view! {
        <section class="page narrow stack">
            <div class="row apart">
                <button
                    type="button"
                    class="button strong"
                    on:click=move |_| state.go(Page::Orders, Some(Form::New))
                >
                    <Icon name="plus" />
                    "New order"
                </button>
                <Input
                    id="order-search"
                    label="Search orders"
                    kind="search"
                    quiet=true
                    value=search
                    on_input=move |text| {
                        begin();
                        search.set(text);
                    }
                />
            </div>
            <UnsentDraft />
            <Show when=move || !state.book.read().orders.is_empty()>
                <BroughtIn />
            </Show>
            <div class="row tight" role="group" aria-label="Show stage">
                {filter(None)} {Stage::ALL.map(|stage| filter(Some(stage))).collect_view()}
            </div>
            {move || {
                ids.read()
                    .is_empty()
                    .then(|| {
                        let text = if state.book.read().orders.is_empty() {
                            "No orders yet. Enter the first one, and its steps find their place in your week."
                        } else {
                            "No order matches. Choose another stage, or search for less."
                        };
                        view! { <p class="card soft">{text}</p> }
                    })
            }}
            <ul
                class="order-list"
                aria-busy=move || (shown.get() < SHOWN && shown.get() < ids.read().len()).to_string()
            >
                <For each=first key=|id| id.0 let(id)>
                    <OrderRow id=id />
                </For>
            </ul>
            {move || {
                let more = ids.read().len().saturating_sub(shown.get());
                (0 < more && SHOWN <= shown.get())
                    .then(|| {
                        view! {
                            <div>
                                <button
                                    type="button"
                                    class="button"
                                    on:click=move |_| shown.update(|shown| *shown += SHOWN)
                                >
                                    {format!("Show {} more of {more}", more.min(SHOWN))}
                                </button>
                            </div>
                        }
                    })
            }}
        </section>
    }
}

/// What was typed and not saved.
#[component]
fn UnsentDraft() -> impl IntoView {
    let state = expect_context::<AppState>();
    let draft = RwSignal::new(stored_draft());
    move || {
        draft.get().map(|kept| {
            let who = if kept.client.trim().is_empty() {
                "without a client yet".to_owned()
            } else {
                format!("for {}", kept.client.trim())
            };
            let form = kept.order.map_or(Form::New, Form::Edit);
            view! {
                <div class="banner">
                    <p>"An order that is not saved: " {who}</p>
                    <button
                        type="button"
                        class="button"
                        on:click=move |_| state.go(Page::Orders, Some(form.clone()))
                    >
                        "Go on"
                    </button>
                    <button
                        type="button"
                        class="button quiet"
                        on:click=move |_| {
                            prefs::clear(prefs::Slot::OrderDraft);
                            draft.set(None);
                        }
                    >
                        "Discard it"
                    </button>
                </div>
            }
        })
    }
}

/// "in 3 days", "today", "2 days ago".
fn distance(today: Date, at: Wall) -> String {
    match at.date().days_since(today) {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        -1 => "yesterday".to_owned(),
        days if days > 0 => format!("in {days} days"),
        days => format!("{} days ago", -days),
    }
}

/// "collection", "delivery to the village hall, 25 min".
fn way(order: &Order) -> String {
    match &order.handover.way {
        HandoverWay::Collection => "collection".to_owned(),
        HandoverWay::Delivery { travel, place } if place.is_empty() => {
            format!("delivery, {}", intl::duration(u32::from(*travel)))
        }
        HandoverWay::Delivery { travel, place } => {
            format!("delivery to {place}, {}", intl::duration(u32::from(*travel)))
        }
    }
}

/// One order.
#[component]
fn OrderRow(
    /// Which.
    id: OrderId,
) -> impl IntoView {
    let state = expect_context::<AppState>();
    let cards = expect_context::<Cards>();
    let order = Memo::new(move |_| state.book.read().orders.get(&id).cloned());
    let today = Memo::new(move |_| state.now.get().date());
    move || {
        let order = order.get()?;
        let what = cards.items(&order);
        let names =
            order.items.iter().map(|item| cards.name(&item.card)).collect::<Vec<_>>().join(", ");
        let when = format!("{} · {}", intl::date_time(order.handover.at), way(&order));
        let far = distance(today.get(), order.handover.at);
        let done = order.is_over();
        let guests = match order.guests {
            0 => String::new(),
            1 => "for 1 guest".to_owned(),
            guests => format!("for {guests} guests"),
        };
        let past_best = u32::from(order.past_best) * 60;
        Some(view! {
            <li class="card order-row" class:done=done>
                <OrderMark id=id letters=order.mark() />
                <div class="order-words">
                    <a
                        class="order-name"
                        href=routes::address(Page::Orders, Some(Form::Edit(id)))
                        on:click=move |event| {
                            if !(event.ctrl_key() || event.meta_key() || event.shift_key()) {
                                event.prevent_default();
                                state.go(Page::Orders, Some(Form::Edit(id)));
                            }
                        }
                    >
                        {order.client.clone()}
                    </a>
                    {(!order.theme.is_empty())
                        .then(|| view! { <span class="soft">{order.theme.clone()}</span> })}
                    <span class="order-when number">{when} <span class="soft">" · " {far}</span></span>
                    <span class="soft small" title=names>{what} {guests}</span>
                    {(!order.allergies.is_empty())
                        .then(|| {
                            view! {
                                <span class="badge warn order-allergies">
                                    "Allergies: " {order.allergies.clone()}
                                </span>
                            }
                        })}
                    {(0 < past_best)
                        .then(|| {
                            view! {
                                <span class="badge">
                                    {format!("May be {} past its best", intl::duration(past_best))}
                                </span>
                            }
                        })}
                </div>
                <div class="order-side">
                    <Standing id=id />
                    <StageBadge stage=order.stage />
                    <Actions order=order />
                </div>
            </li>
        })
    }
}

/// What can be done with an order from the list.
#[component]
fn Actions(
    /// Which.
    order: Order,
) -> impl IntoView {
    let client = order.client.clone();
    let order = StoredValue::new(order);
    let open = RwSignal::new(false);
    view! {
        <details class="order-actions" prop:open=open on:toggle=move |event| open.set(is_unfolded(&event))>
            <summary class="button quiet" aria-label=format!("Change the order for {client}")>
                "Change"
            </summary>
            // Of hundreds of orders one or two are changed.
            {move || open.get().then(|| view! { <Choices order=order.get_value() /> })}
        </details>
    }
}

/// The ways to go on with an order.
#[component]
fn Choices(
    /// Which.
    order: Order,
) -> impl IntoView {
    let state = expect_context::<AppState>();
    let cards = expect_context::<Cards>();
    let id = order.id;
    let client = order.client.clone();
    let stages = order
        .stage
        .moves()
        .iter()
        .map(|next| {
            let next = *next;
            let client = client.clone();
            view! {
                <li>
                    <button
                        type="button"
                        class="button"
                        on:click=move |_| {
                            match state.apply(Command::SetStage(id, next)) {
                                Ok(()) => state.say(format!("{client}: {next}"), true),
                                Err(refusals) => state.say(words(&refusals), false),
                            }
                        }
                    >
                        {stage_name(next)}
                    </button>
                </li>
            }
        })
        .collect_view();
    let again = StoredValue::new(order);
    let duplicate = move |_| {
        let draft = again.with_value(|order| OrderDraft::again(order, &cards.0.read_untracked()));
        prefs::set(prefs::Slot::OrderDraft, &draft);
        state.go(Page::Orders, Some(Form::New));
    };
    let name = client.clone();
    let remove = move |_| match state.apply(Command::RemoveOrder(id)) {
        Ok(()) => state.say(format!("Order for {name} removed"), true),
        Err(refusals) => state.say(words(&refusals), false),
    };
    view! {
        <ul class="stack tight" aria-label="Make it">
            {stages}
            <li>
                <button
                    type="button"
                    class="button"
                    aria-label=format!("Labels for {client}")
                    on:click=move |_| state.go(Page::Orders, Some(Form::Labels(id)))
                >
                    "Labels"
                </button>
            </li>
            <li>
                <button type="button" class="button" on:click=duplicate>"Again for another day"</button>
            </li>
            <li>
                <button type="button" class="button danger" on:click=remove>"Remove"</button>
            </li>
        </ul>
    }
}
