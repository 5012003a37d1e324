//! What runs: the oven, what rests, and timers of her own.

use leptos::prelude::*;
use rackweek::record::Timer;
use rackweek::week::{Ring, left_words};

use super::page::BenchModel;
use super::sound;
use crate::app::clock;
use crate::app::parts::{For, Icon, Input};

/// Minutes that one press sets.
const MINUTES: [u32; 8] = [1, 5, 8, 10, 12, 15, 30, 60];

/// The list, and the way to a new one.
#[component]
pub(super) fn TimerList() -> impl IntoView {
    let desk = expect_context::<BenchModel>().desk;
    let name = RwSignal::new(String::new());
    let rings = Memo::new(move |_| desk.rings.with(|rings| rings.to_vec()));
    let empty = Memo::new(move |_| rings.read().is_empty());
    let add = move |minutes: u32| {
        sound::allow();
        let typed = name.get_untracked().trim().to_owned();
        let typed = if typed.is_empty() { format!("Timer of {minutes} min") } else { typed };
        let id = desk.app.book.with_untracked(|book| book.timers.next_own());
        let ends = clock::seconds_now() + i64::from(minutes) * 60;
        let words = format!("{typed}: {minutes} min from now");
        if desk.put_timer(Timer { id, name: typed, ends, heard: false }, words) {
            name.set(String::new());
        }
    };
    let chips = MINUTES
        .into_iter()
        .map(|minutes| {
            view! {
                <button
                    type="button"
                    class="button"
                    aria-label=format!("Set a timer of {minutes} min")
                    on:click=move |_| add(minutes)
                >
                    {minutes}
                    " min"
                </button>
            }
        })
        .collect_view();
    view! {
        <section class="card bench-list bench-timers">
            <h2>"Timers"</h2>
            {move || {
                empty
                    .get()
                    .then(|| {
                        view! {
                            <p class="soft">
                                "Nothing runs. What you put into the oven and what rests after a step runs here by itself."
                            </p>
                        }
                    })
            }}
            <ul>
                <For
                    each=move || rings.get()
                    key=|ring: &Ring| (ring.id.clone(), ring.ends, ring.name.clone())
                    let:ring
                >
                    <TimerRow ring=ring />
                </For>
            </ul>
            <div class="bench-new">
                <Input
                    id="timer-name"
                    label="A timer for"
                    value=name
                    on_input=move |text| name.set(text)
                    hint="For example syrup. Then press the minutes."
                    longest=60
                />
                <div class="choice" role="group" aria-label="Minutes">
                    {chips}
                </div>
            </div>
            <sound::Allow />
        </section>
    }
}

#[component]
fn TimerRow(ring: Ring) -> impl IntoView {
    let desk = expect_context::<BenchModel>().desk;
    let ends = ring.ends;
    let over = Memo::new(move |_| ends <= desk.seconds.get());
    let left = move || left_words(ends, desk.seconds.get());
    let (name, own, quiet) = (ring.name.clone(), ring.own, !ring.loud);
    let stop_label = {
        let name = name.clone();
        move || format!("{}: {name}", if over.get() { "Heard" } else { "Stop" })
    };
    let more_label = format!("One minute more: {name}");
    let more = {
        let ring = ring.clone();
        own.then(move || {
            view! {
                <button
                    type="button"
                    class="button"
                    aria-label=more_label
                    on:click=move |_| {
                        let from = ring.ends.max(clock::seconds_now());
                        let Ring { id, name, .. } = ring.clone();
                        let words = format!("{name}: one minute more");
                        let timer = Timer { id, name, ends: from + 60, heard: false };
                        desk.put_timer(timer, words);
                    }
                >
                    "+1"
                </button>
            }
        })
    };
    // What bakes or rests goes on whatever is pressed; only its end can be heard.
    let stop = move || {
        let (ring, label) = (ring.clone(), stop_label.clone());
        (own || over.get()).then(|| {
            view! {
                <button
                    type="button"
                    class="button"
                    aria-label=label
                    on:click=move |_| {
                        let ring = ring.clone();
                        set_timeout(move || desk.hear(&ring), std::time::Duration::ZERO);
                    }
                >
                    {move || if over.get() { "Heard" } else { "Stop" }}
                </button>
            }
        })
    };
    view! {
        <li class="bench-row" class:over=over>
            <span class="bench-left number">
                {move || over.get().then(|| view! { <Icon name="bell" /> })}
                {left}
            </span>
            <span>
                {name}
                {quiet.then(|| view! { <span class="soft">" · ends without a sound"</span> })}
            </span>
            <span class="row">{more} {stop}</span>
        </li>
    }
}
