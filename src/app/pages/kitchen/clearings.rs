//! Room that the household clears for a while: what is agreed, and one more.

use std::collections::BTreeMap;

use leptos::prelude::*;
use rackweek::calendar::{Date, TimeOfDay, Wall};
use rackweek::kitchen::{Cleared, Clearing, Household, Kitchen, Place};
use rackweek::plan::arrange::{Arrange, map_of};
use rackweek::record::Command;
use rackweek::week::clearing_words;

use super::{Room, small};
use crate::app::parts::{Choose, ErrorLine, Icon, Input, Remove, capital};

/// Places with shelves, in the order in which the page shows them.
const PLACES: [Place; 3] = [Place::Fridge, Place::Freezer, Place::RoomShelf];

/// All clearings, and the fields for another.
#[component]
pub(super) fn Clearings(
    /// Of this page.
    room: Room,
) -> impl IntoView {
    let any = Memo::new(move |_| !all_shelves(&room.kitchen.read(), true).is_empty());
    view! {
        <section class="card stack">
            <h2>"Cleared or taken for a while"</h2>
            <p class="soft small">
                "Agree with your household on a shelf, or a part of one, that is yours from one moment until another, or that they need meanwhile; the week then plans with it."
            </p>
            <Agreed room=room />
            {move || {
                if any.get() {
                    view! { <More room=room /> }.into_any()
                } else {
                    view! {
                        <p class="soft">
                            "There is no shelf in your kitchen yet."
                        </p>
                    }
                        .into_any()
                }
            }}
        </section>
    }
}

/// Shelves that can be taken, or of which the household keeps something to clear: a name for the program, and words.
fn all_shelves(kitchen: &Kitchen, taken: bool) -> Vec<(String, String)> {
    let of = |place: Place| {
        let shelves = kitchen.shelves(place).iter().enumerate();
        let kept = shelves.filter(move |(_, shelf)| {
            let wanted = if taken { Household::Whole } else { Household::Nothing };
            shelf.household != wanted
        });
        kept.map(move |(index, shelf)| {
            (
                format!("{}.{index}", place.id()),
                format!("{}: {}", capital(place.name()), shelf.name),
            )
        })
    };
    PLACES.into_iter().flat_map(of).collect()
}

/// What is agreed, the earliest first.
#[component]
fn Agreed(room: Room) -> impl IntoView {
    let agreed = Memo::new(move |_| {
        let kitchen = room.kitchen.read();
        let words = |one: &Clearing| (one.clone(), capital(&clearing_words(&kitchen, one)));
        let mut all: Vec<(Clearing, String)> = kitchen.clearings.iter().map(words).collect();
        all.arrange_by_key(|(clearing, _)| (clearing.from, clearing.until, clearing.shelf));
        all
    });
    let rows = move || {
        agreed.get().into_iter().map(move |(clearing, words)| {
            let until = clearing.until;
            let over = move || (until <= room.state.now.get()).then_some(" It is over.");
            let remove = move |_| {
                let (state, command) = (room.state, Command::RemoveClearing(clearing.clone()));
                // The row goes, and its button with it.
                let later = move || match state.apply(command.clone()) {
                    Ok(()) => state.say("Clearing removed", true),
                    Err(refusals) => state.say(super::first(&refusals), false),
                };
                set_timeout(later, std::time::Duration::ZERO);
            };
            view! {
                <li class="clearing">
                    <p>{words.clone()} "." <span class="soft">{over}</span></p>
                    <Remove what=Signal::stored(words) on_remove=remove />
                </li>
            }
        })
    };
    move || {
        (!agreed.read().is_empty())
            .then(|| view! { <ul class="clearings">{rows().collect_view()}</ul> })
    }
}

/// What is written about another clearing.
#[derive(Clone, PartialEq, Eq)]
struct Draft {
    shelf: String,
    much: String,
    width: String,
    from: (String, String),
    until: (String, String),
}

impl Draft {
    /// From this evening until tomorrow morning, or from tomorrow's on.
    fn at(now: Wall) -> Self {
        let evening = now.date().at(18 * 60);
        let from = if now < evening { evening } else { now.date().plus_days(1).at(18 * 60) };
        let until = from.date().plus_days(1).at(10 * 60);
        let fields = |at: Wall| (at.date().to_string(), TimeOfDay(at.minute_of_day()).to_string());
        let (shelf, width) = (String::new(), "150".to_owned());
        Self { shelf, much: "whole".to_owned(), width, from: fields(from), until: fields(until) }
    }

