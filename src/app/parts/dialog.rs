//! Dialogs above the page, and a question before something large happens.

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
    show_while(dialog, move || open.get());
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

/// Opens a dialog above the page while `open` holds, and closes it after.
pub(crate) fn show_while(dialog: NodeRef<Dialog>, open: impl Fn() -> bool + Send + Sync + 'static) {
    follow(dialog, Signal::derive(open));
}

/// The same, compiled once.
fn follow(dialog: NodeRef<Dialog>, open: Signal<bool>) {
    Effect::new(move |_| {
        let open = open.get();
        let Some(dialog) = dialog.get() else { return };
        if open && !dialog.open() {
            // Fails only when it is open already.
            let _ = dialog.show_modal();
        } else if !open && dialog.open() {
            dialog.close();
        }
    });
}
