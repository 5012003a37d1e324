//! What was typed and not saved, found again when a form is opened.

use leptos::prelude::*;

/// Says so while it holds, with the way to let it go.
#[component]
pub(crate) fn CameBack(
    /// Whether what the form shows came back.
    came_back: RwSignal<bool>,
    /// What it is.
    words: &'static str,
    /// Lets it go.
    #[prop(into)]
    on_discard: Callback<()>,
) -> impl IntoView {
    let discard = move |_| {
        on_discard.run(());
        came_back.set(false);
    };
    move || {
        came_back.get().then(|| {
            view! {
                <div class="banner">
                    <p>{words}</p>
                    <button type="button" class="button" on:click=discard>
                        "Discard it"
                    </button>
                </div>
            }
        })
    }
}
