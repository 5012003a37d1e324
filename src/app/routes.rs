//! Which page is shown, and its name in the address (`?page=orders&order=3`).
//!
//! The query is used because the fragment after `#` is kept for a shared week. Works under any path.

use leptos::prelude::*;
use rackweek::order::OrderId;
use wasm_bindgen::JsValue;
use web_sys::UrlSearchParams;

use super::AppState;

/// The pages of the app. A new one is a name here, in [`Page::ALL`], [`Page::slug`] and [`Page::title`], an arm in
/// `pages/frame.rs` that draws it, and an icon called like its slug in the sprite of `index.html`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Page {
    /// The grid of days.
    Week,
    /// What to do now, with floury hands.
    Bench,
    /// The places, drawn to scale.
    Cold,
    /// The order book.
    Orders,
    /// What is bought, and the larder.
    Shopping,
    /// How products are made.
    Cards,
    /// Shelves, racks, counter, oven, mixer.
    Kitchen,
    /// Day job, sleep, family, exceptions.
    Time,
    /// Backup, restore, where the data is.
    Safe,
}

/// What is open on a page: the order of the form, or a method card.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Form {
    /// An order that is not in the book yet.
    New,
    /// One of the book's orders.
    Edit(OrderId),
    /// The labels of one of the book's orders.
    Labels(OrderId),
    /// A method card to read, by its id, and the step in it that is meant; may be empty.
    Card(String, String),
    /// A method card to change, by its id; empty: one from nothing.
    EditCard(String),
}

impl Form {
    /// The page that it belongs to.
    fn page(&self) -> Page {
        match self {
            Self::New | Self::Edit(_) | Self::Labels(_) => Page::Orders,
            Self::Card(..) | Self::EditCard(_) => Page::Cards,
        }
    }
}

impl Page {
    /// In the order of the navigation: the most used first, since a phone's bar shows only the first four.
    pub(crate) const ALL: &'static [Self] = &[
        Self::Week,
        Self::Bench,
        Self::Cold,
        Self::Orders,
        Self::Shopping,
        Self::Cards,
        Self::Kitchen,
        Self::Time,
        Self::Safe,
    ];

    /// Its name in the address, and its icon's.
    pub(crate) fn slug(self) -> &'static str {
        match self {
            Self::Week => "week",
            Self::Bench => "bench",
            Self::Cold => "cold",
            Self::Orders => "orders",
            Self::Shopping => "shopping",
            Self::Cards => "cards",
            Self::Kitchen => "kitchen",
            Self::Time => "time",
            Self::Safe => "safe",
        }
    }

    /// Its name on screen.
    pub(crate) fn title(self) -> &'static str {
        match self {
            Self::Week => "Week",
            Self::Bench => "Bench sheet",
            Self::Cold => "Cold & counter",
            Self::Orders => "Order book",
            Self::Shopping => "Shopping",
            Self::Cards => "Method cards",
            Self::Kitchen => "Kitchen",
            Self::Time => "My time",
            Self::Safe => "Keep safe",
        }
    }
}

/// The address of a page and form, relative to wherever the app lies.
pub(crate) fn address(page: Page, form: Option<Form>) -> String {
    let page = page.slug();
    match form {
        None => format!("?page={page}"),
        Some(Form::New) => format!("?page={page}&order=new"),
        Some(Form::Edit(OrderId(id))) => format!("?page={page}&order={id}"),
        Some(Form::Labels(OrderId(id))) => format!("?page={page}&labels={id}"),
        // Ids of cards and steps are letters, digits and hyphens.
        Some(Form::Card(card, step)) if step.is_empty() => format!("?page={page}&card={card}"),
        Some(Form::Card(card, step)) => format!("?page={page}&card={card}&step={step}"),
        Some(Form::EditCard(card)) => format!("?page={page}&edit={card}"),
    }
}

/// What the address says; an unknown one is the week.
pub(crate) fn current() -> (Page, Option<Form>) {
    let search = window().location().search().unwrap_or_default();
    let Ok(query) = UrlSearchParams::new_with_str(&search) else { return (Page::Week, None) };
    let named = query.get("page").unwrap_or_default();
    let page = Page::ALL.iter().find(|page| page.slug() == named).copied().unwrap_or(Page::Week);
    let order = query.get("order").and_then(|order| match order.as_str() {
        "new" => Some(Form::New),
        id => id.parse().ok().map(|id| Form::Edit(OrderId(id))),
    });
    let labels =
        query.get("labels").and_then(|id| id.parse().ok()).map(|id| Form::Labels(OrderId(id)));
    let order = order.or(labels);
    let step = || query.get("step").unwrap_or_default();
    let card = || query.get("card").map(|card| Form::Card(card, step()));
    let form = order.or_else(card).or_else(|| query.get("edit").map(Form::EditCard));
    (page, form.filter(|form| form.page() == page))
}

/// Writes a page into the address and the history of the window.
pub(crate) fn push(page: Page, form: Option<Form>) {
    let place = (page, form);
    if current() == place {
        return;
    }
    let (page, form) = place;
    if let Ok(history) = window().history() {
        // A refused address costs the back button, not the page.
        let _ = history.push_state_with_url(&JsValue::NULL, "", Some(&address(page, form)));
    }
}

/// Follows the window's back and forward buttons.
pub(crate) fn follow(state: AppState) {
    // Lives as long as the page.
    let _ = window_event_listener(leptos::ev::popstate, move |_| {
        let (page, form) = current();
        state.page.set(page);
        state.form.set(form);
    });
}

/// Whether a pressed link is to be followed within this page: with a modifier the browser opens another window, as
/// everywhere. Then the browser itself follows it no further.
pub(crate) fn stays_here(event: &leptos::ev::MouseEvent) -> bool {
    let stays = !(event.ctrl_key() || event.meta_key() || event.shift_key());
    if stays {
        event.prevent_default();
    }
    stays
}
