//! Files for other programs: the plan for a calendar, orders and shopping for a spreadsheet.

use leptos::prelude::*;
use rackweek::card::{Card, find_card};
use rackweek::export::{CalendarFile, calendar_file, orders_table, shopping_table};
use rackweek::record::Command;
use rackweek::supply::{Covers, List};
use rackweek::week::doings;

use crate::app::pages::shopping::uses_now;
use crate::app::parts::Switch;
use crate::app::shown::with_input;
use crate::app::state::words;
use crate::app::{AppState, clock, files};

/// The section.
#[component]
pub(super) fn Others() -> impl IntoView {
    let state = expect_context::<AppState>();
    let (names, alarms, table_names) =
        (RwSignal::new(false), RwSignal::new(true), RwSignal::new(true));
    let saved = move |name: String, kind: &str, text: &str| {
        let said = if files::save_as(&name, kind, text) {
            format!("Saved as {name}")
        } else {
            "The browser refused to save the file; try another one, or free some room".to_owned()
        };
        state.say(said, false);
    };
    let today = move || state.now.get_untracked().date();
    let calendar = move |_| {
        // The key stays with the book, so that the next file moves entries instead of doubling them.
        if state.book.read_untracked().settings.key.is_empty()
            && let Err(refusals) = state.apply(Command::SetKey(by_chance()))
        {
            return state.say(words(&refusals), false);
        }
        let text = untrack(|| {
            with_input(state, |input| {
                let what = CalendarFile {
                    key: &input.book.settings.key,
                    from: input.outlook.horizon.elapsed(input.now),
                    names: names.get(),
                    alarms: alarms.get(),
                    written: clock::seconds_now(),
                };
                calendar_file(what, &doings(input), &input.outlook.horizon, &input.book.orders)
            })
        });
        match text {
            Some(Some(text)) => saved(format!("rackweek-{}.ics", today()), "text/calendar", &text),
            Some(None) => state.say("Nothing is ahead, so there is no file", false),
            None => state.say("There is no plan yet; enter your kitchen and time first", false),
        }
    };
    let orders = move |_| {
        let book = state.book.read_untracked();
        let cards = book.all_cards();
        let known: Vec<&Card> = cards.iter().collect();
        let text =
            orders_table(book.orders.values(), table_names.get_untracked(), |order, index| {
                let item = order.items.get(index);
                let card = item.and_then(|item| find_card(&known, &item.card, &item.versions));
                card.map_or_else(String::new, |card| card.name.clone())
            });
        saved(format!("rackweek-orders-{}.csv", today()), "text/csv", &text);
    };
    let shopping = move |_| {
        let supplies = state.book.read_untracked().supplies.clone();
        let list = List::of(&untrack(|| uses_now(state)), &supplies, &Covers::default());
        let text = shopping_table(&list, supplies.units);
        saved(format!("rackweek-shopping-{}.csv", today()), "text/csv", &text);
    };
    view! {
        <section class="card stack" aria-label="For other programs">
            <h2>"For other programs"</h2>
            <p>
                "The plan from now on for your calendar, once: read the next file in when the plan has changed. What is no longer planned stays in your calendar until you take it out there. Orders and shopping as tables for a spreadsheet."
            </p>
            <Switch
                id="calendar-names"
                label="Clients’ names in the calendar"
                hint="Off: only the two letters of the order."
                on=names
                on_change=Callback::new(move |on| names.set(on))
            />
            <Switch
                id="calendar-alarms"
                label="Alarms in the calendar"
                hint="Ten minutes before something has to come out, or leaves the house."
                on=alarms
                on_change=Callback::new(move |on| alarms.set(on))
            />
            <Switch
                id="table-names"
                label="Clients’ names in the orders’ table"
                hint="Off: only the two letters of the order."
                on=table_names
                on_change=Callback::new(move |on| table_names.set(on))
            />
            <div class="row">
                <button type="button" class="button" on:click=calendar>
                    "Calendar file"
                </button>
                <button type="button" class="button" on:click=orders>
                    "Orders as a table"
                </button>
                <button type="button" class="button" on:click=shopping>
                    "Shopping as a table"
                </button>
            </div>
        </section>
    }
}

/// Letters and digits by chance, as many as no two books will ever share.
fn by_chance() -> String {
    let half = || (js_sys::Math::random() * 9e15) as u64;
    format!("{:014x}{:014x}", half(), half())
}
