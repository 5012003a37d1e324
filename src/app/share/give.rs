//! What is shared, seen before it is shared, and the ways in which it leaves.

use std::collections::BTreeSet;
use std::sync::Arc;

use leptos::prelude::*;
use rackweek::calendar::{Date, Horizon};
use rackweek::order::OrderId;
use rackweek::plan::{Plan, check::Report};
use rackweek::share::{Choice, Named, SharedWeek, digits_of, fragment_of, qr};
use rackweek::week::{Doing, WeekInput, doings};

use super::list;
use crate::app::parts::{Choose, Icon, Input, OrderMark, SendOn, Switch};
use crate::app::{AppState, intl, send};

/// Longer links are cut by some messengers.
const LINK_GOOD: usize = 2000;
/// The name of the choice of all weeks.
const ALL: &str = "all";

/// All that happens, and the days it is on.
#[derive(Clone)]
struct Happens {
    doings: Vec<Doing>,
    horizon: Horizon,
}

impl Happens {
    fn date(&self, doing: &Doing) -> Date {
        self.horizon.wall(doing.span.start).date()
    }
}

/// As the plan on screen has it; none before there is one.
fn happens(state: AppState) -> Option<Arc<Happens>> {
    let (book, now) = (state.book.get(), state.now.get_untracked());
    let planned = state.plan.get();
    let none = (Plan::default(), Report::default());
    let outlook =
        planned.as_ref().map(|week| Arc::clone(&week.outlook)).or_else(|| state.outlook.get())?;
    let (plan, report) =
        planned.as_ref().map_or((&none.0, &none.1), |week| (&week.plan, &week.report));
    let unfolded = BTreeSet::new();
    let input = WeekInput {
        book: &book,
        outlook: &outlook,
        plan,
        report,
        now,
        first_day: 0,
        unfolded: &unfolded,
    };
    Some(Arc::new(Happens { doings: doings(input), horizon: outlook.horizon.clone() }))
}

/// What she chose so far.
#[derive(Clone, Copy)]
struct Chosen {
    state: AppState,
    happens: Memo<Option<Arc<Happens>>>,
    /// The Monday of the week, or [`ALL`].
    week: RwSignal<String>,
    without_days: RwSignal<BTreeSet<Date>>,
    without: RwSignal<BTreeSet<OrderId>>,
    theme: RwSignal<bool>,
    allergies: RwSignal<bool>,
    note: RwSignal<String>,
}

impl Chosen {
    fn new(state: AppState) -> Self {
        let happens = Memo::new_with_compare(move |_| happens(state), |_, _| true);
        let monday = state.now.get_untracked().date().monday();
        Self {
            state,
            happens,
            week: RwSignal::new(monday.to_string()),
            without_days: RwSignal::new(BTreeSet::new()),
            without: RwSignal::new(BTreeSet::new()),
            theme: RwSignal::new(false),
            allergies: RwSignal::new(true),
            note: RwSignal::new(String::new()),
        }
    }

    /// The weeks from this one on in which something happens, and this one.
    fn weeks(&self) -> Vec<(String, String)> {
        let this = self.state.now.get_untracked().date().monday();
        let mut mondays = vec![this];
        if let Some(happens) = self.happens.get() {
            for monday in happens.doings.iter().map(|doing| happens.date(doing).monday()) {
                if monday > this && mondays.last() != Some(&monday) {
                    mondays.push(monday);
                }
            }
        }
        let named = mondays.into_iter().map(|monday| {
            let range =
                format!("{} – {}", intl::day_month(monday), intl::day_month(monday.plus_days(6)));
            (monday.to_string(), if monday == this { format!("This week, {range}") } else { range })
        });
        named.chain([(ALL.to_owned(), "All that is planned from today".to_owned())]).collect()
    }

    /// The days of the chosen week on which something happens.
    fn days(&self) -> Vec<Date> {
        let Some(happens) = self.happens.get() else { return Vec::new() };
        let today = self.state.now.get_untracked().date();
        let week = self.week.get();
        let mut days: Vec<Date> = Vec::new();
        for date in happens.doings.iter().map(|doing| happens.date(doing)) {
            let wanted =
                if week == ALL { date >= today } else { date.monday().to_string() == week };
            if wanted && !days.contains(&date) {
                days.push(date);
            }
        }
        days
    }

