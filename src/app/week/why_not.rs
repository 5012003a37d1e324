//! The panel over a week that does not hold, the ways out, and the trial of one of them.

use std::sync::Arc;

use leptos::html::Dialog;
use leptos::prelude::*;

use super::model::WeekModel;
use super::sign::{Sign, SignView};
use super::trials::Offer;
use crate::app::parts::{For, show_while};

/// One sentence over the days, and the way to what helps.
#[component]
pub(super) fn WhyNotPanel() -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let trials = model.trials;
    let headline = Memo::new(move |_| {
        trials.trouble.with(|trouble| trouble.as_ref().map(|trouble| trouble.headline.clone()))
    });
    let count = move || trials.offers.read().len();
    move || {
        headline.get().map(|headline| {
            view! {
                <section class="week-why-not" aria-label="Why it does not fit">
                    <SignView sign=Sign::Warn />
                    <p>
                        <strong>{headline}</strong>
                    </p>
                    <button
                        type="button"
                        class="button"
                        aria-haspopup="dialog"
                        on:click=move |_| model.why_not_open.set(true)
                    >
                        {move || match (count(), trials.trying.get()) {
                            (0, true) => "Why? Looking for ways out …".to_owned(),
                            (0, false) => "Why?".to_owned(),
                            (1, _) => "Why, and 1 way out".to_owned(),
                            (many, _) => format!("Why, and {many} ways out"),
                        }}
                    </button>
                </section>
            }
        })
    }
}

/// What cannot hold together, and what helps.
#[component]
pub(super) fn WhyNotDialog() -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let trials = model.trials;
    let dialog = NodeRef::<Dialog>::new();
    let open = model.why_not_open;
    show_while(dialog, move || open.get());
    let trouble = move || trials.trouble.get();
    let offers = move || trials.offers.get();
    view! {
        <dialog
            class="dialog week-why-not-sheet"
            node_ref=dialog
            aria-label="Why it does not fit"
            on:close=move |_| open.set(false)
        >
            <div class="stack">
                <div class="week-dialog-head">
                    <h2>"Why it does not fit"</h2>
                    <button type="button" class="button" on:click=move |_| open.set(false)>
                        "Close"
                    </button>
                </div>
                {move || {
                    trouble()
                        .map(|trouble| {
                            let lines = trouble
                                .lines
                                .iter()
                                .cloned()
                                .map(|line| view! { <li>{line}</li> })
                                .collect_view();
                            view! {
                                <p>
                                    <strong>{trouble.headline.clone()}</strong>
                                </p>
                                {(!trouble.lines.is_empty())
                                    .then(|| {
                                        view! {
                                            <p class="soft">"This cannot all be kept at once:"</p>
                                            <ul class="week-notes">{lines}</ul>
                                        }
                                    })}
                            }
                        })
                }}
                <section>
                    <h3>"What would help"</h3>
                    <p class="soft small" role="status">
                        {move || match (offers().len(), trials.trying.get()) {
                            (_, true) => "Trying ways out …",
                            (0, false) => {
                                "Nothing that was tried helps by itself; move a handover or a pin"
                            }
                            _ => "Each was tried: with it the week holds",
                        }}
                    </p>
                    <ul class="week-offers">
                        <For each=offers key=|offer| offer.words.clone() let:offer>
                            <OfferView offer=offer />
                        </For>
                    </ul>
                </section>
            </div>
        </dialog>
    }
}

#[component]
fn OfferView(offer: Arc<Offer>) -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let (show, take) = (Arc::clone(&offer), Arc::clone(&offer));
    let clauses = offer.clauses.join(" · ");
    let name = offer.words.clone();
    let can = offer.can_be_taken();
    view! {
        <li>
            <div>
                <strong>{offer.words.clone()}</strong>
                <span class="soft small">{clauses}</span>
                {(!can)
                    .then(|| {
                        view! { <span class="soft small">"Yours to arrange: the book cannot note it"</span> }
                    })}
            </div>
            <div class="week-offer-buttons">
                <button
                    type="button"
                    class="button"
                    aria-label=format!("Show the week with: {name}")
                    on:click=move |_| {
                        model.why_not_open.set(false);
                        model.trials.shown.set(Some(Arc::clone(&show)));
                    }
                >
                    "Show"
                </button>
                {can
                    .then(|| {
                        view! {
                            <button
                                type="button"
                                class="button strong"
                                aria-label=format!("Do it: {name}")
                                disabled=move || !model.may_write()
                                on:click=move |_| {
                                    model.why_not_open.set(false);
                                    model.take_later(Arc::clone(&take));
                                }
                            >
                                "Do it"
                            </button>
                        }
                    })}
            </div>
        </li>
    }
}

/// Says that what is on screen is a trial; stands in the bar's place.
#[component]
pub(super) fn TrialBar() -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let trials = model.trials;
    move || {
        trials.shown.get().map(|offer| {
            let take = Arc::clone(&offer);
            let moved = offer.moved.len();
            view! {
                <div class="week-trial-bar" role="region" aria-label="Trial">
                    <p role="status">
                        <strong>"Trial: "</strong>
                        {offer.words.clone()}
                        <span class="soft">" Nothing has changed yet."</span>
                    </p>
                    <div class="week-offer-buttons">
                        {(moved > 0)
                            .then(|| {
                                view! {
                                    <button
                                        type="button"
                                        class="button"
                                        aria-haspopup="dialog"
                                        on:click=move |_| model.moved_open.set(true)
                                    >
                                        {format!("{moved} moved")}
                                    </button>
                                }
                            })}
                        {offer
                            .can_be_taken()
                            .then(|| {
                                view! {
                                    <button
                                        type="button"
                                        class="button"
                                        on:click=move |_| model.take_later(Arc::clone(&take))
                                    >
                                        "Do it"
                                    </button>
                                }
                            })}
                        <button
                            type="button"
                            class="button"
                            on:click=move |_| {
                                set_timeout(
                                    move || trials.shown.set(None),
                                    std::time::Duration::ZERO,
                                );
                            }
                        >
                            "Back"
                        </button>
                    </div>
                </div>
            }
        })
    }
}

impl WeekModel {
    /// Takes a way out in a later task, so that no button goes while its own handler runs.
    fn take_later(&self, offer: Arc<Offer>) {
        let model = *self;
        set_timeout(move || model.trials.take(&model, &offer), std::time::Duration::ZERO);
    }
}
