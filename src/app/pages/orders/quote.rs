//! The quote beside an order: what it costs, what is asked, what an hour earns; cheaper forms.
//!
//! In: the form as it is written, the book's supplies and pricing. Out: commands that set the pricing, and a form of
//! the order that meets a budget, written into the form. All amounts are the library's.

use std::sync::Arc;

use leptos::prelude::*;
use rackweek::breakdown::{Work, break_down_within};
use rackweek::card::{Card, OptionKind};
use rackweek::order::{Item, ItemId, Order, OrderId};
use rackweek::quote::{
    Basis, Cheaper, Costs, Effort, Goods, Minor, Pricing, Way, by_list, compare, read_amount,
    within_budget, written_amount,
};
use rackweek::record::Command;
use rackweek::supply::goods_of;

use super::form::Desk;
use super::letter::Letters;
use super::preview::LONGEST;
use super::rates::RatesForm;
use crate::app::parts::{Input, capital, is_unfolded};
use crate::app::{AppState, intl};

/// What the order comes to.
#[derive(Clone, PartialEq)]
pub(super) struct Counted {
    pub(super) order: Order,
    goods: Goods,
    effort: Effort,
    costs: Costs,
    /// What the price list asks for each item.
    pub(super) list: Option<Vec<Minor>>,
    ways: Vec<Way>,
}

/// An item's option, as ordered or as the card has it.
fn option(cards: &[Card], item: &Item, id: &str) -> i64 {
    let card = cards.iter().find(|card| card.id == item.card);
    let usual = card.and_then(|card| card.options.iter().find(|option| option.id == id));
    let usual = usual.map_or(0, |option| option.default);
    item.options.get(id).copied().unwrap_or(usual)
}

/// Everything that follows from an order and the book.
fn count(
    state: AppState,
    desk: Desk,
    pricing: &Pricing,
    order: Order,
    own: Option<Minor>,
) -> Counted {
    let cards = desk.cards.0.read_untracked();
    let all: Vec<&Card> = cards.iter().collect();
    let book = state.book.read_untracked();
    let kitchen = desk.kitchen.read_untracked();
    let work: Work = break_down_within(&[&order], &all, &kitchen, LONGEST, &book.margins);
    let goods = goods_of(&work, order.id, &book.supplies);
    let effort = Effort::of(&work, &order);
    let costs = Costs::of(&goods, effort, &pricing.rates);
    let list = by_list(&order, &pricing.prices, |item, id| option(&cards, item, id));
    let ways = compare(&costs, effort, &pricing.rates, list.as_deref(), own);
    Counted { order, goods, effort, costs, list, ways }
}

impl Counted {
    /// What is asked: her own price, else the list's, else what the costs make.
    pub(super) fn asked(&self) -> Option<&Way> {
        self.ways.last()
    }
}

/// The panel.
#[component]
pub(super) fn QuotePanel(
    /// Of the form.
    desk: Desk,
    /// None: a new one.
    order: Option<OrderId>,
) -> impl IntoView {
    let state = expect_context::<AppState>();
    let open = RwSignal::new(false);
    view! {
        <details
            class="card quote"
            on:toggle=move |event| open.set(is_unfolded(&event))
        >
            <summary>
                <h3>"Quote"</h3>
            </summary>
            {move || open.get().then(|| view! { <Inside state=state desk=desk order=order /> })}
        </details>
    }
}

#[component]
fn Inside(state: AppState, desk: Desk, order: Option<OrderId>) -> impl IntoView {
    let pricing = Memo::new(move |_| state.book.read().pricing.clone());
    let supplies = Memo::new(move |_| state.book.read().supplies.clone());
    let agreed = order.and_then(|id| pricing.read_untracked().agreed.get(&id).copied());
    let own = RwSignal::new(agreed);
    let counted = Memo::new(move |_| {
        let order = desk.wish.get().ok()?;
        supplies.track();
        desk.cards.0.track();
        desk.kitchen.track();
        Some(Arc::new(count(state, desk, &pricing.read(), order, own.get())))
    });
    let missing = move || desk.wish.get().err().unwrap_or_default();
    let none = Memo::new(move |_| counted.read().is_none());
    view! {
        <div class="stack">
            {move || {
                if none.get() {
                    view! {
                        <p>"This is reckoned as soon as it is known:"</p>
                        <ul class="fit-list">
                            {missing()
                                .into_iter()
                                .map(|text| view! { <li>{text}</li> })
                                .collect_view()}
                        </ul>
                    }
                        .into_any()
                } else {
                    view! {
                        <CostTable counted=counted pricing=pricing />
                        <Prices state=state counted=counted pricing=pricing own=own order=order />
                        <Budget state=state desk=desk counted=counted pricing=pricing />
                        <Letters desk=desk counted=counted pricing=pricing />
                    }
                        .into_any()
                }
            }}
            <RatesForm state=state desk=desk pricing=pricing />
        </div>
    }
}

