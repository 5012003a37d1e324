//! The first start: the demo at once, or three steps to one's own week.

use leptos::prelude::*;
use rackweek::calendar::MyTime;
use rackweek::kitchen::{PRESET_NOTE, presets};
use rackweek::record::Command;

use super::time::TimeStep;
use crate::app::parts::Icon;
use crate::app::state::words;
use crate::app::{AppState, Page, clock};

/// The page. Where it stands follows from the book, so that a reload goes on where it was.
#[component]
pub(crate) fn First() -> impl IntoView {
    let state = expect_context::<AppState>();
    let step = Memo::new(move |_| {
        let book = state.book.read();
        if book.kitchen.is_none() { 1 } else { 2 }
    });
    move || match step.get() {
        1 => view! { <Welcome /> }.into_any(),
        _ => view! { <Second /> }.into_any(),
    }
}

/// What this is, the demo, and the kitchens to start from.
#[component]
fn Welcome() -> impl IntoView {
    let state = expect_context::<AppState>();
    let demo = move |_| {
        let book = rackweek::demo::demo(clock::now());
        match state.apply(Command::ReplaceAll(Box::new(book))) {
            Ok(()) => {
                state.say("This is the demo; “Keep safe” erases it again", true);
                state.go(Page::Week, None);
            }
            Err(refusals) => state.say(words(&refusals), false),
        }
    };
    let kitchens = presets()
        .into_iter()
        .map(|preset| {
            let kitchen = preset.kitchen;
            view! {
                <li>
                    <button
                        type="button"
                        class="button"
                        on:click=move |_| {
                            if let Err(refusals) = state.apply(Command::SetKitchen(kitchen.clone())) {
                                state.say(words(&refusals), false);
                            }
                        }
                    >
                        {preset.name}
                    </button>
                </li>
            }
        })
        .collect_view();
    view! {
        <section class="page first">
            <div class="first-words stack">
                <h2 class="first-title">"Dessert orders, placed around your day job"</h2>
                <p>
                    "Enter what a client wants and when. Every step finds a place in your free evenings, every wait a place in fridge, freezer, rack or on the counter, and you see beforehand whether it fits."
                </p>
                <p class="soft">"Everything stays on this device, and works without a network."</p>
            </div>
            <div class="first-ways">
                <section class="card stack">
                    <h2>"Look around first"</h2>
                    <p>"A baker, her kitchen and a week with several orders, all invented."</p>
                    <div>
                        <button type="button" class="button strong" on:click=demo>
                            "Try the demo"
                        </button>
                    </div>
                </section>
                <section class="card stack">
                    <Steps at=1 />
                    <h2>"Which kitchen is most like yours?"</h2>
                    <p class="soft small">{PRESET_NOTE} ", later, on the page “Kitchen”."</p>
                    <ul class="stack tight first-kitchens">{kitchens}</ul>
                </section>
            </div>
        </section>
    }
}

/// Her time.
#[component]
fn Second() -> impl IntoView {
    let state = expect_context::<AppState>();
    let go_on = move |time: MyTime| match state.apply(Command::SetTime(time)) {
        Ok(()) => state.go(Page::Orders, Some(crate::app::Form::New)),
        Err(refusals) => state.say(words(&refusals), false),
    };
    view! {
        <section class="page narrow stack">
            <Steps at=2 />
            <h2>"When are you not in the kitchen?"</h2>
            <p class="soft">"Roughly is enough; single days, family time and limits follow on “My time”."</p>
            <TimeStep on_done=go_on />
        </section>
    }
}

/// Where the set-up stands.
#[component]
pub(crate) fn Steps(
    /// 1 to 3.
    at: usize,
) -> impl IntoView {
    let steps = ["Kitchen", "My time", "First order"]
        .into_iter()
        .enumerate()
        .map(|(index, name)| {
            let number = index + 1;
            view! {
                <li aria-current=(number == at).then_some("step") class:past={number < at}>
                    <span class="step-sign number">
                        {if number < at {
                            view! { <Icon name="check" /> }.into_any()
                        } else {
                            number.into_any()
                        }}
                    </span>
                    {name}
                </li>
            }
        })
        .collect_view();
    view! { <ol class="steps" aria-label="Set-up">{steps}</ol> }
}
