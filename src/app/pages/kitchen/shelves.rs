//! Shelves of fridge, freezer and room.

use leptos::prelude::*;
use rackweek::kitchen::{Kitchen, Place, Shelf};

use super::{Heading, Room, room_for, small, tiny};
use crate::app::parts::{Icon, Input, Measure, Remove};

/// One list of shelves of the kitchen.
#[derive(Clone, Copy)]
pub(super) struct List {
    title: &'static str,
    group: &'static str,
    place: Place,
    get: fn(&Kitchen) -> &Vec<Shelf>,
    get_mut: fn(&mut Kitchen) -> &mut Vec<Shelf>,
}

pub(super) const FRIDGE: List = List {
    title: "Fridge",
    group: "fridge",
    place: Place::Fridge,
    get: |kitchen| &kitchen.fridge,
    get_mut: |kitchen| &mut kitchen.fridge,
};

pub(super) const FREEZER: List = List {
    title: "Freezer",
    group: "freezer",
    place: Place::Freezer,
    get: |kitchen| &kitchen.freezer,
    get_mut: |kitchen| &mut kitchen.freezer,
};

pub(super) const ROOM: List = List {
    title: "Shelves in the room",
    group: "room",
    place: Place::RoomShelf,
    get: |kitchen| &kitchen.room,
    get_mut: |kitchen| &mut kitchen.room,
};

/// All shelves of one place.
#[component]
pub(super) fn Shelves(
    /// Of this page.
    room: Room,
    /// Which.
    list: List,
) -> impl IntoView {
    let total = Signal::derive(move || room_for(&room.kitchen.read(), list.place));
    let count = Memo::new(move |_| (list.get)(&room.kitchen.read()).len());
    let add = move |_| {
        room.change_or_say(|kitchen| {
            let shelves = (list.get_mut)(kitchen);
            let shelf = shelves.last().map_or(
                Shelf { name: String::new(), width: 450, depth: 300, height: 200, household: 0 },
                Clone::clone,
            );
            let name = format!("shelf {}", shelves.len() + 1);
            shelves.push(Shelf { name, ..shelf });
        });
    };
    view! {
        <section class="card stack">
            <Heading title=list.title group=list.group total=total />
            <For each=move || 0..count.get() key=|index| *index let(index)>
                <ShelfRow room=room list=list index=index />
            </For>
            <div>
                <button type="button" class="button" on:click=add>
                    <Icon name="plus" />
                    "Add a shelf"
                </button>
            </div>
        </section>
    }
}

/// One shelf.
#[component]
fn ShelfRow(
    /// Of this page.
    room: Room,
    /// Which list.
    list: List,
    /// Which shelf of it.
    index: usize,
) -> impl IntoView {
    let shelf = Memo::new(move |_| (list.get)(&room.kitchen.read()).get(index).cloned());
    let number = move |read: fn(&Shelf) -> i64| {
        Signal::derive(move || shelf.read().as_ref().map_or(0, read))
    };
    let set = move |write: fn(&mut Shelf, i64)| {
        move |value: i64| {
            room.change(|kitchen| {
                if let Some(shelf) = (list.get_mut)(kitchen).get_mut(index) {
                    write(shelf, value);
                }
            })
        }
    };
    let name =
        Signal::derive(move || shelf.read().as_ref().map_or(String::new(), |s| s.name.clone()));
    let wrong = RwSignal::new(None);
    let rename = move |text: String| {
        let answer = room.change(|kitchen| {
            if let Some(shelf) = (list.get_mut)(kitchen).get_mut(index) {
                shelf.name = text;
            }
        });
        wrong.set(answer.err());
    };
    let remove = move |_| {
        room.change_or_say(|kitchen| {
            let shelves = (list.get_mut)(kitchen);
            if index < shelves.len() {
                shelves.remove(index);
            }
        });
        room.state.say("Shelf removed", true);
    };
    let id = |field: &str| format!("{}-{index}-{field}", list.group);
    view! {
        <div class="shelf" role="group" aria-label=move || name.get()>
            <Input id=id("name") label="Name" value=name on_change=rename error=wrong longest=60 />
            <Measure
                id=id("width")
                label="Width"
                unit="mm"
                value=number(|shelf| i64::from(shelf.width))
                on_commit=set(|shelf, mm| shelf.width = small(mm))
            />
            <Measure
                id=id("depth")
                label="Depth"
                unit="mm"
                value=number(|shelf| i64::from(shelf.depth))
                on_commit=set(|shelf, mm| shelf.depth = small(mm))
            />
            <Measure
                id=id("height")
                label="Height"
                unit="mm"
                value=number(|shelf| i64::from(shelf.height))
                on_commit=set(|shelf, mm| shelf.height = small(mm))
            />
            <Measure
                id=id("household")
                label="Household’s"
                unit="%"
                value=number(|shelf| i64::from(shelf.household))
                on_commit=set(|shelf, share| shelf.household = tiny(share))
            />
            <Remove what=name on_remove=remove />
        </div>
    }
}
