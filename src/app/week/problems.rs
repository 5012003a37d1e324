//! The list of what does not fit; each line leads to its block.

use leptos::html::Dialog;
use leptos::prelude::*;

use super::model::WeekModel;
use super::sign::{Sign, SignView};
use crate::app::parts::show_while;

/// The list, above the page.
#[component]
pub(super) fn ProblemsDialog() -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let dialog = NodeRef::<Dialog>::new();
    show_while(dialog, move || model.problems_open.get());
    let problems = Memo::new(move |_| {
        model.view.with(|view| view.as_ref().map_or_else(Vec::new, |view| view.problems.clone()))
    });
    view! {
        <dialog
            class="dialog"
            node_ref=dialog
            aria-label="What does not fit"
            on:close=move |_| model.problems_open.set(false)
        >
            <div class="stack">
                <div class="week-dialog-head">
                    <h2>"What does not fit"</h2>
                    <button type="button" class="button" on:click=move |_| model.problems_open.set(false)>
                        "Close"
                    </button>
                </div>
                <ul class="week-problem-list">
                    {move || {
                        problems
                            .get()
                            .into_iter()
                            .map(|problem| {
                                let first = problem.blocks.first().cloned();
                                let day = problem.day;
                                view! {
                                    <li>
                                        <SignView sign=Sign::Warn />
                                        <span>{problem.text}</span>
                                        {first
                                            .map(|key| {
                                                view! {
                                                    <button
                                                        type="button"
                                                        class="button"
                                                        on:click=move |_| {
                                                            model.problems_open.set(false);
                                                            model.jump(key.clone(), day);
                                                        }
                                                    >
                                                        "Show"
                                                    </button>
                                                }
                                            })}
                                    </li>
                                }
                            })
                            .collect_view()
                    }}
                </ul>
                <Show when=move || model.trials.trouble.read().is_some()>
                    <button
                        type="button"
                        class="button strong"
                        on:click=move |_| {
                            model.problems_open.set(false);
                            model.why_not_open.set(true);
                        }
                    >
                        "Why, and what would help"
                    </button>
                </Show>
                <p class="soft small">
                    "Move a sitting, let a pinned one go, make room, or agree on another handover. \
                     The plan is made anew after each change."
                </p>
            </div>
        </dialog>
    }
}
