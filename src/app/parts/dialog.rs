//! A question before something large happens.

use leptos::html::Dialog;
use leptos::prelude::*;

/// Asks, and does it only on the second button. Opens when `open` becomes true.
#[component]
pub(crate) fn Confirm(
    /// Whether it is asked now.
    open: RwSignal<bool>,
    /// The question.
    #[prop(into)]
    title: String,
    /// What doing it means, on its button.
    #[prop(into)]
    yes: String,
    /// Does it.
    #[prop(into)]
    on_yes: Callback<()>,
    /// What will happen.
    children: ChildrenFn,
) -> impl IntoView {
    let dialog = NodeRef::<Dialog>::new();
    Effect::new(move |_| {
        let Some(dialog) = dialog.get() else { return };
        if open.get() && !dialog.open() {
            // Fails only when it is open already.
            let _ = dialog.show_modal();
        } else if !open.get() && dialog.open() {
            dialog.close();
        }
    });
    let named = title.clone();
    view! {
        <dialog class="dialog" node_ref=dialog aria-label=named on:close=move |_| open.set(false)>
            <div class="stack">
                <h2>{title}</h2>
                {move || open.get().then(|| children())}
                <div class="row">
                    // The first button has the focus: the one that harms nothing.
                    <button type="button" class="button" on:click=move |_| open.set(false)>
                        "Keep as it is"
                    </button>
                    <button
                        type="button"
                        class="button danger"
                        on:click=move |_| {
                            open.set(false);
                            on_yes.run(());
                        }
                    >
                        {yes}
                    </button>
                </div>
            </div>
        </dialog>
    }
}