    /// The clearing, or what is wrong by field.
    fn read(&self, shelves: &[(String, String)]) -> Result<Clearing, BTreeMap<String, String>> {
        let mut wrong = BTreeMap::new();
        let mut moment = |field: &str, (date, time): &(String, String)| {
            let date = date.parse::<Date>().map_err(|error| error.to_string());
            let time = time.parse::<TimeOfDay>().map_err(|error| error.to_string());
            match (date, time) {
                (Ok(date), Ok(time)) => Some(date.at(time.0)),
                (Err(why), _) | (_, Err(why)) => {
                    wrong.insert(field.to_owned(), why);
                    None
                }
            }
        };
        let (from, until) = (moment("from", &self.from), moment("until", &self.until));
        let cleared = if self.much == "taken" {
            Some(Cleared::Taken)
        } else if self.much == "whole" {
            Some(Cleared::Whole)
        } else if let Some(width) = crate::app::parts::number::read(&self.width, 1) {
            Some(Cleared::Strip { width: small(width) })
        } else {
            let why = format!("“{}” is not a number; write for example 150", self.width);
            wrong.insert("width".to_owned(), why);
            None
        };
        let chosen = self.chosen(shelves);
        let shelf = chosen.split_once('.').and_then(|(place, index)| {
            let place = PLACES.into_iter().find(|of| of.id() == place)?;
            Some((place, index.parse().ok()?))
        });
        if shelf.is_none() {
            wrong.insert("shelf".to_owned(), "choose a shelf from the list".to_owned());
        }
        match (shelf, cleared, from, until) {
            (Some((place, shelf)), Some(cleared), Some(from), Some(until)) => {
                Ok(Clearing { place, shelf, cleared, from, until })
            }
            _ => Err(wrong),
        }
    }

    /// The shelf that is chosen, or the first one.
    fn chosen(&self, shelves: &[(String, String)]) -> String {
        let known = shelves.iter().any(|(name, _)| *name == self.shelf);
        let first = || shelves.first().map(|(name, _)| name.clone()).unwrap_or_default();
        if known { self.shelf.clone() } else { first() }
    }
}

/// The fields for another clearing.
#[component]
fn More(room: Room) -> impl IntoView {
    let draft = RwSignal::new(Draft::at(room.state.now.get_untracked()));
    let taken = Memo::new(move |_| draft.read().much == "taken");
    let shelves = Memo::new(move |_| all_shelves(&room.kitchen.read(), taken.get()));
    let wrong = RwSignal::new(BTreeMap::<String, String>::new());
    let error = move |field: &'static str| Signal::derive(move || wrong.read().get(field).cloned());
    let text =
        move |read: fn(&Draft) -> &String| Signal::derive(move || read(&draft.read()).clone());
    let write =
        move |write: fn(&mut Draft, String)| move |text: String| draft.update(|d| write(d, text));
    let add = move |_| {
        let read = draft.read_untracked().read(&shelves.read_untracked());
        let clearing = match read {
            Ok(clearing) => clearing,
            Err(why) => return wrong.set(why),
        };
        match room.state.apply(Command::AddClearing(clearing)) {
            Ok(()) => {
                wrong.set(BTreeMap::new());
                let said =
                    if taken.get_untracked() { "Noted as taken" } else { "Noted as cleared" };
                room.state.say(said, true);
            }
            Err(refusals) => {
                wrong.set(map_of(refusals.into_iter().map(|r| (r.field, r.message))));
            }
        }
    };
    let strip = Memo::new(move |_| draft.read().much == "strip");
    let amounts = [
        ("whole", "Cleared: all that it keeps"),
        ("strip", "Cleared: a strip of the width"),
        ("taken", "Taken: the household needs it"),
    ]
    .map(|(name, words)| (name.to_owned(), words.to_owned()))
    .to_vec();
    view! {
        <div class="clearing-form stack" role="group" aria-label="Another clearing">
            <div class="grid-2">
                <Choose
                    id="clearing-shelf"
                    label="Shelf"
                    options=shelves
                    value=Signal::derive(move || draft.read().chosen(&shelves.read()))
                    on_change=write(|draft, name| draft.shelf = name)
                />
                <Choose
                    id="clearing-much"
                    label="What of it"
                    options=Signal::stored(amounts)
                    value=Signal::derive(move || draft.read().much.clone())
                    on_change=write(|draft, name| draft.much = name)
                />
                {move || {
                    strip
                        .get()
                        .then(|| {
                            view! {
                                <Input
                                    id="clearing-width"
                                    label="So much of the width"
                                    unit="mm"
                                    keyboard="numeric"
                                    value=text(|draft| &draft.width)
                                    on_input=write(|draft, text| draft.width = text)
                                    error=error("width")
                                    longest=8
                                />
                            }
                        })
                }}
            </div>
            <ErrorLine id="clearing-shelf" error=error("shelf") />
            <div class="grid-2">
                <Input
                    id="clearing-from-date"
                    label="From"
                    kind="date"
                    value=text(|draft| &draft.from.0)
                    on_input=write(|draft, text| draft.from.0 = text)
                    error=error("from")
                />
                <Input
                    id="clearing-from-time"
                    label="At"
                    kind="time"
                    value=text(|draft| &draft.from.1)
                    on_input=write(|draft, text| draft.from.1 = text)
                />
                <Input
                    id="clearing-until-date"
                    label="Until"
                    kind="date"
                    value=text(|draft| &draft.until.0)
                    on_input=write(|draft, text| draft.until.0 = text)
                    error=error("until")
                />
                <Input
                    id="clearing-until-time"
                    label="At"
                    kind="time"
                    value=text(|draft| &draft.until.1)
                    on_input=write(|draft, text| draft.until.1 = text)
                />
            </div>
            <div>
                <button type="button" class="button" on:click=add>
                    <Icon name="plus" />
                    {move || if taken.get() { "Note it" } else { "Clear it" }}
                </button>
            </div>
        </div>
    }
}
