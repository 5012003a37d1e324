//! The kitchen: every shelf, rack and machine, changed in the book as soon as a field is left.

mod clearings;
mod climate;
mod containers;
mod racks;
mod rules;
mod shelves;

use leptos::prelude::*;
use rackweek::kitchen::{
    Boxes, Counter as MeasuredCounter, Kitchen, Oven, PRESET_NOTE, Place, Warmth, how_to_measure,
    presets,
};
use rackweek::record::{Command, Refusal};

use crate::app::AppState;
use crate::app::parts::{Confirm, Measure};

/// What the parts of this page share.
#[derive(Clone, Copy)]
struct Room {
    state: AppState,
    kitchen: Memo<Kitchen>,
}

impl Room {
    fn new(state: AppState) -> Self {
        let kitchen = Memo::new(move |_| state.book.read().kitchen.clone().unwrap_or_else(usual));
        Self { state, kitchen }
    }

    /// Changes the kitchen in the book, or says what is wrong.
    fn change(self, edit: impl FnOnce(&mut Kitchen)) -> Result<(), String> {
        let mut kitchen = self.kitchen.get_untracked();
        edit(&mut kitchen);
        self.state.apply(Command::SetKitchen(kitchen)).map_err(|refusals| first(&refusals))
    }

    /// For changes that have no field to show an error at.
    fn change_or_say(self, edit: impl FnOnce(&mut Kitchen)) {
        if let Err(why) = self.change(edit) {
            self.state.say(why, false);
        }
    }
}

fn first(refusals: &[Refusal]) -> String {
    refusals.first().map_or_else(String::new, |refusal| refusal.message.clone())
}

/// The kitchen to start from; bare if the library should ever come without presets.
pub(crate) fn usual() -> Kitchen {
    presets().into_iter().next().map_or_else(
        || Kitchen {
            fridge: Vec::new(),
            freezer: Vec::new(),
            racks: Vec::new(),
            counter: MeasuredCounter { width: 1200, depth: 600, work_zone: 600 },
            room: Vec::new(),
            oven: Oven { decks: 1, trays_per_deck: 1 },
            mixers: 1,
            clearings: Vec::new(),
            boxes: Boxes::usual(),
            warmth: Warmth::default(),
        },
        |preset| preset.kitchen,
    )
}

/// The page.
#[component]
pub(crate) fn KitchenPage() -> impl IntoView {
    let room = Room::new(expect_context::<AppState>());
    view! {
        <section class="page narrow stack">
            <p class="soft">
                "What your kitchen holds, with what your household keeps of it. Each change counts at once; the week is planned again."
            </p>
            <Presets room=room />
            <shelves::Shelves room=room list=shelves::FRIDGE />
            <shelves::Shelves room=room list=shelves::FREEZER />
            <racks::Racks room=room />
            <Counter room=room />
            <shelves::Shelves room=room list=shelves::ROOM />
            <clearings::Clearings room=room />
            <containers::Containers room=room />
            <Machines room=room />
            <climate::Climate room=room />
            <rules::KeepingRules room=room />
        </section>
    }
}

/// Kitchens to start from; choosing one replaces all numbers, so it asks.
#[component]
fn Presets(
    /// Of this page.
    room: Room,
) -> impl IntoView {
    let chosen = StoredValue::new(None::<Kitchen>);
    let open = RwSignal::new(false);
    let buttons = presets()
        .into_iter()
        .map(|preset| {
            let kitchen = preset.kitchen.clone();
            view! {
                <li>
                    <button
                        type="button"
                        class="button"
                        on:click=move |_| {
                            chosen.set_value(Some(kitchen.clone()));
                            open.set(true);
                        }
                    >
                        {preset.name}
                    </button>
                </li>
            }
        })
        .collect_view();
    view! {
        <details class="card">
            <summary>
                <h2>"Start from another kitchen"</h2>
            </summary>
            <p class="soft small">{PRESET_NOTE} "."</p>
            <ul class="choice">{buttons}</ul>
        </details>
        <Confirm
            open=open
            title="Replace your kitchen’s numbers?"
            yes="Replace them"
            on_yes=move |()| {
                if let Some(kitchen) = chosen.get_value() {
                    room.change_or_say(move |old| {
                        let (boxes, warmth) = (old.boxes.clone(), old.warmth.clone());
                        *old = Kitchen { boxes, warmth, ..kitchen };
                    });
                    room.state.say("Kitchen replaced", true);
                }
            }
        >
            <p>"All shelves, racks and machines get the sizes of the kitchen that you chose. Undo brings yours back."</p>
        </Confirm>
    }
}

