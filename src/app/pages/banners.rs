//! What the reader must know before she goes on: not saved, not kept, read-only, following, a new
//! version.

use leptos::prelude::*;

use rackweek::calendar::{Date, Wall};

use crate::app::state::{Role, SaveState};
use crate::app::{AppState, Page, files, prefs, update};

/// After so many days without a backup one is asked for (common practice, no published source).
const BACKUP_DAYS: i64 = 14;

/// Days since the last backup, once they are too many. While there is none they count from the first look.
fn without_backup(today: Date) -> Option<i64> {
    let last = files::last_backup().map(Wall::date);
    let from = prefs::get::<String>(prefs::Slot::BackupFrom);
    let from = from.and_then(|text| text.parse::<Date>().ok());
    let Some(latest) = last.max(from) else {
        prefs::set(prefs::Slot::BackupFrom, &today.to_string());
        return None;
    };
    let since = last.or(from).unwrap_or(latest);
    (BACKUP_DAYS <= today.days_since(latest)).then(|| today.days_since(since))
}

/// All that apply now.
#[component]
pub(crate) fn Banners() -> impl IntoView {
    let state = expect_context::<AppState>();
    let export = move || {
        view! {
            <button type="button" class="button" on:click=move |_| state.export(true)>
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
    let again = RwSignal::new(());
    let days = Memo::new(move |_| {
        again.track();
        // Looked at again after each message, since an export ends in one.
        state.message.track();
        let today = state.now.get().date();
        (!state.book.read().orders.is_empty()).then(|| without_backup(today)).flatten()
    });
    let backup = move || {
        days.get().map(|days| {
            let later = move |_| {
                prefs::set(prefs::Slot::BackupFrom, &state.now.get_untracked().date().to_string());
                again.set(());
            };
            view! {
                <div class="banner">
                    <p>
                        <strong>{format!("No backup for {days} days. ")}</strong>
                        "A browser can lose what it keeps. One file, kept elsewhere, holds everything."
                    </p>
                    {export()}
                    <button type="button" class="button quiet" on:click=later>
                        "Later"
                    </button>
                </div>
            }
        })
    };
    view! { {storage} {following} {lost} {newer} {backup} }
}
