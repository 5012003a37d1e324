//! One sitting in large: what to do with it, how long it has run, and all that is needed beside it.

use leptos::prelude::*;
use rackweek::order::OrderId;
use rackweek::record::Deed;
use rackweek::week::{After, BlockKey, Count, Job, JobState, left_words};

use super::page::BenchModel;
use super::sound;
use crate::app::cold::ColdSpot;
use crate::app::pages::card_link;
use crate::app::parts::{Confirm, Icon, OrderMark, Stepper};
use crate::app::pictures::Photos;
use crate::app::{AppState, Form, Page};

/// A sitting at hand.
#[component]
pub(super) fn JobCard(key: BlockKey) -> impl IntoView {
    let model = expect_context::<BenchModel>();
    let job = Memo::new(move |_| model.job(&key));
    // What does not change while it runs keeps its elements.
    let still = Memo::new(move |_| {
        let job = job.get()?;
        Some(Job { state: JobState::Later, worked: 0, since: None, took: None, count: None, ..job })
    });
    let class = move || match job.read().as_ref().map(|job| job.state) {
        Some(JobState::Running) => "card bench-job running",
        _ => "card bench-job",
    };
    view! {
        <article class=class>
            {move || still.get().map(|job| view! { <Head job=job /> })}
            <Actions job=job />
            <Pieces job=job />
            {move || still.get().map(|job| view! { <Beside job=job /> })}
            <Failed job=job />
        </article>
    }
}

#[component]
fn Head(job: Job) -> impl IntoView {
    view! {
        <header class="bench-head">
            <OrderMark id=job.order letters=job.mark.clone() />
            <div>
                <h3>{job.name.clone()}</h3>
                <p>{format!("{} for {}", job.product, job.whom)}</p>
                <p class="soft">{format!("{} · {}", job.time, job.facts)}</p>
            </div>
        </header>
        <p class="bench-detail">{job.detail.clone()}</p>
        {(!job.allergies.is_empty())
            .then(|| {
                view! {
                    <p class="bench-waits">
                        <Icon name="warn" />
                        {format!("Allergies: {}", job.allergies)}
                    </p>
                }
            })}
        <Waits names=job.waits_for.clone() />
        <OrderPictures order=job.order />
    }
}

/// What the order should look like.
#[component]
fn OrderPictures(order: OrderId) -> impl IntoView {
    let app = expect_context::<BenchModel>().desk.app;
    let pictures = Memo::new(move |_| app.book.read().pictures_of(order).to_vec());
    view! { <Photos id=format!("bench-pictures-{}", order.0) of="this order" pictures=pictures /> }
}

/// Steps before it of which nobody said that they are done.
#[component]
pub(super) fn Waits(names: Vec<String>) -> impl IntoView {
    (!names.is_empty()).then(|| {
        view! {
            <p class="bench-waits">
                <Icon name="warn" />
                {format!("Not said to be done before it: {}", names.join(", "))}
            </p>
        }
    })
}

/// Start, pause, done; and how long it has run.
#[component]
fn Actions(job: Memo<Option<Job>>) -> impl IntoView {
    let model = expect_context::<BenchModel>();
    let desk = model.desk;
    let state = Memo::new(move |_| job.read().as_ref().map_or(JobState::Done, |job| job.state));
    let oven = Memo::new(move |_| job.read().as_ref().is_some_and(|job| job.oven));
    let first = move || match (state.get(), oven.get()) {
        (JobState::Running, _) => "Pause",
        (JobState::Paused, _) => "Go on",
        (_, true) => "Into the oven",
        (_, false) => "Start",
    };
    let last = move || if oven.get() { "Out of the oven" } else { "Done" };
    let name = move || job.read().as_ref().map_or_else(String::new, |job| job.name.clone());
    let press = move |_| {
        sound::allow();
        let Some(job) = job.get_untracked() else { return };
        let (deed, word) = match job.state {
            JobState::Running => (Deed::Pause, "is paused"),
            JobState::Paused => (Deed::Start, "goes on"),
            _ => (Deed::Start, "is running"),
        };
        desk.deed(&job.key.step, deed, format!("{} {word}", job.name));
    };
    let done = move |_| {
        let Some(job) = job.get_untracked() else { return };
        // In a later task, so that no element goes while its own handler runs.
        set_timeout(
            move || {
                let begun = matches!(job.state, JobState::Running | JobState::Paused);
                let ended = if begun {
                    desk.deed(&job.key.step, Deed::Done, format!("{} is done", job.name))
                } else {
                    desk.is_done_now(&job)
                };
                if ended {
                    model.focus_heading();
                }
            },
            std::time::Duration::ZERO,
        );
    };
    view! {
        <Run job=job />
        <div class="bench-actions">
            <button
                type="button"
                class="button"
                class:strong=move || state.get() != JobState::Running
                aria-label=move || format!("{}: {}", first(), name())
                on:click=press
            >
                {first}
            </button>
            <button
                type="button"
                class="button"
                class:strong=move || state.get() == JobState::Running
                aria-label=move || format!("{}: {}", last(), name())
                on:click=done
            >
                <Icon name="check" />
                {last}
            </button>
        </div>
    }
}

