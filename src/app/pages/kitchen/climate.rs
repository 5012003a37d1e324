//! How warm it is, and how long things wait because of it: reckoned, or timed by her.

use leptos::prelude::*;
use rackweek::breakdown::Wait;
use rackweek::kitchen::MeasuredWait;

use super::{Heading, Room, degrees, tiny};
use crate::app::intl;
use crate::app::parts::{For, Icon, Measure, Remove, capital};

/// Temperatures and humidity.
#[component]
pub(super) fn Climate(
    /// Of this page.
    room: Room,
) -> impl IntoView {
    let number = move |read: fn(&rackweek::heat::Climate) -> i64| {
        Signal::derive(move || read(&room.kitchen.read().warmth.climate))
    };
    let set = move |write: fn(&mut rackweek::heat::Climate, i64)| {
        move |value: i64| room.change(|kitchen| write(&mut kitchen.warmth.climate, value))
    };
    let caution = move || room.kitchen.read().warmth.climate.caution();
    view! {
        <section class="card stack">
            <Heading title="How warm it is" group="warmth" total=Signal::stored(String::new()) />
            <div class="grid-4">
                <Measure
                    id="warmth-room"
                    label="Room"
                    unit="°C"
                    value=number(|c| c.room.into())
                    on_commit=set(|c, value| c.room = degrees(value))
                />
                <Measure
                    id="warmth-humidity"
                    label="Humidity"
                    unit="%"
                    value=number(|c| c.humidity.into())
                    on_commit=set(|c, value| c.humidity = tiny(value))
                />
                <Measure
                    id="warmth-fridge"
                    label="Fridge inside"
                    unit="°C"
                    value=number(|c| c.fridge.into())
                    on_commit=set(|c, value| c.fridge = degrees(value))
                />
                // Keys for numbers often have no minus, and no freezer is above zero.
                <Measure
                    id="warmth-freezer"
                    label="Freezer inside"
                    unit="°C"
                    value=number(|c| c.freezer.into())
                    on_commit=set(|c, value| c.freezer = degrees(-value.abs()))
                />
            </div>
            {move || {
                caution()
                    .map(|words| {
                        view! {
                            <p class="row">
                                <Icon name="warn" />
                                {words}
                                "."
                            </p>
                        }
                    })
            }}
        </section>
        <Waits room=room />
    }
}

/// Every wait of the orders, and what she timed.
#[component]
fn Waits(
    /// Of this page.
    room: Room,
) -> impl IntoView {
    let waits = Memo::new(move |_| room.state.book.read().waits());
    let keys = Memo::new(move |_| waits.read().iter().map(key).collect::<Vec<_>>());
    let others = Memo::new(move |_| {
        let listed = keys.read();
        let mut own = room.kitchen.read().warmth.measured.clone();
        own.retain(|m| !listed.contains(&(m.card.clone(), m.wait.clone(), m.size.clone())));
        own
    });
    view! {
        <section class="card stack">
            <h2>"Waiting times"</h2>
            <p class="soft small">
                "How long the things of your orders cool, chill and thaw, reckoned from their size. Time them once with a thermometer: your time counts, and other sizes follow it. What must be cold for safety keeps its limits."
            </p>
            <Show when=move || keys.read().is_empty()>
                <p class="soft">"They show here as soon as an order has something that cools, chills or thaws."</p>
            </Show>
            <ul class="takes-list">
                <For each=move || keys.get() key=|key| key.clone() let(key)>
                    <WaitRow room=room waits=waits which=key />
                </For>
                {move || {
                    let each = |own| view! { <Other room=room own=own /> };
                    others.get().into_iter().map(each).collect_view()
                }}
            </ul>
        </section>
    }
}

/// Card, wait and size.
type Key = (String, String, String);

fn key(wait: &Wait) -> Key {
    (wait.card.clone(), wait.wait.clone(), wait.size.clone())
}

/// Sets what she timed, or takes it back.
fn time(room: Room, (card, wait, size): &Key, own: Option<(u32, u32)>) -> Result<(), String> {
    room.change(|kitchen| kitchen.warmth.time(card, wait, size, own))
}

/// One wait.
#[component]
fn WaitRow(
    /// Of this page.
    room: Room,
    /// All.
    waits: Memo<Vec<Wait>>,
    /// Which.
    which: Key,
) -> impl IntoView {
    let id = format!("wait-{}-{}-{}", which.0, which.1, which.2)
        .replace(|c: char| !c.is_alphanumeric(), "-");
    let which = StoredValue::new(which);
    let found = Memo::new(move |_| {
        which.with_value(|w| waits.read().iter().find(|o| key(o) == *w).cloned())
    });
    let read = move |read: fn(&Wait) -> String| {
        Signal::derive(move || found.read().as_ref().map(read).unwrap_or_default())
    };
    let own = Memo::new(move |_| found.read().as_ref().is_some_and(|w| w.timed == Some(true)));
    let minutes = Signal::derive(move || found.read().as_ref().map_or(0, |w| i64::from(w.minutes)));
    let commit = move |minutes: i64| {
        let Some(wait) = found.get_untracked() else { return Ok(()) };
        let minutes = wait.accept(u32::try_from(minutes.max(0)).unwrap_or(u32::MAX))?;
        which.with_value(|which| time(room, which, Some((wait.reckoned, minutes))))
    };
    let reset = move |_| {
        if let Err(why) = which.with_value(|which| time(room, which, None)) {
            room.state.say(why, false);
        }
    };
    view! {
        <li class="takes-row">
            <div class="row">
                <strong>{read(|w| format!("{}, {}: {}", w.product, w.what, w.way))}</strong>
                {move || own.get().then(|| view! { <span class="badge good">"timed by you"</span> })}
            </div>
            <p class="soft small">{read(reasons)}</p>
            <div class="takes-own">
                <Measure id=id label="It takes" unit="min" value=minutes on_commit=commit />
            </div>
            <div hidden=move || !own.get()>
                <button type="button" class="button" on:click=reset>
                    {read(|w| format!("Back to the reckoned {}", intl::duration(w.reckoned)))}
                </button>
            </div>
        </li>
    }
}

/// How the minutes came about.
fn reasons(wait: &Wait) -> String {
    let why = format!("{}: {} min", capital(&wait.why), wait.reckoned);
    match wait.timed {
        None => format!("{why}."),
        Some(true) => format!("{why} as reckoned; {} min as you timed it.", wait.minutes),
        Some(false) => {
            format!("{why} as reckoned; {} min going by the size that you timed.", wait.minutes)
        }
    }
}

/// A time of hers that no order needs at present.
#[component]
fn Other(
    /// Of this page.
    room: Room,
    /// What she timed.
    own: MeasuredWait,
) -> impl IntoView {
    let card =
        room.state.book.read_untracked().all_cards().into_iter().find(|card| card.id == own.card);
    let name = card.map_or_else(|| own.card.clone(), |card| card.name);
    let words = format!(
        "{name}, {}, {}: {} min as you timed it",
        own.wait.split_once(": ").map_or(own.wait.as_str(), |(_, way)| way),
        own.size,
        own.minutes
    );
    let which = (own.card, own.wait, own.size);
    let remove = move |_| {
        if let Err(why) = time(room, &which, None) {
            room.state.say(why, false);
        }
    };
    view! {
        <li class="row apart">
            <span class="number">{words.clone()}</span>
            <Remove what=words on_remove=remove />
        </li>
    }
}
