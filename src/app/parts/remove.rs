//! The button that takes a row away.

use leptos::prelude::*;

use super::Icon;

/// Takes away what it stands beside; undo brings it back.
#[component]
pub(crate) fn Remove(
    /// The row's name, for who cannot see beside what it stands.
    #[prop(into)]
    what: Signal<String>,
    /// Does it.
    on_remove: impl FnMut(leptos::ev::MouseEvent) + 'static,
) -> impl IntoView {
    view! {
        <button
            type="button"
            class="button icon-only quiet"
            aria-label=move || format!("Remove {}", what.read())
            on:click=on_remove
        >
            <Icon name="cross" />
        </button>
    }
}