/// How much of its time has gone.
#[component]
fn Run(job: Memo<Option<Job>>) -> impl IntoView {
    let desk = expect_context::<BenchModel>().desk;
    let shown = Memo::new(move |_| {
        let job = job.get()?;
        let begun = matches!(job.state, JobState::Running | JobState::Paused);
        begun.then_some(job)
    });
    let words = move |job: &Job| {
        let worked = job.worked_at(desk.seconds.get());
        let (gone, of) = (worked / 60, i64::from(job.minutes));
        let over = gone - of;
        match (job.oven, over > 0) {
            (true, _) => {
                let now = desk.seconds.get();
                let left = left_words(now + of * 60 - worked, now);
                if worked < of * 60 {
                    format!("{left} left in the oven")
                } else {
                    format!("Take it out: {left}")
                }
            }
            (_, true) => format!("{gone} min of {of}: {over} longer than reckoned"),
            (_, false) => format!("{gone} min of {of}"),
        }
    };
    move || {
        shown.get().map(|job| {
            let (paused, most) =
                (job.state == JobState::Paused, i64::from(job.minutes.max(1)) * 60);
            let bar = job.clone();
            view! {
                <div class="bench-run">
                    <p class="number">
                        {move || words(&job)}
                        {paused.then_some(" · paused")}
                    </p>
                    <progress
                        aria-hidden="true"
                        max=most.to_string()
                        prop:value=move || bar.worked_at(desk.seconds.get()).min(most) as f64
                    ></progress>
                </div>
            }
        })
    }
}

/// How many pieces are still whole.
#[component]
pub(super) fn Pieces(job: Memo<Option<Job>>) -> impl IntoView {
    let model = expect_context::<BenchModel>();
    let app = model.desk.app;
    let counted = Memo::new(move |_| {
        let job = job.get()?;
        let begun = !matches!(job.state, JobState::Due | JobState::Later | JobState::Unsaid);
        job.count.filter(|_| begun)
    });
    let there = Memo::new(move |_| counted.with(Option::is_some));
    let value = Signal::derive(move || {
        counted
            .with(|count| count.as_ref().map_or_else(String::new, |count| count.whole.to_string()))
    });
    let change = move |text: String| {
        let Some(job) = job.get_untracked() else { return };
        let Ok(pieces) = text.trim().parse::<u32>() else { return };
        if Some(pieces) == counted.with_untracked(|count| count.as_ref().map(|count| count.whole)) {
            return;
        }
        model.desk.deed(
            &job.key.step,
            Deed::CameOut(pieces),
            format!("{pieces} whole after {}", job.name),
        );
    };
    let short = Memo::new(move |_| counted.with(|count| count.as_ref().map_or(0, Count::short)));
    move || {
        there.get().then(|| {
            let job_now = job.get_untracked();
            let id = job_now.as_ref().map(|job| job.key.to_string()).unwrap_or_default();
            let order = job_now.as_ref().map(|job| job.order);
            let made = counted.with_untracked(|count| count.as_ref().map_or(0, |count| count.made));
            view! {
                <div class="bench-pieces">
                    <Stepper
                        id=format!("whole-{}", id.replace(['.', '#'], "-"))
                        label="Whole after this"
                        value=value
                        on_input=change
                        max=i64::from(made)
                    />
                    <p class="number">
                        {move || counted.with(|count| count.as_ref().map(Count::words))}
                    </p>
                </div>
                {move || {
                    let order = order?;
                    (short.get() > 0)
                        .then(|| {
                            view! {
                                <div class="banner bench-short" role="group" aria-label="Too few pieces">
                                    <p>
                                        <Icon name="warn" />
                                        {format!(
                                            "{} too few for the order. Make the batch again, make some more as a batch of its own, or agree on fewer with the client.",
                                            short.get(),
                                        )}
                                    </p>
                                    <div class="row">
                                        <button
                                            type="button"
                                            class="button"
                                            on:click=move |_| app.go(Page::Orders, Some(Form::Edit(order)))
                                        >
                                            "Open the order"
                                        </button>
                                    </div>
                                </div>
                            }
                        })
                }}
            }
        })
    }
}

