//! What was timed: how long her hands take beside what the cards reckon, and the way to forget it.

use leptos::prelude::*;
use rackweek::card::{Card, find_card};
use rackweek::margin::Timed;
use rackweek::record::Command;

use crate::app::parts::{Confirm, For};
use crate::app::state::words;
use crate::app::{AppState, intl};

/// One step that was timed.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Row {
    key: String,
    step: String,
    product: String,
    factor: u32,
    times: Vec<Timed>,
}

/// The section; hidden until something was timed.
#[component]
pub(super) fn Learned() -> impl IntoView {
    let state = expect_context::<AppState>();
    let rows = Memo::new(move |_| rows(state));
    let any = Memo::new(move |_| !rows.read().is_empty());
    let asking = RwSignal::new(false);
    let forget = move |step: Option<String>| {
        // The button goes with its row.
        set_timeout(
            move || match state.apply(Command::ForgetTimes(step)) {
                Ok(()) => state.say("Forgotten", true),
                Err(refusals) => state.say(words(&refusals), false),
            },
            std::time::Duration::ZERO,
        );
    };
    view! {
        <section class="card stack" aria-label="How long it really takes">
            <h2>"How long it really takes"</h2>
            <p class="soft">
                {move || {
                    if any.get() {
                        "Timed on the bench sheet, of orders that are handed over. The next order is reckoned by it: one time counts a little, many count fully, and one wild time hardly."
                    } else {
                        "Nothing is timed yet. Start and end your sittings on the bench sheet: once an order is handed over, the next ones are reckoned by your own pace."
                    }
                }}
            </p>
            <ul class="learned">
                <For each=move || rows.get() key=|row: &Row| (row.key.clone(), row.times.len(), row.factor) let:row>
                    <RowView
                        row=row
                        on_forget=Callback::new(move |key: String| forget(Some(key)))
                    />
                </For>
            </ul>
            <Over />
            {move || {
                any.get()
                    .then(|| {
                        view! {
                            <div>
                                <button
                                    type="button"
                                    class="button danger"
                                    on:click=move |_| asking.set(true)
                                >
                                    "Forget all times"
                                </button>
                            </div>
                        }
                    })
            }}
            <Confirm
                open=asking
                title="Forget all times?"
                yes="Forget all times"
                on_yes=move |()| forget(None)
            >
                <p>"Orders are reckoned by their cards alone again. Undo brings the times back."</p>
            </Confirm>
        </section>
    }
}

/// Estimate against real, order by order; hidden until an order was timed.
#[component]
fn Over() -> impl IntoView {
    let state = expect_context::<AppState>();
    let paces = Memo::new(move |_| state.book.read().paces());
    let rows = move || {
        let paces = paces.get();
        let most = paces.iter().map(|pace| pace.estimated.max(pace.real)).max().unwrap_or(1).max(1);
        let wide = move |minutes: u32| format!("{}%", u64::from(minutes) * 100 / u64::from(most));
        let each = paces.into_iter().map(|pace| {
            let when = pace.date.map_or_else(String::new, intl::date_long);
            let steps = match pace.steps {
                1 => "1 step".to_owned(),
                many => format!("{many} steps"),
            };
            let words = format!(
                "{} where {} are usual, {steps}",
                intl::duration(pace.real),
                intl::duration(pace.estimated)
            );
            view! {
                <li>
                    <p>
                        <strong>{pace.title}</strong>
                        " "
                        <span class="soft">{when}</span>
                    </p>
                    <div class="pace-bars" aria-hidden="true">
                        <span class="pace-usual" style:inline-size=wide(pace.estimated)></span>
                        <span class="pace-real" style:inline-size=wide(pace.real)></span>
                    </div>
                    <p class="number">{words}</p>
                </li>
            }
        });
        each.collect_view()
    };
    view! {
        <Show when=move || !paces.read().is_empty()>
            <h3>"Order by order"</h3>
            <p class="soft small">
                "The upper bar is what practised hands take by the cards, the lower one what it took you."
            </p>
            <ul class="paces">{rows}</ul>
        </Show>
    }
}

#[component]
fn RowView(row: Row, on_forget: Callback<String>) -> impl IntoView {
    let Row { key, step, product, factor, times } = row;
    let tens = (factor + 5) / 10;
    let times_words = match times.len() {
        1 => "1 time".to_owned(),
        many => format!("{many} times"),
    };
    let last = times
        .last()
        .map(|one| format!(" · last: {} min where {} are usual", one.real, one.estimated));
    let label = format!("Forget the times of {step}, {product}");
    view! {
        <li>
            <div>
                <strong>{step}</strong>
                " "
                <span class="soft">{product}</span>
                <p class="number">
                    {format!("{}.{:02} of the usual time, from {times_words}", tens / 100, tens % 100)}
                    <span class="soft">{last}</span>
                </p>
            </div>
            <button
                type="button"
                class="button"
                aria-label=label
                on:click=move |_| on_forget.run(key.clone())
            >
                "Forget"
            </button>
        </li>
    }
}

fn rows(state: AppState) -> Vec<Row> {
    let book = state.book.read();
    let cards = book.all_cards();
    let known: Vec<&Card> = cards.iter().collect();
    let none = std::collections::BTreeMap::new();
    let one = |(key, times): (&String, &Vec<Timed>)| {
        let (card_id, step_id) = key.split_once('/').unwrap_or((key, ""));
        let card = find_card(&known, card_id, &none);
        let step = card.and_then(|card| card.steps.iter().find(|step| step.id == step_id));
        Row {
            key: key.clone(),
            step: step.map_or_else(|| step_id.to_owned(), |step| step.name.clone()),
            product: card.map_or_else(|| card_id.to_owned(), |card| card.name.clone()),
            factor: book.margins.factor(card_id, step_id, false),
            times: times.clone(),
        }
    };
    book.margins.steps.iter().map(one).collect()
}
