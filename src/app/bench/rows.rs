//! Rows of what is to come and of what was done, opened by a tap.

use leptos::prelude::*;
use rackweek::record::Deed;
use rackweek::week::{BlockKey, Job, JobState, Line};

use super::job::{Beside, Failed, Pieces, Waits};
use super::page::BenchModel;
use super::sound;
use crate::app::parts::{OrderMark, Stepper};

/// Something that is to come.
#[component]
pub(super) fn LineRow(line: Line) -> impl IntoView {
    let head = view! {
        <span class="bench-time number">{line.time.clone()}</span>
        <OrderMark id=line.order letters=line.mark.clone() />
        <span>
            <strong>{line.title.clone()}</strong>
            " "
            <span class="soft">{line.detail.clone()}</span>
        </span>
    };
    match line.job {
        None => view! { <li class="bench-row">{head}</li> }.into_any(),
        Some(job) => view! {
            <li>
                <details class="bench-details">
                    <summary class="bench-row">{head}</summary>
                    <Early job=job />
                </details>
            </li>
        }
        .into_any(),
    }
}

/// What is to come can be begun early.
#[component]
fn Early(job: Job) -> impl IntoView {
    let model = expect_context::<BenchModel>();
    let (step, name) = (job.key.step.clone(), job.name.clone());
    let label = format!("Start now: {name}");
    view! {
        <div class="bench-open">
            <p>{job.detail.clone()}</p>
            <p class="soft">{job.facts.clone()}</p>
            <Waits names=job.waits_for.clone() />
            <div class="row">
                <button
                    type="button"
                    class="button"
                    aria-label=label
                    on:click=move |_| {
                        sound::allow();
                        let (step, name) = (step.clone(), name.clone());
                        set_timeout(
                            move || {
                                if model.desk.deed(&step, Deed::Start, format!("{name} is running")) {
                                    model.focus_heading();
                                }
                            },
                            std::time::Duration::ZERO,
                        );
                    }
                >
                    "Start now"
                </button>
            </div>
            <Beside job=job />
        </div>
    }
}

/// Something that was done: how long it took, what came out.
#[component]
pub(super) fn DoneRow(key: BlockKey) -> impl IntoView {
    let model = expect_context::<BenchModel>();
    let id = key.to_string().replace(['.', '#'], "-");
    let job = Memo::new(move |_| model.job(&key));
    let head = move || {
        job.get().map(|job| {
            let took = job.took.map(|took| format!("took {took} min of {}", job.minutes));
            view! {
                <span class="bench-time number">{job.time.clone()}</span>
                <OrderMark id=job.order letters=job.mark.clone() />
                <span>
                    <strong>{job.name.clone()}</strong>
                    " "
                    <span class="soft">{took.unwrap_or_else(|| "ticked off".to_owned())}</span>
                </span>
            }
        })
    };
    let noted = Memo::new(move |_| job.read().as_ref().is_some_and(|job| job.took.is_some()));
    let took = Signal::derive(move || {
        let took = job.read().as_ref().and_then(|job| job.took);
        took.map_or_else(String::new, |took| took.to_string())
    });
    let change = move |text: String| {
        let (Some(job), Ok(minutes)) = (job.get_untracked(), text.trim().parse::<u32>()) else {
            return;
        };
        if minutes > 0 && job.took != Some(minutes) {
            let words = format!("{} took {minutes} min", job.name);
            model.desk.deed(&job.key.step, Deed::Took(minutes), words);
        }
    };
    let last = Memo::new(move |_| {
        // Minutes and pieces are noted of the sitting that was begun last.
        job.read().as_ref().is_some_and(|job| {
            let progress = model.desk.app.book.read();
            let went = progress.progress.get(&job.key.step);
            went.is_some_and(|went| went.sittings.len() == job.key.sitting + 1)
        })
    });
    let not_done = move |_| {
        let Some(job) = job.get_untracked().filter(|job| job.state == JobState::Done) else {
            return;
        };
        set_timeout(
            move || {
                if model.desk.was_not_done(&job) {
                    model.focus_heading();
                }
            },
            std::time::Duration::ZERO,
        );
    };
    view! {
        <li>
            <details class="bench-details">
                <summary class="bench-row">
                    <span aria-hidden="true" class="bench-tick">"✓"</span>
                    {head}
                </summary>
                <div class="bench-open">
                    {move || {
                        (noted.get() && last.get())
                            .then(|| {
                                view! {
                                    <Stepper
                                        id=format!("took-{id}")
                                        label="It took about, minutes"
                                        value=took
                                        on_input=change
                                        min=1
                                        max=1440
                                        step=5
                                    />
                                    <Pieces job=job />
                                }
                            })
                    }}
                    <Failed job=job />
                    <div class="row">
                        <button type="button" class="button quiet" on:click=not_done>
                            "Not done after all"
                        </button>
                    </div>
                </div>
            </details>
        </li>
    }
}