#[component]
fn CostTable(counted: Memo<Option<Arc<Counted>>>, pricing: Memo<Pricing>) -> impl IntoView {
    let rows = move || {
        let counted = counted.get()?;
        let rates = &pricing.read().rates;
        let costs = counted.costs;
        let hours = intl::duration(counted.effort.hands_on);
        let all = [
            ("Ingredients".to_owned(), costs.ingredients),
            ("Packaging".to_owned(), costs.packaging),
            (format!("Work, {hours} at {} an hour", intl::money(rates.hour, rates)), costs.work),
            ("Oven".to_owned(), costs.energy),
            ("On the road".to_owned(), costs.delivery),
            ("Overhead".to_owned(), costs.overhead),
        ];
        let row = |(what, amount): (String, Minor)| {
            view! {
                <tr>
                    <th scope="row">{what}</th>
                    <td class="number">{intl::money(amount, rates)}</td>
                </tr>
            }
        };
        let shown = all.into_iter().filter(|(_, amount)| *amount != 0);
        let total = row(("What it costs".to_owned(), costs.total()));
        Some(view! {
            <table class="quote-table">
                <tbody>{shown.map(row).collect_view()}</tbody>
                <tfoot>{total}</tfoot>
            </table>
        })
    };
    let unpriced = move || {
        let counted = counted.get()?;
        let names = &counted.goods.unpriced;
        let (first, more) = (names.iter().take(4), names.len().saturating_sub(4));
        let words = first.cloned().collect::<Vec<_>>().join(", ");
        let words = if more > 0 { format!("{words} and {more} more") } else { words };
        (!names.is_empty()).then(|| {
            view! {
                <p class="soft small">
                    {format!("No price is known for {words}: it costs at least this. Prices of packages are entered on the Shopping page.")}
                </p>
            }
        })
    };
    view! {
        {rows}
        {unpriced}
    }
}

fn basis_words(basis: Basis) -> &'static str {
    match basis {
        Basis::Costs => "By its costs",
        Basis::List => "By your list",
        Basis::Own => "Your price",
    }
}

#[component]
fn Prices(
    state: AppState,
    counted: Memo<Option<Arc<Counted>>>,
    pricing: Memo<Pricing>,
    own: RwSignal<Option<Minor>>,
    order: Option<OrderId>,
) -> impl IntoView {
    let rows = move || {
        let counted = counted.get()?;
        let rates = &pricing.read().rates;
        let each = counted.ways.iter().map(|way| {
            let hour = way.hour.map_or_else(|| "–".to_owned(), |hour| intl::money(hour, rates));
            let short = if way.left < 0 { "less than it costs" } else { "" };
            view! {
                <tr>
                    <th scope="row">{basis_words(way.basis)} <span class="bad small">{short}</span></th>
                    <td class="number">{intl::money(way.total, rates)}</td>
                    <td class="number">{intl::money(way.left, rates)}</td>
                    <td class="number">{hour}</td>
                </tr>
            }
        });
        Some(each.collect_view())
    };
    let error = RwSignal::new(None);
    let text = Signal::derive(move || {
        let digits = pricing.read().rates.digits;
        own.get().map_or_else(String::new, |price| written_amount(price, digits))
    });
    let set = move |text: String| {
        let digits = pricing.read_untracked().rates.digits;
        let price = if text.trim().is_empty() { None } else { read_amount(&text, digits) };
        if price.is_none() && !text.trim().is_empty() {
            let example = written_amount(12_000, digits);
            error.set(Some(format!("“{text}” is not a price; write for example {example}")));
            return;
        }
        error.set(None);
        own.set(price);
        let Some(id) = order else { return };
        let mut pricing = pricing.get_untracked();
        match price {
            Some(price) => pricing.agreed.insert(id, price),
            None => pricing.agreed.remove(&id),
        };
        if let Err(refusals) = state.apply(Command::SetPricing(Box::new(pricing))) {
            error.set(refusals.first().map(|refusal| refusal.message.clone()));
        }
    };
    view! {
        <table class="quote-table quote-ways" aria-label="Prices side by side">
            <thead>
                <tr>
                    <td></td>
                    <th scope="col">"Client pays"</th>
                    <th scope="col">"Left over"</th>
                    <th scope="col">"An hour earns"</th>
                </tr>
            </thead>
            <tbody>{rows}</tbody>
        </table>
        <p class="soft small">
            "Left over is what remains beyond all costs, your hours at your rate among them. The client pays with tax."
        </p>
        <Input
            id="quote-own"
            label="Your price, before tax"
            keyboard="decimal"
            value=text
            on_change=set
            error=error
            unit=pricing.read_untracked().rates.currency.clone()
            hint=if order.is_some() { "" } else { "Kept with the order once the order is saved and this is written again." }
            longest=12
        />
    }
}

