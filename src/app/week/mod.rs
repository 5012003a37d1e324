//! The week on screen.

use leptos::prelude::*;

/// The page of seven days.
#[component]
pub(crate) fn WeekPage() -> impl IntoView {
    view! { <section class="page week-page"></section> }
}
