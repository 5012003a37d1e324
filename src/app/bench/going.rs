//! What leaves today: its check list, and "Handed over".

use leptos::prelude::*;
use rackweek::care::HandoverCheck;
use rackweek::keeping::CAUTION;
use rackweek::order::{OrderId, Picture, Stage};
use rackweek::quote::ready_words;
use rackweek::record::Command;
use rackweek::week::Going;

use super::page::BenchModel;
use crate::app::pages::page_link;
use crate::app::parts::{Confirm, For, Icon, OrderMark, SendOn};
use crate::app::pictures::Photos;
use crate::app::{Form, Page, intl, send};

/// All orders that leave.
#[component]
pub(super) fn GoingOut(going: Memo<Vec<Going>>) -> impl IntoView {
    view! {
        <section class="bench-now">
            <h2>"Going out"</h2>
            <For
                each=move || going.get()
                key=|one: &Going| (one.order.0, one.when.clone(), one.keeps.clone(), one.late)
                let:one
            >
                <GoingCard one=one />
            </For>
        </section>
    }
}

#[component]
fn GoingCard(one: Going) -> impl IntoView {
    let model = expect_context::<BenchModel>();
    let app = model.desk.app;
    let id = one.order;
    let checks = Memo::new(move |_| -> Vec<HandoverCheck> {
        let book = app.book.read();
        book.orders.get(&id).and_then(|order| book.handover_checks(order)).unwrap_or_default()
    });
    let open = Memo::new(move |_| checks.read().iter().filter(|check| !check.done).count());
    let ids =
        Memo::new(move |_| checks.read().iter().map(|check| check.id.clone()).collect::<Vec<_>>());
    let asking = RwSignal::new(false);
    let whom = one.whom.clone();
    let hand_over = move || {
        let words = format!("{whom}: handed over");
        set_timeout(
            move || {
                if model.desk.run(Command::SetStage(id, Stage::HandedOver), words) {
                    model.focus_heading();
                }
            },
            std::time::Duration::ZERO,
        );
    };
    let over = hand_over.clone();
    let label = format!("Handed over: {}", one.whom);
    view! {
        <article class="card bench-job" aria-label=format!("Handover to {}", one.whom)>
            <header class="bench-head">
                <OrderMark id=id letters=one.mark.clone() />
                <div>
                    <h3>{one.whom.clone()}</h3>
                    <p>{format!("leaves {}", one.when)}</p>
                </div>
            </header>
            {one
                .late
                .then(|| {
                    view! {
                        <p class="bench-waits">
                            <Icon name="warn" />
                            "It should have left by now."
                        </p>
                    }
                })}
            {(!one.keeps.is_empty())
                .then(|| {
                    view! {
                        <ul class="week-notes">
                            {one.keeps.iter().map(|line| view! { <li>{line.clone()}</li> }).collect_view()}
                        </ul>
                        <p class="caution">{CAUTION}</p>
                    }
                })}
            <ul class="bench-checks">
                <For each=move || ids.get() key=Clone::clone let:line>
                    <CheckRow order=id line=line checks=checks />
                </For>
            </ul>
            <Handed order=id />
            <Ready order=id />
            {page_link(Page::Orders, Form::Labels(id), "Labels".to_owned())}
            <div class="bench-actions one">
                <button
                    type="button"
                    class="button"
                    class:strong=move || open.get() == 0
                    aria-label=label
                    on:click=move |_| {
                        if open.get_untracked() == 0 { over() } else { asking.set(true) }
                    }
                >
                    <Icon name="check" />
                    "Handed over"
                </button>
            </div>
            <Confirm
                open=asking
                title="Handed over already?"
                yes="Handed over"
                on_yes=move |()| hand_over()
            >
                <p>{move || format!("{} on the check list not ticked.", lines(open.get()))}</p>
            </Confirm>
        </article>
    }
}

/// Photos of what leaves.
#[component]
fn Handed(order: OrderId) -> impl IntoView {
    let desk = expect_context::<BenchModel>().desk;
    let handed = Memo::new(move |_| {
        let book = desk.app.book.read();
        book.orders.get(&order).map(|order| order.handed.clone()).unwrap_or_default()
    });
    let keep = move |pictures: Vec<Picture>| {
        desk.run(Command::SetHanded(order, pictures), "Photos of the handover kept");
    };
    view! {
        <div class="stack">
            <p class="bench-label">"A photo of what leaves"</p>
            <Photos
                id=format!("handed-{}", order.0)
                of="the handover"
                pictures=handed
                on_change=keep
            />
        </div>
    }
}

/// A message for the client that it is ready, to be copied or sent.
#[component]
fn Ready(order: OrderId) -> impl IntoView {
    let app = expect_context::<BenchModel>().desk.app;
    let text = Memo::new(move |_| {
        let book = app.book.read();
        book.orders.get(&order).map_or_else(String::new, |order| {
            let know = book.client_facts(order).unwrap_or_default();
            ready_words(order, &know, &intl::date_time)
        })
    });
    let id = format!("ready-{}", order.0);
    let named = id.clone();
    view! {
        <details class="bench-ready">
            <summary>"A message for the client"</summary>
            <div class="field">
                <label for=named>"That it is ready"</label>
                <textarea class="input" id=id rows="6" readonly=true prop:value=text></textarea>
            </div>
            <div class="row tight">
                <button
                    type="button"
                    class="button"
                    on:click=move |_| send::copy(app, "Message", text.get_untracked())
                >
                    "Copy the message"
                </button>
                <SendOn title="Your order" kind="text" value=text />
            </div>
        </details>
    }
}

fn lines(count: usize) -> String {
    if count == 1 { "1 line is".to_owned() } else { format!("{count} lines are") }
}

#[component]
fn CheckRow(order: OrderId, line: String, checks: Memo<Vec<HandoverCheck>>) -> impl IntoView {
    let desk = expect_context::<BenchModel>().desk;
    let key = line.clone();
    let check = Memo::new(move |_| checks.read().iter().find(|check| check.id == key).cloned());
    let done = move || check.read().as_ref().is_some_and(|check| check.done);
    let words = move || check.read().as_ref().map_or_else(String::new, |check| check.words.clone());
    view! {
        <li>
            <label class="switch">
                <input
                    type="checkbox"
                    prop:checked=done
                    on:change=move |event| {
                        let on = event_target_checked(&event);
                        let words = if on { "Ticked" } else { "Not ticked" };
                        desk.run(Command::CheckHandover(order, line.clone(), on), words);
                    }
                />
                <span>{words}</span>
            </label>
        </li>
    }
}
