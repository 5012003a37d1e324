//! What was planned for a time that is over, and of which nobody has said anything.

use leptos::prelude::*;
use rackweek::week::BlockKey;

use super::page::BenchModel;
use crate::app::parts::{For, OrderMark};

/// Asks, row by row.
#[component]
pub(super) fn Ask(keys: Memo<Vec<BlockKey>>) -> impl IntoView {
    view! {
        <section class="card bench-list bench-ask">
            <h2>"Was this done?"</h2>
            <p class="soft">
                "Planned for a time that is over. Until you say so the week takes it as done."
            </p>
            <ul>
                <For each=move || keys.get() key=Clone::clone let:key>
                    <AskRow key=key />
                </For>
            </ul>
        </section>
    }
}

#[component]
fn AskRow(key: BlockKey) -> impl IntoView {
    let model = expect_context::<BenchModel>();
    let job = Memo::new(move |_| model.job(&key));
    let answer = move |yes: bool| {
        let Some(job) = job.get_untracked() else { return };
        set_timeout(
            move || {
                let said =
                    if yes { model.desk.was_done(&job) } else { model.desk.was_not_done(&job) };
                if said {
                    model.focus_heading();
                }
            },
            std::time::Duration::ZERO,
        );
    };
    move || {
        job.get().map(|job| {
            view! {
                <li class="bench-row">
                    <OrderMark id=job.order letters=job.mark.clone() />
                    <span class="bench-asked">
                        <strong>{job.name.clone()}</strong>
                        " "
                        <span class="soft">{format!("{} · {}", job.product, job.when)}</span>
                    </span>
                    <span class="row">
                        <button
                            type="button"
                            class="button strong"
                            aria-label=format!("Yes, done: {}", job.name)
                            on:click=move |_| answer(true)
                        >
                            "Yes"
                        </button>
                        <button
                            type="button"
                            class="button"
                            aria-label=format!("Not yet: {}", job.name)
                            on:click=move |_| answer(false)
                        >
                            "Not yet"
                        </button>
                    </span>
                </li>
            }
        })
    }
}