/// What a place has room for, in words.
fn room_for(kitchen: &Kitchen, place: Place) -> String {
    let capacity = kitchen.capacity(place);
    let Some(all) = capacity.classes.first() else {
        return "nothing for orders".to_owned();
    };
    let tallest = capacity.classes.last().map_or(0, |class| class.height);
    match place {
        Place::Rack => format!("{} trays at once", all.capacity),
        Place::Counter => format!("{} cm² beside your work", all.capacity),
        _ => format!("{} cm² for orders, up to {tallest} mm high", all.capacity),
    }
}

/// The heading of a group, with what it has room for and how to measure it.
#[component]
fn Heading(
    /// On screen.
    title: &'static str,
    /// In the library's list of how to measure.
    group: &'static str,
    /// What it has room for; empty for machines.
    #[prop(into)]
    total: Signal<String>,
) -> impl IntoView {
    view! {
        <div class="row apart">
            <h2>{title}</h2>
            {move || {
                let total = total.get();
                (!total.is_empty()).then(|| view! { <span class="badge number">{total}</span> })
            }}
        </div>
        <p class="soft small">{how_to_measure(group)} "."</p>
    }
}

/// The counter.
#[component]
fn Counter(
    /// Of this page.
    room: Room,
) -> impl IntoView {
    let total = Signal::derive(move || room_for(&room.kitchen.read(), Place::Counter));
    view! {
        <section class="card stack">
            <Heading title="Counter" group="counter" total=total />
            <div class="grid-3">
                <Measure
                    id="counter-width"
                    label="Width"
                    unit="mm"
                    value=Signal::derive(move || i64::from(room.kitchen.read().counter.width))
                    on_commit=move |mm| room.change(|k| k.counter.width = small(mm))
                />
                <Measure
                    id="counter-depth"
                    label="Depth"
                    unit="mm"
                    value=Signal::derive(move || i64::from(room.kitchen.read().counter.depth))
                    on_commit=move |mm| room.change(|k| k.counter.depth = small(mm))
                />
                <Measure
                    id="counter-work"
                    label="Kept free for work"
                    unit="mm"
                    value=Signal::derive(move || i64::from(room.kitchen.read().counter.work_zone))
                    on_commit=move |mm| room.change(|k| k.counter.work_zone = small(mm))
                />
            </div>
        </section>
    }
}

/// Oven and mixer.
#[component]
fn Machines(
    /// Of this page.
    room: Room,
) -> impl IntoView {
    let trays =
        Signal::derive(move || format!("{} trays at once", room.kitchen.read().oven_trays()));
    view! {
        <section class="card stack">
            <Heading title="Oven" group="oven" total=trays />
            <div class="grid-2">
                <Measure
                    id="oven-decks"
                    label="Levels that bake evenly at once"
                    unit=""
                    value=Signal::derive(move || i64::from(room.kitchen.read().oven.decks))
                    on_commit=move |n| room.change(|k| k.oven.decks = tiny(n))
                />
                <Measure
                    id="oven-trays"
                    label="Trays on one level"
                    unit=""
                    value=Signal::derive(move || i64::from(room.kitchen.read().oven.trays_per_deck))
                    on_commit=move |n| room.change(|k| k.oven.trays_per_deck = tiny(n))
                />
            </div>
        </section>
        <section class="card stack">
            <Heading title="Mixer" group="mixers" total=Signal::stored(String::new()) />
            <Measure
                id="mixers"
                label="Mixers"
                unit=""
                value=Signal::derive(move || i64::from(room.kitchen.read().mixers))
                on_commit=move |n| room.change(|k| k.mixers = tiny(n))
            />
        </section>
    }
}

/// Out-of-range numbers become the nearest that the library can refuse with words.
fn small(number: i64) -> u16 {
    u16::try_from(number.max(0)).unwrap_or(u16::MAX)
}

/// The nearest that the library can refuse with words, °C.
fn degrees(value: i64) -> i16 {
    i16::try_from(value.clamp(-999, 999)).unwrap_or(i16::MAX)
}

fn tiny(number: i64) -> u8 {
    u8::try_from(number.max(0)).unwrap_or(u8::MAX)
}
