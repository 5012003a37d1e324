//! What the baker counts with: her rates, and the prices of the products on the form.

use leptos::prelude::*;
use rackweek::plan::arrange::Arrange;
use rackweek::quote::{Price, Pricing, Rates, Rounding, read_amount, written_amount};
use rackweek::record::Command;

use super::form::Desk;
use crate::app::AppState;
use crate::app::parts::{Choose, Input};

/// Takes what was typed into the pricing, or says what is wrong with it.
type Write = fn(&mut Pricing, &str, &str) -> Option<()>;
/// A field: its name, label, unit (empty: the currency), an example, how it is read and written.
type Field = (&'static str, &'static str, &'static str, &'static str, fn(&Rates) -> String, Write);

/// A rate as typed in per cent: "8.25" is 825.
fn percent(text: &str) -> Option<u32> {
    read_amount(text, 2).and_then(|rate| u32::try_from(rate).ok())
}

fn written(rate: u32) -> String {
    let text = written_amount(i64::from(rate), 2);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

const FIELDS: [Field; 10] = [
    (
        "hour",
        "An hour of your work",
        "",
        "25",
        |r| written_amount(r.hour, r.digits),
        |p, text, _| read_amount(text, p.rates.digits).map(|amount| p.rates.hour = amount),
    ),
    (
        "overhead",
        "Overhead on goods and work",
        "%",
        "10",
        |r| written(r.overhead),
        |p, text, _| percent(text).map(|rate| p.rates.overhead = rate),
    ),
    (
        "margin",
        "Left of the price beyond all costs",
        "%",
        "15",
        |r| written(r.margin),
        |p, text, _| percent(text).map(|rate| p.rates.margin = rate),
    ),
    (
        "oven",
        "An hour of the oven",
        "",
        "0.40",
        |r| written_amount(r.oven_hour, r.digits),
        |p, text, _| read_amount(text, p.rates.digits).map(|amount| p.rates.oven_hour = amount),
    ),
    (
        "road",
        "An hour on the road",
        "",
        "15",
        |r| written_amount(r.road_hour, r.digits),
        |p, text, _| read_amount(text, p.rates.digits).map(|amount| p.rates.road_hour = amount),
    ),
    (
        "tax",
        "Tax on top of the price",
        "%",
        "8.25",
        |r| written(r.tax),
        |p, text, _| percent(text).map(|rate| p.rates.tax = rate),
    ),
    (
        "deposit",
        "Deposit",
        "%",
        "50",
        |r| written(r.deposit),
        |p, text, _| percent(text).map(|rate| p.rates.deposit = rate),
    ),
    (
        "balance",
        "Balance due before the handover",
        "days",
        "7",
        |r| r.balance_days.to_string(),
        |p, text, _| text.trim().parse().ok().map(|days| p.rates.balance_days = days),
    ),
    (
        "currency",
        "Currency",
        "code",
        "EUR",
        |r| r.currency.clone(),
        |p, text, _| {
            p.rates.currency = text.trim().to_uppercase();
            Some(())
        },
    ),
    (
        "digits",
        "Decimals of the currency",
        "digits",
        "2",
        |r| r.digits.to_string(),
        |p, text, _| text.trim().parse().ok().map(|digits| p.rates.digits = digits),
    ),
];

/// The same for a price.
type PriceField = (&'static str, &'static str, fn(&Price) -> i64, Write);

/// A piece's price and the least for an item, by the card's id.
const PRICES: [PriceField; 2] = [
    (
        "each",
        "a piece",
        |price| price.each,
        |p, text, card| {
            let amount = read_amount(text, p.rates.digits)?;
            price_of(p, card).each = amount;
            Some(())
        },
    ),
    (
        "from",
        "at least in all",
        |price| price.from,
        |p, text, card| {
            let amount = read_amount(text, p.rates.digits)?;
            price_of(p, card).from = amount;
            Some(())
        },
    ),
];

/// The price of a card, added to the list if it is not there.
fn price_of<'a>(pricing: &'a mut Pricing, card: &str) -> &'a mut Price {
    let at = pricing.prices.iter().position(|price| price.card == card);
    let at = at.unwrap_or_else(|| {
        let (each, from, surcharges) = (0, 0, Vec::new());
        pricing.prices.push(Price { card: card.to_owned(), each, from, surcharges });
        pricing.prices.len() - 1
    });
    &mut pricing.prices[at]
}

