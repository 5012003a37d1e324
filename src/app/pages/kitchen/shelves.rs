//! Shelves of fridge, freezer and room.

use leptos::prelude::*;
use rackweek::kitchen::{Household, Kitchen, Place, Shelf, ShelfKind};

use super::{Heading, Room, room_for, small};
use crate::app::parts::{Choose, For, Icon, Input, Measure, Remove, capital};

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
            let name = format!("shelf {}", shelves.len() + 1);
            let kind = ShelfKind::Shelf;
            let (width, depth, height) = kind.usual_size();
            let household = kind.usual_household();
            // Most shelves of a fridge are as wide and deep as the one before.
            let like = shelves.iter().rfind(|shelf| shelf.kind == kind).cloned();
            let shelf = like.unwrap_or(Shelf {
                name: String::new(),
                kind,
                width,
                depth,
                height,
                household,
            });
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
    let row = Row { room, list, index };
    let shelf = row.shelf();
    let name =
        Signal::derive(move || shelf.read().as_ref().map_or(String::new(), |s| s.name.clone()));
    let wrong = RwSignal::new(None);
    let rename = move |text: String| wrong.set(row.change(|shelf| shelf.name = text).err());
    let remove = move |_| {
        room.change_or_say(|kitchen| kitchen.remove_shelf(list.place, index));
        room.state.say("Shelf removed", true);
    };
    let kinds = ShelfKind::ALL.map(|kind| (kind.id().to_owned(), capital(kind.name()))).to_vec();
    let kind = Signal::derive(move || {
        shelf.read().as_ref().map_or_else(String::new, |shelf| shelf.kind.id().to_owned())
    });
    let set_kind = move |id: String| {
        let Some(kind) = ShelfKind::ALL.into_iter().find(|kind| kind.id() == id) else { return };
        let answer = row.change(|shelf| {
            // What was never changed follows the kind.
            if shelf.household == shelf.kind.usual_household() {
                shelf.household = kind.usual_household();
            }
            shelf.kind = kind;
        });
        wrong.set(answer.err());
    };
    view! {
        <div class="shelf" role="group" aria-label=move || name.get()>
            <Input
                id=row.id("name")
                label="Name"
                value=name
                on_change=rename
                error=wrong
                longest=60
            />
            <Choose
                id=row.id("kind")
                label="What it is"
                options=Signal::stored(kinds)
                value=kind
                on_change=set_kind
            />
            <Measure
                id=row.id("width")
                label="Width"
                unit="mm"
                value=row.number(|shelf| shelf.width)
                on_commit=row.set(|shelf, mm| shelf.width = mm)
            />
            <Measure
                id=row.id("depth")
                label="Depth"
                unit="mm"
                value=row.number(|shelf| shelf.depth)
                on_commit=row.set(|shelf, mm| shelf.depth = mm)
            />
            <Measure
                id=row.id("height")
                label="Height"
                unit="mm"
                value=row.number(|shelf| shelf.height)
                on_commit=row.set(|shelf, mm| shelf.height = mm)
            />
            <Remove what=name on_remove=remove />
            <Share row=row />
            <TakeOut row=row />
        </div>
    }
}

/// One shelf's place in the book.
#[derive(Clone, Copy)]
struct Row {
    room: Room,
    list: List,
    index: usize,
}

impl Row {
    fn shelf(self) -> Memo<Option<Shelf>> {
        Memo::new(move |_| (self.list.get)(&self.room.kitchen.read()).get(self.index).cloned())
    }

    fn change(self, edit: impl FnOnce(&mut Shelf)) -> Result<(), String> {
        self.room.change(|kitchen| {
            if let Some(shelf) = (self.list.get_mut)(kitchen).get_mut(self.index) {
                edit(shelf);
            }
        })
    }

    fn number(self, read: fn(&Shelf) -> u16) -> Signal<i64> {
        let shelf = self.shelf();
        Signal::derive(move || shelf.read().as_ref().map_or(0, |shelf| i64::from(read(shelf))))
    }

    fn set(self, write: fn(&mut Shelf, u16)) -> impl Fn(i64) -> Result<(), String> + Copy {
        move |mm| self.change(|shelf| write(shelf, small(mm)))
    }

    fn id(self, field: &str) -> String {
        format!("{}-{}-{field}", self.list.group, self.index)
    }
}

/// Ways to say what the household keeps: a name for the program, and words.
const SHARES: [(&str, &str); 4] = [
    ("nothing", "Nothing"),
    ("strip", "A strip at the right"),
    ("whole", "The whole shelf"),
    ("all-but", "All but a corner"),
];

fn share_name(shelf: &Shelf) -> &'static str {
    match shelf.household {
        Household::Nothing => "nothing",
        Household::Strip { .. } => "strip",
        Household::Whole => "whole",
        Household::AllBut { .. } => "all-but",
    }
}

