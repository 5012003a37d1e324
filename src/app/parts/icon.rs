//! Icons from the sprite in `index.html`.

use leptos::prelude::*;

/// An icon; decorative, so it never stands without words nearby or a label on its button.
#[component]
pub(crate) fn Icon(
    /// Its name in the sprite.
    name: &'static str,
) -> impl IntoView {
    view! {
        <svg class="icon" aria-hidden="true" focusable="false">
            <use href=format!("#icon-{name}")></use>
        </svg>
    }
}
