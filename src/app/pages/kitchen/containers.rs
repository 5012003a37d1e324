//! Boxes, tubs, bags and boards, and what she measured herself.

use leptos::prelude::*;
use rackweek::card::{Card, builtin};
use rackweek::kitchen::boxes::{Container, Measured, Purpose};
use rackweek::kitchen::how_to_measure;

use super::{Room, small, tiny};
use crate::app::parts::{For, Icon, Input, Measure, Remove, Switch};

/// The whole list, folded by what each is for.
#[component]
pub(super) fn Containers(
    /// Of this page.
    room: Room,
) -> impl IntoView {
    let total = Signal::derive(move || room.kitchen.read().boxes.containers.len());
    let by_drawing = Signal::derive(move || room.kitchen.read().boxes.by_drawing);
    view! {
        <section class="card stack">
            <div class="row apart">
                <h2>"Boxes and tubs"</h2>
                <span class="badge number">{move || format!("{} in your list", total.get())}</span>
            </div>
            <p class="soft small">{how_to_measure("boxes")} "."</p>
            <p class="soft small">
                "What a product takes up follows from this list: the smallest that takes it. The sizes to start from are common in the trade, without a published source; write in what you have."
            </p>
            {Purpose::ALL
                .into_iter()
                .map(|purpose| view! { <Group room=room purpose=purpose /> })
                .collect_view()}
            <Switch
                id="boxes-by-drawing"
                label="Lay pieces by a drawing where that saves a tray or a box"
                hint="Otherwise pieces lie in rows; the drawing is shown with the order."
                on=by_drawing
                on_change=move |on: bool| room.change_or_say(|k| k.boxes.by_drawing = on)
            />
            <Own room=room />
        </section>
    }
}

/// As a heading has it.
fn many(purpose: Purpose) -> &'static str {
    match purpose {
        Purpose::Board => "Cake boards",
        Purpose::CakeBox => "Cake boxes",
        Purpose::PieceBox => "Boxes for pieces",
        Purpose::Tin => "Tins",
        Purpose::Tub => "Tubs",
        Purpose::Bag => "Piping bags",
    }
}

/// What the measures of a row are.
fn measures(purpose: Purpose) -> &'static str {
    match purpose {
        Purpose::Board => "Width and depth of the board, and how thick it is.",
        Purpose::Bag => {
            "Lying flat: the width across the top, the length, how thick it may be when filled, and how many lie on each other."
        }
        _ => {
            "Width, depth and height inside; the wall with its rim; and how many stand on each other when full, 1 for nothing on top."
        }
    }
}

/// Something to start a new one from, when there is none of its kind.
fn fresh(purpose: Purpose) -> Container {
    let (width, depth, height, wall, pile) = match purpose {
        Purpose::Board => (203, 203, 12, 0, 1),
        Purpose::CakeBox => (203, 203, 127, 3, 1),
        Purpose::PieceBox => (305, 229, 64, 2, 4),
        Purpose::Tin => (254, 254, 127, 2, 3),
        Purpose::Tub => (150, 110, 66, 5, 3),
        Purpose::Bag => (170, 305, 40, 0, 3),
    };
    Container { name: String::new(), purpose, width, depth, height, wall, pile }
}

/// All of one purpose.
#[component]
fn Group(
    /// Of this page.
    room: Room,
    /// Which.
    purpose: Purpose,
) -> impl IntoView {
    let indices = Memo::new(move |_| {
        let kitchen = room.kitchen.read();
        let all = kitchen.boxes.containers.iter().enumerate();
        all.filter(|(_, c)| c.purpose == purpose).map(|(index, _)| index).collect::<Vec<_>>()
    });
    let add = move |_| {
        room.change_or_say(|kitchen| {
            let list = &mut kitchen.boxes.containers;
            let last = list.iter().rev().find(|c| c.purpose == purpose).cloned();
            let start = last.unwrap_or_else(|| fresh(purpose));
            let base = format!("my {}", purpose.name().to_lowercase());
            let free = |name: &String| list.iter().all(|other| other.name.trim() != name);
            let numbered = (2..).map(|number| format!("{base} {number}"));
            let name = std::iter::once(base.clone()).chain(numbered).find(free);
            list.push(Container { name: name.unwrap_or(base), ..start });
        });
    };
    view! {
        <details class="box-group">
            <summary>
                {many(purpose)} " "
                <span class="soft number">{move || format!("({})", indices.read().len())}</span>
            </summary>
            <div class="stack">
                <p class="soft small">{measures(purpose)}</p>
                <For each=move || indices.get() key=|index| *index let(index)>
                    <Row room=room purpose=purpose index=index />
                </For>
                <div>
                    <button type="button" class="button" on:click=add>
                        <Icon name="plus" />
                        {format!("Add a {}", purpose.name().to_lowercase())}
                    </button>
                </div>
            </div>
        </details>
    }
}

