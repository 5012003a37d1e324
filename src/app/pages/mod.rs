//! The pages, one folder or file each, and the frame around them.

mod banners;
mod cards;
mod first;
mod frame;
mod kitchen;
mod nav;
mod orders;
mod safe;
mod shopping;
mod time;

use leptos::prelude::*;

use super::{AppState, Form, Page, routes};

pub(crate) use cards::card_link;
pub(crate) use frame::Frame;

/// The way to what is open on another page, as a line of its own.
pub(crate) fn page_link(page: Page, form: Form, words: String) -> AnyView {
    let state = expect_context::<AppState>();
    let form = Some(form);
    view! {
        <p>
            <a
                class="button quiet"
                href=routes::address(page, form.clone())
                on:click=move |event| {
                    if routes::stays_here(&event) {
                        state.go(page, form.clone());
                    }
                }
            >
                {words}
            </a>
        </p>
    }
    .into_any()
}
