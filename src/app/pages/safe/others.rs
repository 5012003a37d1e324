//! Files for other programs: the plan for a calendar, orders and shopping for a spreadsheet.

use leptos::prelude::*;
use rackweek::card::{Card, find_card};
use rackweek::export::{CalendarFile, calendar_file, orders_table, shopping_table};
use rackweek::supply::{Covers, List};
use rackweek::week::doings;

use crate::app::pages::shopping::uses_now;
use crate::app::parts::Switch;
use crate::app::shown::with_input;
use crate::app::{AppState, clock, files};

/// The section.
#[component]
pub(super) fn Others() -> impl IntoView {
    let state = expect_context::<AppState>();
    let (names, alarms) = (RwSignal::new(false), RwSignal::new(true));
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
        let text = untrack(|| {
            with_input(state, |input| {
                let what = CalendarFile {
                    from: input.outlook.horizon.elapsed(input.now),
                    names: names.get(),
                    alarms: alarms.get(),
                    written: clock::seconds_now(),
                };
                calendar_file(what, &doings(input), &input.outlook.horizon, &input.book.orders)
            })
        });
        match text {
            Some(text) => saved(format!("rackweek-{}.ics", today()), "text/calendar", &text),
            None => state.say("There is no plan yet; enter your kitchen and time first", false),
        }
    };
    let orders = move |_| {
        let book = state.book.read_untracked();
        let cards = book.all_cards();
        let known: Vec<&Card> = cards.iter().collect();
        let text = orders_table(book.orders.values(), |order, index| {
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
                "The plan from now on for your calendar, once: read the next file in when the plan has changed. Orders and shopping as tables for a spreadsheet."
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
