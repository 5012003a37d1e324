//! The frame: navigation, the page, and the one live region.

use leptos::prelude::*;

use crate::app::week::WeekPage;
use crate::app::{AppState, Page};

/// Everything on screen.
#[component]
pub(crate) fn Frame() -> impl IntoView {
    let state = expect_context::<AppState>();
    view! {
        <main>
            {move || match state.page.get() {
                Page::Week => view! { <WeekPage /> }.into_any(),
                other => view! { <p>{other.title()}</p> }.into_any(),
            }}
        </main>
    }
}
