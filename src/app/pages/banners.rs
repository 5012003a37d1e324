//! What the reader must know before she goes on: not saved, not kept, read-only, following, a new
//! version.

use leptos::prelude::*;

use crate::app::state::{Role, SaveState};
use crate::app::{AppState, Page, update};

/// All that apply now.
#[component]
pub(crate) fn Banners() -> impl IntoView {
    let state = expect_context::<AppState>();
    let export = move || {
        view! {
            <button type="button" class="button" on:click=move |_| state.export()>
                "Export a backup"
            </button>
        }
    };
    let storage = move || {
        match state.saved.get() {
        SaveState::NotSaved(why) => Some(view! {
            <div class="banner bad">
                <p>
                    <strong>"Not saved. "</strong>
                    {why}
                    ". What you see is still here; export it before you close this page."
                </p>
                <button type="button" class="button" on:click=move |_| state.save_again()>
                    "Try again"
                </button>
                {export()}
            </div>
        }
        .into_any()),
        SaveState::MemoryOnly(why) => Some(view! {
            <div class="banner bad">
                <p>
                    <strong>"Nothing is kept. "</strong>
                    {why}
                    ". You can work, but only until this page is closed; export before that."
                </p>
                {export()}
            </div>
        }
        .into_any()),
        SaveState::ReadOnly(why) => Some(view! {
            <div class="banner warn">
                <p><strong>"Read-only. "</strong> {why} ". Reload to get that version, or export."</p>
                {export()}
            </div>
        }
        .into_any()),
        _ => None,
    }
    };
    let following = move || {
        (state.role.get() == Role::Follower).then(|| {
            view! {
                <div class="banner warn">
                    <p>
                        <strong>"Another window is writing. "</strong>
                        "This one shows what that one does."
                    </p>
                    <button type="button" class="button" on:click=move |_| state.take_over()>
                        "Take over here"
                    </button>
                </div>
            }
        })
    };
    let newer = move || {
        update::ready().get().then(|| {
            view! {
                <div class="banner">
                    <p><strong>"A new version is ready. "</strong> "Your data stays as it is."</p>
                    <button type="button" class="button" on:click=move |_| update::take_over()>
                        "Reload"
                    </button>
                </div>
            }
        })
    };
    let lost = move || {
        state.lost.get().then(|| {
            view! {
                <div class="banner warn">
                    <p>
                        <strong>"No data found. "</strong>
                        "There was an order book on this device, and the browser no longer has it. "
                        "If you have a backup, restore it first."
                    </p>
                    <button
                        type="button"
                        class="button"
                        on:click=move |_| state.go(Page::Safe, None)
                    >
                        "Restore a backup"
                    </button>
                    <button type="button" class="button quiet" on:click=move |_| state.forget_loss()>
                        "Start anew"
                    </button>
                </div>
            }
        })
    };
    view! { {storage} {following} {lost} {newer} }
}