    /// The orders for which something happens on these days.
    fn orders(&self) -> Vec<OrderId> {
        let Some(happens) = self.happens.get() else { return Vec::new() };
        let days = self.days();
        let mut orders = Vec::new();
        for doing in &happens.doings {
            if !orders.contains(&doing.order) && days.contains(&happens.date(doing)) {
                orders.push(doing.order);
            }
        }
        orders
    }

    fn choice(&self) -> Choice {
        let without = self.without_days.get();
        let mut days = BTreeSet::new();
        for day in self.days().into_iter().filter(|day| !without.contains(day)) {
            days.insert(day);
        }
        Choice {
            days,
            without: self.without.get(),
            named: if self.theme.get() { Named::Theme } else { Named::Mark },
            allergies: self.allergies.get(),
            note: self.note.get(),
        }
    }

    fn shared(&self) -> Option<SharedWeek> {
        let happens = self.happens.get()?;
        let made = self.state.now.get_untracked();
        let choice = self.choice();
        Some(choice.share(&happens.doings, &happens.horizon, &self.state.book.read().orders, made))
    }
}

/// The part of the page.
#[component]
pub(crate) fn Share() -> impl IntoView {
    let state = expect_context::<AppState>();
    let open = RwSignal::new(false);
    view! {
        <section class="card stack" aria-label="Share a week">
            <h2>"Share a week"</h2>
            <p>
                "A link that holds a week for a helper, to read and to tick on any phone. Never in it: clients’ names, contacts, addresses, prices and pictures."
            </p>
            {move || {
                if open.get() {
                    form(&Chosen::new(state))
                } else {
                    view! {
                        <div>
                            <button
                                type="button"
                                class="button strong"
                                disabled=move || state.outlook.read().is_none()
                                on:click=move |_| open.set(true)
                            >
                                "Choose what to share"
                            </button>
                        </div>
                    }
                        .into_any()
                }
            }}
        </section>
    }
}

/// A button that is pressed while its thing is shared.
fn toggle(on: Signal<bool>, flip: Callback<()>, words: AnyView) -> AnyView {
    view! {
        <button
            type="button"
            class="button share-toggle"
            aria-pressed=move || on.get().to_string()
            on:click=move |_| flip.run(())
        >
            {move || on.get().then(|| view! { <Icon name="check" /> })}
            {words}
        </button>
    }
    .into_any()
}

fn form(chosen: &Chosen) -> AnyView {
    let chosen = *chosen;
    let Chosen { state, week, without_days, without, theme, allergies, note, .. } = chosen;
    let days = move || {
        let each = chosen.days().into_iter().map(|day| {
            let on = Signal::derive(move || !without_days.read().contains(&day));
            let flip = Callback::new(move |()| without_days.update(|days| flip(days, day)));
            let words = format!("{} {}", intl::weekday_short(day), intl::day_month(day));
            toggle(on, flip, words.into_any())
        });
        each.collect_view()
    };
    let orders = move || {
        let each = chosen.orders().into_iter().map(|id| {
            let book = state.book.get_untracked();
            let order = book.orders.get(&id);
            let mark = order.map(rackweek::order::Order::mark).unwrap_or_default();
            let name = order.map(|order| order.client.clone()).unwrap_or_default();
            let on = Signal::derive(move || !without.read().contains(&id));
            let flip = Callback::new(move |()| without.update(|orders| flip(orders, id)));
            let words = view! { <OrderMark id=id letters=mark /> <bdi>{name}</bdi> };
            toggle(on, flip, words.into_any())
        });
        each.collect_view()
    };
    view! {
        <Choose
            id="share-week"
            label="Which week"
            options=Signal::derive(move || chosen.weeks())
            value=week
            on_change=Callback::new(move |name| week.set(name))
        />
        <div class="field" role="group" aria-label="Days">
            <span class="label" aria-hidden="true">"Days"</span>
            <div class="choice">{days}</div>
        </div>
        <div class="field" role="group" aria-label="Orders">
            <span class="label" aria-hidden="true">"Orders (names are seen only here)"</span>
            <div class="choice">{orders}</div>
        </div>
        <Switch
            id="share-theme"
            label="Name orders by their theme too"
            hint="Otherwise by their two letters only. The client’s name, and what looks like a number or an address, is taken out of your words."
            on=theme
            on_change=Callback::new(move |on| theme.set(on))
        />
        <Switch
            id="share-allergies"
            label="Hand on allergies"
            hint="As you noted them in the order."
            on=allergies
            on_change=Callback::new(move |on| allergies.set(on))
        />
        <Input
            id="share-note"
            label="A word to the helper"
            value=note
            on_change=Callback::new(move |text| note.set(text))
            hint="May stay empty. It is sent as you write it."
            longest=300
        />
        {outcome(&chosen)}
    }
    .into_any()
}

