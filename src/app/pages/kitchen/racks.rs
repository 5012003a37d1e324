//! Drying racks: levels of trays.

use leptos::prelude::*;
use rackweek::kitchen::{Place, Rack};

use super::{Heading, Room, room_for, small, tiny};
use crate::app::parts::{For, Icon, Input, Measure, Remove};

/// All racks.
#[component]
pub(super) fn Racks(
    /// Of this page.
    room: Room,
) -> impl IntoView {
    let total = Signal::derive(move || room_for(&room.kitchen.read(), Place::Rack));
    let count = Memo::new(move |_| room.kitchen.read().racks.len());
    let add = move |_| {
        room.change_or_say(|kitchen| {
            let (tray_width, tray_depth) = kitchen.tray().unwrap_or((450, 330));
            let name = format!("rack {}", kitchen.racks.len() + 1);
            kitchen.racks.push(Rack { name, levels: 6, tray_width, tray_depth });
        });
    };
    view! {
        <section class="card stack">
            <Heading title="Drying racks" group="racks" total=total />
            <For each=move || 0..count.get() key=|index| *index let(index)>
                <RackRow room=room index=index />
            </For>
            <div>
                <button type="button" class="button" on:click=add>
                    <Icon name="plus" />
                    "Add a rack"
                </button>
            </div>
        </section>
    }
}

/// One rack.
#[component]
fn RackRow(
    /// Of this page.
    room: Room,
    /// Which.
    index: usize,
) -> impl IntoView {
    let rack = Memo::new(move |_| room.kitchen.read().racks.get(index).cloned());
    let number =
        move |read: fn(&Rack) -> i64| Signal::derive(move || rack.read().as_ref().map_or(0, read));
    let set = move |write: fn(&mut Rack, i64)| {
        move |value: i64| {
            room.change(|kitchen| {
                if let Some(rack) = kitchen.racks.get_mut(index) {
                    write(rack, value);
                }
            })
        }
    };
    let name =
        Signal::derive(move || rack.read().as_ref().map_or(String::new(), |r| r.name.clone()));
    let wrong = RwSignal::new(None);
    let rename = move |text: String| {
        let answer = room.change(|kitchen| {
            if let Some(rack) = kitchen.racks.get_mut(index) {
                rack.name = text;
            }
        });
        wrong.set(answer.err());
    };
    let remove = move |_| {
        room.change_or_say(|kitchen| {
            if index < kitchen.racks.len() {
                kitchen.racks.remove(index);
            }
        });
        room.state.say("Rack removed", true);
    };
    let id = |field: &str| format!("racks-{index}-{field}");
    view! {
        <div class="shelf" role="group" aria-label=move || name.get()>
            <Input id=id("name") label="Name" value=name on_change=rename error=wrong longest=60 />
            <Measure
                id=id("levels")
                label="Levels"
                unit=""
                value=number(|rack| i64::from(rack.levels))
                on_commit=set(|rack, levels| rack.levels = tiny(levels))
            />
            <Measure
                id=id("width")
                label="Tray width"
                unit="mm"
                value=number(|rack| i64::from(rack.tray_width))
                on_commit=set(|rack, mm| rack.tray_width = small(mm))
            />
            <Measure
                id=id("depth")
                label="Tray depth"
                unit="mm"
                value=number(|rack| i64::from(rack.tray_depth))
                on_commit=set(|rack, mm| rack.tray_depth = small(mm))
            />
            <Remove what=name on_remove=remove />
        </div>
    }
}