/// What a form of the order would cost the client: by the list where it has everything, else by its costs.
fn total_of(state: AppState, desk: Desk, pricing: &Pricing, order: &Order) -> Option<Minor> {
    count(state, desk, pricing, order.clone(), None).asked().map(|way| way.total)
}

#[component]
fn Budget(
    state: AppState,
    desk: Desk,
    counted: Memo<Option<Arc<Counted>>>,
    pricing: Memo<Pricing>,
) -> impl IntoView {
    let budget = RwSignal::new(String::new());
    let error = RwSignal::new(None);
    let found = Memo::new(move |_| {
        let (counted, pricing) = (counted.get()?, pricing.get());
        let limit = read_amount(&budget.read(), pricing.rates.digits)?;
        let asked = counted.ways.iter().rfind(|way| way.basis != Basis::Own)?;
        if asked.total <= limit {
            return Some((true, Vec::new()));
        }
        let cards = desk.cards.0.read_untracked();
        let plain = plain(&cards, &counted.order);
        let name = |item: &Item| desk.cards.name(&item.card).to_lowercase();
        let total = |order: &Order| total_of(state, desk, &pricing, order);
        Some((false, within_budget(&counted.order, limit, total, name, &plain)))
    });
    let result = move || {
        let (fits, ways) = found.get()?;
        Some(if fits {
            view! { <p>"The order as it is costs no more than that."</p> }.into_any()
        } else if ways.is_empty() {
            view! { <p>"Nothing that was tried costs so little."</p> }.into_any()
        } else {
            let rates = pricing.read().rates.clone();
            let each = ways.into_iter().map(|way| {
                let words = format!("{}: {}", capital(&way.words), intl::money(way.total, &rates));
                let take = move |_| take(desk, &way);
                view! {
                    <li class="row apart">
                        <span>{words}</span>
                        <button type="button" class="button" on:click=take>
                            "Take it"
                        </button>
                    </li>
                }
            });
            view! { <ul class="quote-cheaper" aria-label="What meets the budget">{each.collect_view()}</ul> }
                .into_any()
        })
    };
    view! {
        <Input
            id="quote-budget"
            label="The client’s budget, with tax"
            keyboard="decimal"
            value=budget
            on_change=move |text: String| {
                let digits = pricing.read_untracked().rates.digits;
                let wrong = !text.trim().is_empty() && read_amount(&text, digits).is_none();
                let example = written_amount(15_000, digits);
                error.set(wrong.then(|| format!("“{text}” is not an amount; write for example {example}")));
                budget.set(text);
            }
            error=error
            unit=pricing.read_untracked().rates.currency.clone()
            longest=12
        />
        {result}
    }
}

/// What could be left away: switches that are on and are no rules of the trade.
fn plain(cards: &[Card], order: &Order) -> Vec<(ItemId, String, String)> {
    let of = |item: &Item| {
        let card = cards.iter().find(|card| card.id == item.card);
        let options = card.into_iter().flat_map(|card| &card.options);
        let on = options.filter(|of| of.kind == OptionKind::Switch && !of.rule);
        let on = on.filter(|of| option(cards, item, &of.id) > 0);
        let words = on.map(|of| (item.id, of.id.clone(), of.label.to_lowercase()));
        words.collect::<Vec<_>>()
    };
    order.items.iter().flat_map(of).collect()
}

/// Writes it into the form; the check beside it plans it anew.
fn take(desk: Desk, way: &Cheaper) {
    let order = way.order.clone();
    let later = move || {
        desk.write("items", |draft| {
            draft.items.retain(|item| order.items.iter().any(|of| of.id == item.id));
            for item in &mut draft.items {
                let Some(of) = order.items.iter().find(|of| of.id == item.id) else { continue };
                item.count = of.count.to_string();
                for (id, value) in &of.options {
                    if *value == 0 {
                        item.options.insert(id.clone(), "0".to_owned());
                    }
                }
            }
        });
    };
    // The button goes with the list that it belonged to.
    set_timeout(later, std::time::Duration::ZERO);
}