/// What the household keeps of a shelf.
#[component]
fn Share(row: Row) -> impl IntoView {
    let shelf = row.shelf();
    let chosen = Memo::new(move |_| shelf.read().as_ref().map_or("", share_name));
    let options = SHARES.map(|(name, words)| (name.to_owned(), words.to_owned())).to_vec();
    let choose = move |name: String| {
        let answer = row.change(|shelf| {
            let (width, depth) = (shelf.width / 2, shelf.depth / 2);
            shelf.household = match name.as_str() {
                "strip" => Household::strip(shelf.width, width),
                "whole" => Household::Whole,
                "all-but" => Household::AllBut { width, depth, height: None },
                _ => Household::Nothing,
            };
        });
        if let Err(why) = answer {
            row.room.state.say(why, false);
        }
    };
    let sides = move || match chosen.get() {
        "strip" => view! {
            <Measure
                id=row.id("strip")
                label="Strip width"
                unit="mm"
                value=row.number(|shelf| match shelf.household {
                    Household::Strip { width } => width,
                    _ => 0,
                })
                on_commit=row.set(|shelf, mm| shelf.household = Household::Strip { width: mm })
            />
        }
        .into_any(),
        "all-but" => view! { <Corner row=row /> }.into_any(),
        _ => ().into_any(),
    };
    view! {
        <div class="shelf-share">
            <Choose
                id=row.id("household")
                label="The household keeps"
                options=Signal::stored(options)
                value=Signal::derive(move || chosen.get().to_owned())
                on_change=choose
            />
            {sides}
        </div>
    }
}

/// The three sides of a cleared corner.
#[component]
fn Corner(row: Row) -> impl IntoView {
    view! {
        <Measure
            id=row.id("corner-width")
            label="Corner width"
            unit="mm"
            value=row.number(|shelf| match shelf.household {
                Household::AllBut { width, .. } => width,
                _ => 0,
            })
            on_commit=row.set(|shelf, mm| {
                if let Household::AllBut { width, .. } = &mut shelf.household {
                    *width = mm;
                }
            })
        />
        <Measure
            id=row.id("corner-depth")
            label="Corner depth"
            unit="mm"
            value=row.number(|shelf| match shelf.household {
                Household::AllBut { depth, .. } => depth,
                _ => 0,
            })
            on_commit=row.set(|shelf, mm| {
                if let Household::AllBut { depth, .. } = &mut shelf.household {
                    *depth = mm;
                }
            })
        />
        <Measure
            id=row.id("corner-height")
            label="Corner height"
            unit="mm"
            value=row.number(|shelf| match shelf.household {
                Household::AllBut { height, .. } => height.unwrap_or(shelf.height),
                _ => 0,
            })
            on_commit=row.set(|shelf, mm| {
                let top = shelf.height;
                if let Household::AllBut { height, .. } = &mut shelf.household {
                    *height = (mm != top).then_some(mm);
                }
            })
        />
    }
}

/// Takes a board out and gives its height to a neighbour; asks to which.
#[component]
fn TakeOut(row: Row) -> impl IntoView {
    let Row { room, list, index } = row;
    let open = RwSignal::new(false);
    // Boards alone can be taken out, and only boards have them for a neighbour.
    let neighbours = Memo::new(move |_| {
        let kitchen = room.kitchen.read();
        let shelves = (list.get)(&kitchen);
        let board = |at: usize| shelves.get(at).filter(|shelf| shelf.kind == ShelfKind::Shelf);
        let Some(own) = board(index) else { return Vec::new() };
        let beside = [index.checked_sub(1), Some(index + 1)].into_iter().flatten();
        let beside = beside.filter_map(|at| Some((at, board(at)?)));
        beside
            .map(|(at, other)| (at, other.name.clone(), own.height.saturating_add(other.height)))
            .collect::<Vec<_>>()
    });
    let join = move |into: usize| {
        let answer = room.change(|kitchen| kitchen.join_shelves(list.place, index, into));
        match answer {
            Ok(()) => room.state.say("Shelf taken out", true),
            Err(why) => room.state.say(why, false),
        }
    };
    let choices = move || {
        let each = neighbours.get().into_iter().map(|(at, name, height)| {
            view! {
                <li>
                    <button
                        type="button"
                        class="button"
                        on:click=move |_| {
                            open.set(false);
                            // The row, and with it this button, goes with the shelf.
                            set_timeout(move || join(at), std::time::Duration::ZERO);
                        }
                    >
                        {format!("Join with “{name}”: {height} mm clear")}
                    </button>
                </li>
            }
        });
        view! { <ul class="choice">{each.collect_view()}</ul> }
    };
    move || {
        (!neighbours.read().is_empty()).then(|| {
            view! {
                <div class="shelf-take-out">
                    <button
                        type="button"
                        class="button quiet"
                        aria-expanded=move || open.get().to_string()
                        on:click=move |_| open.update(|open| *open = !*open)
                    >
                        "Take this shelf out"
                    </button>
                    {move || {
                        open.get()
                            .then(|| {
                                view! {
                                    <p class="soft small">
                                        "Its clear height goes to the shelf that you join it with; the household keeps there what it keeps now. The board’s own thickness is not counted. Undo puts it back."
                                    </p>
                                    {choices}
                                }
                            })
                    }}
                </div>
            }
        })
    }
}
