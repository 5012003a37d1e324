//! One of a few.

use leptos::prelude::*;

/// A field in which one of a few is chosen.
#[component]
pub(crate) fn Choose(
    /// Unique on the page.
    #[prop(into)]
    id: String,
    /// What it is for.
    #[prop(into)]
    label: String,
    /// What there is: a name for the program, and words.
    #[prop(into)]
    options: Signal<Vec<(String, String)>>,
    /// The name of the one that is chosen.
    #[prop(into)]
    value: Signal<String>,
    /// Hears the name of another one.
    #[prop(into)]
    on_change: Callback<String>,
) -> impl IntoView {
    let each = move || {
        options
            .get()
            .into_iter()
            .map(|(name, words)| {
                let this = name.clone();
                view! {
                    <option value=name selected=move || *value.read() == this>
                        {words}
                    </option>
                }
            })
            .collect_view()
    };
    view! {
        <div class="field">
            <label for=id.clone()>{label}</label>
            <select
                class="input"
                id=id
                prop:value=value
                on:change=move |event| on_change.run(event_target_value(&event))
            >
                {each}
            </select>
        </div>
    }
}
