//! A button that hands a text to the device's own sheet for sharing.

use leptos::prelude::*;

use crate::app::send;

/// The button; nothing where the device has no such sheet.
#[component]
pub(crate) fn SendOn(
    /// What the sheet calls it.
    title: &'static str,
    /// `url` or `text`.
    kind: &'static str,
    /// What is sent.
    #[prop(into)]
    value: Signal<String>,
    /// For a reader, where several stand on a page.
    #[prop(optional, into)]
    label: Option<String>,
) -> impl IntoView {
    send::can_share().then(|| {
        view! {
            <button
                type="button"
                class="button"
                aria-label=label
                on:click=move |_| send::share(title, kind, &value.get_untracked())
            >
                "Send …"
            </button>
        }
    })
}
