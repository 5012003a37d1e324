//! What moved when the week was planned anew: a count, the list, and the way back.

use leptos::html::Dialog;
use leptos::prelude::*;
use rackweek::week::{Moved, moved, moved_words};

use super::model::WeekModel;
use crate::app::parts::show_while;

impl WeekModel {
    /// What the newest plan put elsewhere.
    fn displaced(&self) -> Vec<Moved> {
        if let Some(offer) = self.trials.shown.get() {
            return offer.moved.clone();
        }
        let Some(displaced) = self.app.displaced.get() else { return Vec::new() };
        self.view.track();
        self.with(|input| moved(input, &displaced.before, &displaced.after)).unwrap_or_default()
    }
}

/// How many sittings moved; a tap tells which.
#[component]
pub(super) fn MovedButton() -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let count = Memo::new(move |_| model.displaced().len());
    move || {
        let count = count.get();
        (count > 0).then(|| {
            view! {
                <button
                    type="button"
                    class="button quiet week-moved"
                    aria-haspopup="dialog"
                    on:click=move |_| model.moved_open.set(true)
                >
                    {moved_words(count)}
                </button>
            }
        })
    }
}

/// Which sittings moved, and the way back.
#[component]
pub(super) fn MovedDialog() -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let dialog = NodeRef::<Dialog>::new();
    let open = model.moved_open;
    show_while(dialog, move || open.get());
    let lines = Memo::new(move |_| if open.get() { model.displaced() } else { Vec::new() });
    let by_her = Memo::new(move |_| {
        model.app.displaced.with(|displaced| displaced.as_ref().is_some_and(|of| of.by_her))
    });
    let in_trial = move || model.trials.shown.read().is_some();
    let settle = move |_| {
        open.set(false);
        model.app.displaced.set(None);
    };
    let back = move |_| {
        open.set(false);
        model.app.displaced.set(None);
        model.app.undo();
    };
    view! {
        <dialog
            class="dialog"
            node_ref=dialog
            aria-label="What moved"
            on:close=move |_| open.set(false)
        >
            <div class="stack">
                <div class="week-dialog-head">
                    <h2>"What moved"</h2>
                    <button type="button" class="button" on:click=move |_| open.set(false)>
                        "Close"
                    </button>
                </div>
                <p class="soft">
                    {move || {
                        if in_trial() {
                            "With this trial:"
                        } else if by_her.get() {
                            "To make room for your last change:"
                        } else {
                            "Time has passed, and the week was planned anew:"
                        }
                    }}
                </p>
                <MovedList lines=lines />
                <div class="week-actions" hidden=in_trial>
                    <button type="button" class="button strong" on:click=settle>
                        "All right"
                    </button>
                    <Show when=move || by_her.get()>
                        <button
                            type="button"
                            class="button"
                            disabled=move || !model.may_write()
                            on:click=back
                        >
                            "Undo my change"
                        </button>
                    </Show>
                </div>
            </div>
        </dialog>
    }
}

/// From where to where.
#[component]
pub(crate) fn MovedList(#[prop(into)] lines: Signal<Vec<Moved>>) -> impl IntoView {
    view! {
        <ul class="week-moved-list">
            {move || {
                lines
                    .get()
                    .into_iter()
                    .map(|Moved { what, from, to, .. }| {
                        view! {
                            <li>
                                <span>{what}</span>
                                <span class="week-from-to">
                                    <span class="soft">{from}</span>
                                    <span aria-hidden="true">" → "</span>
                                    <span class="aside">" to "</span>
                                    <strong>{to}</strong>
                                </span>
                            </li>
                        }
                    })
                    .collect_view()
            }}
        </ul>
    }
}
