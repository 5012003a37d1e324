//! Shopping: one list over the orders that are planned, ticked by finger, and the larder.
//!
//! In: the book, and the plan on screen for when things are used. Out: commands that set the supplies. What to buy is
//! the library's to say.

mod good;
mod larder;
mod list;

use std::sync::Arc;

use leptos::prelude::*;
use rackweek::breakdown::StepId;
use rackweek::calendar::Wall;
use rackweek::plan::arrange::{map_of, set_of};
use rackweek::quote::{Minor, Rates};
use rackweek::record::Command;
use rackweek::supply::{Covers, List, Supplies, Units, Use, uses};

use crate::app::parts::Choose;
use crate::app::{AppState, intl};

/// What the parts of this page share.
#[derive(Clone, Copy)]
struct Shop {
    /// By a handle, since the app's own is large.
    app: StoredValue<AppState, LocalStorage>,
    now: RwSignal<Wall>,
    supplies: Memo<Supplies>,
    rates: Memo<Rates>,
    uses: Memo<Arc<Vec<Use>>>,
    covers: RwSignal<Covers>,
    list: Memo<Arc<List>>,
    /// The good whose packages and larder are shown.
    open: RwSignal<Option<&'static str>>,
}

impl Shop {
    fn new(state: AppState) -> Self {
        let supplies = Memo::new(move |_| state.book.read().supplies.clone());
        let uses = Memo::new(move |_| Arc::new(uses_now(state)));
        let covers = RwSignal::new(Covers::default());
        let list =
            Memo::new(move |_| Arc::new(List::of(&uses.read(), &supplies.read(), &covers.read())));
        let rates = Memo::new(move |_| state.book.read().pricing.rates.clone());
        let app = StoredValue::new_local(state);
        let (now, open) = (state.now, RwSignal::new(None));
        Self { app, now, supplies, rates, uses, covers, list, open }
    }

    /// Changes the supplies in the book, or says what is wrong.
    fn change(self, edit: impl FnOnce(&mut Supplies)) -> Result<(), String> {
        let mut supplies = self.supplies.get_untracked();
        edit(&mut supplies);
        let done = self.app.get_value().apply(Command::SetSupplies(Box::new(supplies)));
        done.map_err(|refusals| {
            refusals.first().map_or_else(String::new, |refusal| refusal.message.clone())
        })
    }

    fn change_or_say(self, edit: impl FnOnce(&mut Supplies)) {
        if let Err(why) = self.change(edit) {
            self.say(why, false);
        }
    }

    fn say(self, text: impl Into<String>, undo: bool) {
        self.app.get_value().say(text, undo);
    }

    fn money(self, amount: Minor) -> String {
        intl::money(amount, &self.rates.read())
    }

    fn units(self) -> Units {
        self.supplies.read().units
    }
}

/// What is used when, by the plan on screen; ticks and pins at their own time.
pub(crate) fn uses_now(state: AppState) -> Vec<Use> {
    let planned = state.plan.get();
    let outlook = match &planned {
        Some(planned) => Arc::clone(&planned.outlook),
        None => match state.outlook.get() {
            Some(outlook) => outlook,
            None => return Vec::new(),
        },
    };
    let book = state.book.read();
    let shown = planned.map(|planned| outlook.shown_from(&planned.plan).starts).unwrap_or_default();
    let pins = book.pins.iter().map(|(step, pin)| (step.clone(), pin.starts.clone()));
    let all = shown.into_iter().chain(pins);
    let starts = map_of(all.filter_map(|(step, starts)| Some((step, *starts.first()?))));
    let all_done = |step: &StepId| {
        let sittings = outlook.work.steps.iter().find(|one| one.id == *step)?.sittings.len();
        Some(sittings <= book.progress.get(step)?.done())
    };
    uses(&outlook.work, &starts, |step| {
        book.pins.get(step).is_some_and(|pin| pin.done) || all_done(step) == Some(true)
    })
}

/// The page.
#[component]
pub(crate) fn ShoppingPage() -> impl IntoView {
    let state = expect_context::<AppState>();
    let shop = Shop::new(state);
    let orders = Signal::derive(move || {
        let book = state.book.read();
        let planned = book.orders.values().filter(|order| order.is_planned());
        let each = planned.map(|order| (order.id.0.to_string(), order.client.clone()));
        [(String::new(), "All orders that are planned".to_owned())]
            .into_iter()
            .chain(each)
            .collect()
    });
    let order = Signal::derive(move || {
        shop.covers.read().orders.first().map_or_else(String::new, |order| order.0.to_string())
    });
    let spans = [("", "All that is planned"), ("2", "The next 3 days"), ("6", "The next 7 days")]
        .map(|(days, words)| (days.to_owned(), words.to_owned()))
        .to_vec();
    let span = RwSignal::new(String::new());
    let units = [("metric", "Grams"), ("us", "US cups and pounds")]
        .map(|(name, words)| (name.to_owned(), words.to_owned()))
        .to_vec();
    view! {
        <section class="page narrow stack shopping">
            <div class="grid-auto">
                <Choose
                    id="shopping-orders"
                    label="For"
                    options=orders
                    value=order
                    on_change=move |id: String| {
                        let order = id.parse().ok().map(rackweek::order::OrderId);
                        shop.covers.update(|covers| covers.orders = set_of(order));
                    }
                />
                <Choose
                    id="shopping-days"
                    label="Used in"
                    options=Signal::stored(spans)
                    value=span
                    on_change=move |days: String| {
                        let until = days.parse().ok().map(|days: i64| {
                            state.now.get_untracked().date().plus_days(days)
                        });
                        span.set(days);
                        shop.covers.update(|covers| covers.until = until);
                    }
                />
                <Choose
                    id="shopping-units"
                    label="Amounts in"
                    options=Signal::stored(units)
                    value=Signal::derive(move || match shop.units() {
                        Units::Metric => "metric".to_owned(),
                        Units::Us => "us".to_owned(),
                    })
                    on_change=move |name: String| {
                        let units = if name == "us" { Units::Us } else { Units::Metric };
                        shop.change_or_say(|supplies| supplies.units = units);
                    }
                />
            </div>
            <list::Bill shop=shop />
            <list::ListView shop=shop />
            <larder::Larder shop=shop />
            <p class="soft small">
                {rackweek::keeping::CAUTION}
            </p>
            <good::GoodDialog shop=shop />
        </section>
    }
}