/// What is needed, and what comes of it.
#[component]
pub(super) fn Beside(job: Job) -> impl IntoView {
    let list = |title: &'static str, lines: Vec<String>| {
        (!lines.is_empty()).then(|| {
            let lines = lines.into_iter().map(|line| view! { <li>{line}</li> }).collect_view();
            view! {
                <section>
                    <p class="bench-label">{title}</p>
                    <ul>{lines}</ul>
                </section>
            }
        })
    };
    let amounts = (!job.amounts.is_empty()).then(|| {
        let rows = job.amounts.iter().map(|(name, amount)| {
            view! {
                <li>
                    <span>{name.clone()}</span>
                    <strong class="number">{amount.clone()}</strong>
                </li>
            }
        });
        let rows = rows.collect_view();
        let title = if job.amounts_for_all { "Goes in, for all sittings" } else { "Goes in" };
        view! {
            <section>
                <p class="bench-label">{title}</p>
                <ul class="bench-amounts">{rows}</ul>
            </section>
        }
    });
    let after = (!job.after.is_empty()).then(|| {
        let rows = job.after.iter().cloned().map(|one| view! { <Afterwards one=one /> });
        let rows = rows.collect_view();
        view! {
            <section>
                <p class="bench-label">"Afterwards"</p>
                <ul>{rows}</ul>
            </section>
        }
    });
    view! {
        <div class="bench-beside">
            {list("Bring", job.bring.clone())}
            {amounts}
            {list("It should look like", job.looks.clone())}
            {list("Mind", job.notes.clone())}
            {after}
            {list("Keeps", job.limits.clone())}
        </div>
        {job.caution.map(|text| view! { <p class="caution">{text}</p> })}
        {card_link(&job.card, &job.step, format!("How it comes about: {}", job.name))}
    }
}

/// What goes where, and its picture.
#[component]
fn Afterwards(one: After) -> impl IntoView {
    let (app, spot) = (expect_context::<AppState>(), expect_context::<ColdSpot>());
    let picture = one.picture.map(|(place, at)| {
        view! {
            <button
                type="button"
                class="button quiet"
                on:click=move |_| {
                    spot.look(place, at);
                    app.go(Page::Cold, None);
                }
            >
                {format!("See where: {}", rackweek::week::place_word(place))}
            </button>
        }
    });
    let limit =
        (!one.limit.is_empty()).then(|| view! { <span class="soft small">{one.limit}</span> });
    view! { <li>{one.words} " " {limit} {picture}</li> }
}

/// "This batch failed": asks, then has it made again.
#[component]
pub(super) fn Failed(job: Memo<Option<Job>>) -> impl IntoView {
    let model = expect_context::<BenchModel>();
    let open = RwSignal::new(false);
    let begun = Memo::new(move |_| {
        job.read().as_ref().is_some_and(|job| {
            matches!(job.state, JobState::Running | JobState::Paused | JobState::Done)
        })
    });
    let again = move |()| {
        let Some(job) = job.get_untracked() else { return };
        set_timeout(
            move || {
                if model.desk.make_again(&job) {
                    model.focus_heading();
                }
            },
            std::time::Duration::ZERO,
        );
    };
    move || {
        begun.get().then(|| {
            view! {
                <div class="row">
                    <button type="button" class="button quiet" on:click=move |_| open.set(true)>
                        "This batch failed"
                    </button>
                </div>
                <Confirm
                    open=open
                    title="Make this batch again?"
                    yes="Make it again"
                    on_yes=again
                >
                    <p>
                        "This step and those that led to it are taken as not done and placed anew in the time that is left. The week then says what moved; Undo takes it back."
                    </p>
                </Confirm>
            }
        })
    }
}
