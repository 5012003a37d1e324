//! Words for the client: the quote and the confirmation as text, to be copied or sent.
//!
//! In: the form as it is written, what it comes to, her terms. Out: text, and a command that keeps her terms.

use std::sync::Arc;

use leptos::prelude::*;
use rackweek::quote::{Basis, Dues, Letter, Minor, Pricing, Writing};
use rackweek::record::Command;

use super::form::Desk;
use super::labels::last_line;
use super::quote::Counted;
use crate::app::parts::{Area, SendOn, Switch, capital};
use crate::app::{AppState, intl, send};

/// How many days a quote stands.
const STANDS_DAYS: i64 = 7;

/// Both texts, what goes into them, and ways out.
#[component]
pub(super) fn Letters(
    /// Of the form.
    desk: Desk,
    /// What the order comes to.
    counted: Memo<Option<Arc<Counted>>>,
    /// Rates and terms.
    pricing: Memo<Pricing>,
) -> impl IntoView {
    let state = expect_context::<AppState>();
    let with_prices = RwSignal::new(true);
    let know = Memo::new(move |_| {
        let counted = counted.get()?;
        let mut know = state.book.read().client_facts(&counted.order)?;
        know.push(last_line());
        Some(know)
    });
    let text = move |confirmed: bool| {
        let counted = counted.get()?;
        let way = counted.asked()?;
        let pricing = pricing.read();
        let rates = &pricing.rates;
        let list = counted.list.as_ref().filter(|_| way.basis == Basis::List);
        let amount = |index: usize| list.and_then(|list| list.get(index)).copied();
        let draft = desk.draft.read();
        // Names and notes are no part of what is planned.
        let mut order = counted.order.clone();
        (order.client, order.theme) = (draft.client.clone(), draft.theme.clone());
        order.allergies.clone_from(&draft.allergies);
        for item in &mut order.items {
            if let Some(of) = draft.items.iter().find(|of| of.id == item.id) {
                item.notes.clone_from(&of.notes);
            }
        }
        let items = order.items.iter().enumerate();
        let items: Vec<(String, Option<Minor>)> =
            items.map(|(index, item)| (desk.cards.name(&item.card), amount(index))).collect();
        let know = know.get().unwrap_or_default();
        let letter = Letter {
            order: &order,
            items: &items,
            price: way.price,
            total: way.total,
            dues: Dues::of(way.total, order.handover.at.date(), rates),
            with_prices: with_prices.get(),
            know: &know,
            terms: &pricing.terms,
        };
        let with = Writing {
            money: &|amount| intl::money(amount, rates),
            day: &intl::date_long,
            moment: &intl::date_time,
        };
        let until = state.now.read().date().plus_days(STANDS_DAYS);
        Some(if confirmed { letter.confirmation(&with) } else { letter.quote(until, &with) })
    };
    let letter = move |id: &'static str, label: &'static str, confirmed: bool| {
        let text = Memo::new(move |_| text(confirmed).unwrap_or_default());
        view! {
            <div class="field">
                <label for=id>{label}</label>
                <textarea class="input" id=id rows="12" readonly=true prop:value=text></textarea>
            </div>
            <div class="row tight">
                <button
                    type="button"
                    class="button"
                    aria-label=format!("Copy: {label}")
                    on:click=move |_| send::copy(state, label, text.get_untracked())
                >
                    "Copy"
                </button>
                <SendOn title=label kind="text" value=text label=format!("Send: {label}") />
            </div>
        }
    };
    let error = RwSignal::new(None);
    let keep_terms = move |terms: String| {
        let changed = Pricing { terms, ..pricing.get_untracked() };
        let answer = state.apply(Command::SetPricing(Box::new(changed)));
        let first = answer.err().and_then(|refusals| refusals.into_iter().next());
        error.set(first.map(|refusal| capital(&format!("terms {}", refusal.message))));
    };
    view! {
        <details>
            <summary class="fit-why">"Words for the client"</summary>
            <div class="stack">
                <Switch
                    id="letter-prices"
                    label="With prices"
                    on=with_prices
                    on_change=move |on| with_prices.set(on)
                />
                <Area
                    id="letter-terms"
                    label="Your terms, at the end of each"
                    value=Signal::derive(move || pricing.read().terms.clone())
                    on_change=keep_terms
                    error=error
                />
                {letter("quote-text", "Quote", false)}
                {letter("quote-confirmation", "Confirmation", true)}
                <p class="soft small">
                    "What the client is told comes from the method cards; it is common practice, no published source."
                </p>
                <p class="caution">{rackweek::keeping::CAUTION}</p>
            </div>
        </details>
    }
}