/// Takes in what is out, and out what is in.
fn flip<T: Ord>(set: &mut BTreeSet<T>, one: T) {
    if !set.remove(&one) {
        set.insert(one);
    }
}

/// What is inside, and the ways out.
fn outcome(chosen: &Chosen) -> AnyView {
    let chosen = *chosen;
    let state = chosen.state;
    let shared = Memo::new(move |_| chosen.shared());
    let code = RwSignal::new(false);
    let address = |fragment: String| {
        let location = window().location();
        let base = location.origin().unwrap_or_default() + &location.pathname().unwrap_or_default();
        format!("{base}#{fragment}")
    };
    let link = Memo::new(move |_| {
        shared.with(|week| week.as_ref().map(|week| address(fragment_of(week)))).unwrap_or_default()
    });
    let drawing = move || {
        if !code.get() {
            return ().into_any();
        }
        let found = shared.with(|week| qr(&address(digits_of(week.as_ref()?))));
        match found {
            Some(drawing) => view! {
                <svg
                    class="qr"
                    role="img"
                    aria-label="The link as a QR code"
                    viewBox=format!("0 0 {0} {0}", drawing.side)
                >
                    <path d=drawing.path />
                </svg>
            }
            .into_any(),
            None => view! {
                <p>
                    "This is too much for a code that a phone reads from a screen; that ends at about 60 sittings. Share fewer days, or send the link."
                </p>
            }
            .into_any(),
        }
    };
    let inside = move || {
        shared.get().map(|week| {
            let (entries, orders) = (week.entries.len(), week.orders.len());
            let length = link.read().len();
            let note = week.note.clone();
            let long = (length > LINK_GOOD)
                .then_some(". Some messengers cut links as long as this one: share fewer days");
            view! {
                <details class="shared-inside" open>
                    <summary>"What is inside: " {entries} " entries of " {orders} " orders"</summary>
                    <div class="shared-look stack tight" role="region" aria-label="What is inside" tabindex="0">
                        {(!note.is_empty()).then(|| view! { <p class="shared-note" dir="auto">{note}</p> })}
                        {list::allergies(&week)}
                        {list::days(&week, None)}
                    </div>
                </details>
                <p class="soft small number">"The link has " {length} " characters" {long} "."</p>
            }
        })
    };
    let empty =
        move || shared.with(|week| week.as_ref().is_none_or(|week| week.entries.is_empty()));
    view! {
        {inside}
        {move || {
            if empty() {
                return view! { <p>"Nothing happens on these days for these orders."</p> }.into_any();
            }
            view! {
                <div class="row">
                    <button
                        type="button"
                        class="button strong"
                        on:click=move |_| send::copy(state, "Link", link.get_untracked())
                    >
                        "Copy the link"
                    </button>
                    <SendOn title="Shared week" kind="url" value=link />
                    <button
                        type="button"
                        class="button"
                        aria-pressed=move || code.get().to_string()
                        on:click=move |_| code.update(|shown| *shown = !*shown)
                    >
                        "Show a QR code"
                    </button>
                </div>
                {drawing}
                <div class="field">
                    <label for="share-link">"The link"</label>
                    <textarea class="input share-link" id="share-link" rows="3" readonly prop:value=link></textarea>
                </div>
            }
                .into_any()
        }}
    }
    .into_any()
}
