//! The app: a thin shell of Leptos parts around the domain.
//!
//! In: what the reader does, what the browser knows (clock, zone, storage, other tabs). Out: commands to
//! the book, and what the domain answers, drawn. Holds no rule of the trade: those are the library's.

#![expect(unreachable_pub, reason = "the component macro writes `pub` inside hidden modules")]

mod clock;
mod intl;
mod pages;
mod routes;
mod state;
mod week;

use leptos::prelude::*;

pub(crate) use routes::Page;
pub(crate) use state::AppState;

/// Starts the app, or the planner when this runs in a worker.
pub(crate) fn start() {
    mount_to_body(App);
}

/// The whole page.
#[component]
fn App() -> impl IntoView {
    let state = AppState::new();
    provide_context(state);
    view! { <pages::Frame /> }
}