/// Both lists of fields.
#[component]
pub(super) fn RatesForm(state: AppState, desk: Desk, pricing: Memo<Pricing>) -> impl IntoView {
    let change = move |edit: &dyn Fn(&mut Pricing) -> Option<()>, example: String| {
        let mut pricing = pricing.get_untracked();
        if edit(&mut pricing).is_none() {
            return Err(format!("is not understood; write for example {example}"));
        }
        state.apply(Command::SetPricing(Box::new(pricing))).map_err(|refusals| {
            refusals.first().map_or_else(String::new, |refusal| refusal.message.clone())
        })
    };
    let input = move |id: String,
                      label: String,
                      unit: String,
                      value: Signal<String>,
                      write: Callback<String, Result<(), String>>| {
        let error = RwSignal::new(None);
        view! {
            <Input
                id=id
                label=label
                unit=unit
                keyboard="decimal"
                value=value
                on_change=move |text: String| error.set(write.run(text).err())
                error=error
                longest=12
            />
        }
        .into_any()
    };
    let currency = move || pricing.read().rates.currency.clone();
    let rates = move || {
        let each = FIELDS.into_iter().map(|(name, label, unit, example, read, write)| {
            let unit = if unit.is_empty() {
                pricing.read_untracked().rates.currency.clone()
            } else {
                unit.to_owned()
            };
            let value = Signal::derive(move || read(&pricing.read().rates));
            let write = Callback::new(move |text: String| {
                change(&|pricing| write(pricing, &text, ""), example.to_owned())
            });
            input(format!("rates-{name}"), label.to_owned(), unit, value, write)
        });
        each.collect_view()
    };
    let cards = Memo::new(move |_| {
        let mut cards: Vec<String> =
            desk.draft.read().items.iter().map(|item| item.card.clone()).collect();
        cards.arrange();
        cards.dedup();
        cards
    });
    let prices = move || {
        let of = |card: String| {
            let name = desk.cards.name(&card);
            let each = PRICES.into_iter().map(move |(field, what, read, write)| {
                let (own, to) = (card.clone(), card.clone());
                let value = Signal::derive(move || {
                    let pricing = pricing.read();
                    let price = pricing.prices.iter().find(|price| price.card == own);
                    price.map_or_else(String::new, |price| {
                        written_amount(read(price), pricing.rates.digits)
                    })
                });
                let write = Callback::new(move |text: String| {
                    change(&|pricing| write(pricing, &text, &to), "4.50".to_owned())
                });
                let label = format!("{name}, {what}");
                input(format!("price-{card}-{field}"), label, currency(), value, write)
            });
            each.collect::<Vec<_>>()
        };
        cards.get().into_iter().flat_map(of).collect_view()
    };
    let roundings = [("per-quote", "Once, on the whole"), ("per-line", "On each line")]
        .map(|(name, words)| (name.to_owned(), words.to_owned()))
        .to_vec();
    let rounding = Signal::derive(move || match pricing.read().rates.rounding {
        Rounding::PerLine => "per-line".to_owned(),
        Rounding::PerQuote => "per-quote".to_owned(),
    });
    let set_rounding = move |name: String| {
        let rounding = if name == "per-line" { Rounding::PerLine } else { Rounding::PerQuote };
        let done = change(
            &|pricing| {
                pricing.rates.rounding = rounding;
                Some(())
            },
            String::new(),
        );
        if let Err(why) = done {
            state.say(why, false);
        }
    };
    view! {
        <details>
            <summary class="fit-why">"Your price list"</summary>
            <div class="grid-2">{prices}</div>
        </details>
        <details>
            <summary class="fit-why">"What you count with"</summary>
            <div class="stack">
                <div class="grid-2">{rates}</div>
                <Choose
                    id="rates-rounding"
                    label="Tax is rounded"
                    options=Signal::stored(roundings)
                    value=rounding
                    on_change=set_rounding
                />
            </div>
        </details>
    }
}