/// One container.
#[component]
fn Row(
    /// Of this page.
    room: Room,
    /// What it is for; decides what its measures are called.
    purpose: Purpose,
    /// Which, in the whole list.
    index: usize,
) -> impl IntoView {
    let found = Memo::new(move |_| room.kitchen.read().boxes.containers.get(index).cloned());
    let number = move |read: fn(&Container) -> i64| {
        Signal::derive(move || found.read().as_ref().map_or(0, read))
    };
    let set = move |write: fn(&mut Container, i64)| {
        move |value: i64| {
            room.change(|kitchen| {
                if let Some(container) = kitchen.boxes.containers.get_mut(index) {
                    write(container, value);
                }
            })
        }
    };
    let name = Signal::derive(move || {
        found.read().as_ref().map_or(String::new(), |container| container.name.clone())
    });
    let wrong = RwSignal::new(None);
    let rename = move |text: String| {
        let answer = room.change(|kitchen| {
            if let Some(container) = kitchen.boxes.containers.get_mut(index) {
                container.name = text;
            }
        });
        wrong.set(answer.err());
    };
    let remove = move |_| {
        room.change_or_say(|kitchen| {
            if index < kitchen.boxes.containers.len() {
                kitchen.boxes.containers.remove(index);
            }
        });
        room.state.say(format!("{} removed", purpose.name()), true);
    };
    let id = |field: &str| format!("boxes-{index}-{field}");
    // Short, so that the fields of a row stand in one line; the group's sentence says more.
    let (depth, height) = match purpose {
        Purpose::Board => ("Depth", "Thickness"),
        Purpose::Bag => ("Length", "Thickness"),
        _ => ("Depth", "Height"),
    };
    let walled = !matches!(purpose, Purpose::Board | Purpose::Bag);
    view! {
        <div class="shelf box-row" role="group" aria-label=move || name.get()>
            <Input id=id("name") label="Name" value=name on_change=rename error=wrong longest=60 />
            <Measure
                id=id("width")
                label="Width"
                unit="mm"
                value=number(|c| i64::from(c.width))
                on_commit=set(|c, mm| c.width = small(mm))
            />
            <Measure
                id=id("depth")
                label=depth
                unit="mm"
                value=number(|c| i64::from(c.depth))
                on_commit=set(|c, mm| c.depth = small(mm))
            />
            <Measure
                id=id("height")
                label=height
                unit="mm"
                value=number(|c| i64::from(c.height))
                on_commit=set(|c, mm| c.height = small(mm))
            />
            {walled
                .then(|| {
                    view! {
                        <Measure
                            id=id("wall")
                            label="Wall"
                            unit="mm"
                            value=number(|c| i64::from(c.wall))
                            on_commit=set(|c, mm| c.wall = tiny(mm))
                        />
                    }
                })}
            {(purpose != Purpose::Board)
                .then(|| {
                    view! {
                        <Measure
                            id=id("pile")
                            label="In a pile"
                            unit=""
                            value=number(|c| i64::from(c.pile))
                            on_commit=set(|c, pile| c.pile = tiny(pile))
                        />
                    }
                })}
            <Remove what=name on_remove=remove />
        </div>
    }
}

/// What she measured herself; each can be given up again.
#[component]
fn Own(
    /// Of this page.
    room: Room,
) -> impl IntoView {
    let files = StoredValue::new(builtin());
    let rows = move || {
        let book = room.state.book.read();
        let words = |own: &Measured| {
            let card = book.cards.get(&own.card).cloned();
            let card = card.or_else(|| {
                files.with_value(|files| files.iter().find(|card| card.id == own.card).cloned())
            });
            words(own, card.as_ref())
        };
        let kitchen = room.kitchen.read();
        let measured = kitchen.boxes.measured.clone();
        measured.into_iter().map(|own| (words(&own), own)).collect::<Vec<_>>()
    };
    view! {
        <div class="stack">
            <h3>"Measured by you"</h3>
            <p class="soft small">
                "Your own sizes count instead of the reckoned ones. Measure a thing where an order shows “What it takes up”."
            </p>
            <ul class="box-own">
                {move || {
                    rows()
                        .into_iter()
                        .map(|(words, own)| {
                            let remove = move |_| {
                                room.change_or_say(|kitchen| {
                                    kitchen.boxes.measure(&own.card, &own.thing, &own.size, None);
                                });
                                room.state.say("Your measure removed; the reckoned one counts", true);
                            };
                            view! {
                                <li class="row apart">
                                    <span class="number">{words.clone()}</span>
                                    <Remove what=words on_remove=remove />
                                </li>
                            }
                        })
                        .collect_view()
                }}
            </ul>
        </div>
    }
}

fn words(own: &Measured, card: Option<&Card>) -> String {
    let thing = card.and_then(|card| card.things.iter().find(|thing| thing.id == own.thing));
    let name = card.map_or(own.card.as_str(), |card| card.name.as_str());
    let what = thing.map_or(own.thing.as_str(), |thing| thing.what.as_str());
    format!("{name}, {what}, {}: {} × {} × {} mm", own.size, own.width, own.depth, own.height)
}
