//! What rings is seen on every page, and heard where the browser allows it.

use leptos::prelude::*;
use rackweek::week::{Ring, left_words};

use super::desk::BenchDesk;
use super::sound;
use crate::app::Page;
use crate::app::parts::{For, Icon};

/// Under the title: what has ended and was not heard; else, on other pages, what ends first.
#[component]
pub(crate) fn RingBar() -> impl IntoView {
    let desk = expect_context::<BenchDesk>();
    sound::follow(&desk);
    // Said once, when it begins to call: the bar itself is no live region, since it counts on.
    Effect::new(move |before: Option<Vec<String>>| {
        let calling = desk.calling.get();
        let known = before.unwrap_or_default();
        for ring in calling.iter().filter(|ring| !known.contains(&ring.id)) {
            desk.app.say(format!("{} is over", ring.name), false);
        }
        calling.into_iter().map(|ring| ring.id).collect()
    });
    let first = Memo::new(move |_| {
        let now = desk.seconds.get();
        let elsewhere = desk.app.page.get() != Page::Bench;
        let running = |ring: &&Ring| ring.loud && !ring.heard && now < ring.ends;
        elsewhere.then(|| desk.rings.with(|rings| rings.iter().find(running).cloned())).flatten()
    });
    let none = Memo::new(move |_| desk.calling.read().is_empty());
    view! {
        <div class="rings">
            <For
                each=move || desk.calling.get()
                key=|ring: &Ring| ring.id.clone()
                let:ring
            >
                <Calling ring=ring />
            </For>
            {move || {
                first
                    .get()
                    .filter(|_| none.get())
                    .map(|ring| {
                        let label = format!("Timers on the bench sheet, first: {}", ring.name);
                        view! {
                            <button
                                type="button"
                                class="button quiet ring-next"
                                aria-label=label
                                on:click=move |_| desk.app.go(Page::Bench, None)
                            >
                                <Icon name="bell" />
                                <span class="number">
                                    {move || left_words(ring.ends, desk.seconds.get())}
                                </span>
                                <span class="ring-name">{ring.name.clone()}</span>
                            </button>
                        }
                    })
            }}
        </div>
    }
}

#[component]
fn Calling(ring: Ring) -> impl IntoView {
    let desk = expect_context::<BenchDesk>();
    let (name, ends) = (ring.name.clone(), ring.ends);
    view! {
        <div class="banner ring" role="group" aria-label="A timer is over">
            <p>
                <Icon name="bell" />
                <span>
                    <strong>{name.clone()}</strong>
                    " "
                    {move || left_words(ends, desk.seconds.get())}
                </span>
            </p>
            <button
                type="button"
                class="button"
                aria-label=format!("Heard: {name}")
                on:click=move |_| {
                    let ring = ring.clone();
                    set_timeout(move || desk.hear(&ring), std::time::Duration::ZERO);
                }
            >
                "Heard"
            </button>
        </div>
    }
}
