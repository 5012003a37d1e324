//! All cards: products, components, and how to get another one.

use leptos::prelude::*;
use rackweek::card::Card;

use super::files::Import;
use super::{Shelf, edit};
use crate::app::parts::Icon;
use crate::app::{Form, Page, routes};

/// All cards, products and components apart.
pub(super) fn list(shelf: Shelf) -> AnyView {
    let book = shelf.state.book.read();
    let cards = book.newest_cards();
    let row = |card: &Card| {
        let own = book.cards.contains_key(&card.id);
        link(shelf, card, if own { "your own" } else { "" })
    };
    let links = |component: bool| {
        cards.iter().filter(|card| card.component == component).map(row).collect_view()
    };
    let unsaved = edit::unsaved().map(|(name, id)| {
        view! {
            <div class="banner">
                <p>{format!("“{name}” was changed and is not saved yet.")}</p>
                <button type="button" class="button" on:click=move |_| shelf.edit(id.clone())>
                    "Go on with it"
                </button>
            </div>
        }
    });
    view! {
        {unsaved}
        <p class="soft">
            "How each product is made, with every number and where it comes from. Copy a card to make it yours; orders keep the version that they were planned with."
        </p>
        <h2 id="cards-products">"Products"</h2>
        <ul class="method-list" aria-labelledby="cards-products">
            {links(false)}
        </ul>
        <h2 id="cards-components">"Components"</h2>
        <ul class="method-list" aria-labelledby="cards-components">
            {links(true)}
        </ul>
        <section class="card stack">
            <h2>"Another card"</h2>
            <div>
                <button type="button" class="button" on:click=move |_| shelf.edit(String::new())>
                    <Icon name="plus" />
                    "A card from nothing"
                </button>
            </div>
            <Import shelf=shelf />
        </section>
    }
    .into_any()
}

/// The way to one card.
fn link(shelf: Shelf, card: &Card, mark: &'static str) -> AnyView {
    let id = card.id.clone();
    let form = Form::Card(id.clone(), String::new());
    view! {
        <li>
            <a
                class="button"
                href=routes::address(Page::Cards, Some(form))
                on:click=move |event| {
                    if routes::stays_here(&event) {
                        shelf.open(id.clone());
                    }
                }
            >
                <strong>{card.name.clone()}</strong>
                <span class="soft small">{card.about.clone()}</span>
                {(!mark.is_empty()).then(|| view! { <span class="badge">{mark}</span> })}
            </a>
        </li>
    }
    .into_any()
}
