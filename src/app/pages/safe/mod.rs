//! Keep safe: a week shared, export and restore, files for other programs, where the data is, whether the browser keeps it, and erasing it.

mod others;
mod place;
mod restore;

use leptos::prelude::*;
use rackweek::record::{Book, Command};

use self::others::Others;
use self::place::Where;
use self::restore::Restore;
use crate::app::parts::{Confirm, Switch};
use crate::app::share::Share;
use crate::app::state::words;
use crate::app::{AppState, files, intl, prefs};

/// The page.
#[component]
pub(crate) fn SafePage() -> impl IntoView {
    view! {
        <section class="page narrow stack">
            <Share />
            <Export />
            <Restore />
            <Others />
            <Where />
            <Aside />
            <Look />
            <Erase />
        </section>
    }
}

/// A backup into a file.
#[component]
fn Export() -> impl IntoView {
    let state = expect_context::<AppState>();
    let last = move || {
        // Looked at again after each message, since an export ends in one.
        state.message.track();
        files::last_backup().map_or_else(|| "never on this device".to_owned(), intl::date_time)
    };
    let with_pictures = RwSignal::new(true);
    let pictures = Memo::new(move |_| state.book.read().picture_ids().len());
    view! {
        <section class="card stack">
            <h2>"Backup"</h2>
            <p>
                "One readable file with everything: orders and their pictures, kitchen, time, cards, pins and the plan. Keep it somewhere else than on this device."
            </p>
            <p class="soft small">"Last backup: " {last}</p>
            {move || {
                let many = pictures.get();
                (0 < many)
                    .then(|| {
                        view! {
                            <Switch
                                id="backup-pictures"
                                label=format!("With pictures ({many})")
                                hint="Off: a small file. Orders keep the names of their pictures, and find them again on this device."
                                on=with_pictures
                                on_change=Callback::new(move |on| with_pictures.set(on))
                            />
                        }
                    })
            }}
            <div>
                <button type="button" class="button strong" on:click=move |_| state.export(with_pictures.get_untracked())>
                    "Export a backup"
                </button>
            </div>
        </section>
    }
}

/// Records that could not be read.
#[component]
fn Aside() -> impl IntoView {
    let state = expect_context::<AppState>();
    let export = move |_| {
        let mut texts = serde_json::Map::new();
        for (key, text) in state.aside.get_untracked() {
            texts.insert(key, serde_json::Value::String(text));
        }
        let text = serde_json::Value::Object(texts).to_string();
        if !files::save("rackweek-set-aside.json", &text) {
            state.say("The browser refused to save the file", false);
        }
    };
    move || {
        let many = state.aside.read().len();
        (many > 0).then(|| {
            view! {
                <section class="card stack">
                    <h2>"Set aside"</h2>
                    <p>
                        "Records that could not be read: " {many}
                        ". They are kept as they are, for somebody who can mend them."
                    </p>
                    <div>
                        <button type="button" class="button" on:click=export>
                            "Export what was set aside"
                        </button>
                    </div>
                </section>
            }
        })
    }
}

/// Light or dark.
#[component]
fn Look() -> impl IntoView {
    let theme = RwSignal::new(prefs::get::<String>(prefs::Slot::Theme));
    let choose = move |name: Option<&'static str>| {
        theme.set(name.map(str::to_owned));
        let root = document().document_element();
        match (name, root) {
            (Some(name), Some(root)) => {
                prefs::set(prefs::Slot::Theme, &name);
                let _ = root.set_attribute("data-theme", name);
            }
            (None, Some(root)) => {
                prefs::clear(prefs::Slot::Theme);
                let _ = root.remove_attribute("data-theme");
            }
            (_, None) => {}
        }
    };
    let button = move |name: Option<&'static str>, label: &'static str| {
        view! {
            <button
                type="button"
                class="button"
                aria-pressed=move || (theme.read().as_deref() == name).to_string()
                on:click=move |_| choose(name)
            >
                {label}
            </button>
        }
    };
    view! {
        <section class="card stack">
            <h2>"Look"</h2>
            <div class="row tight" role="group" aria-label="Look">
                {button(None, "As the device")} {button(Some("light"), "Light")}
                {button(Some("dark"), "Dark")}
            </div>
        </section>
    }
}

/// Everything away; the only thing here that frightens, so it asks, and undo brings it back.
#[component]
fn Erase() -> impl IntoView {
    let state = expect_context::<AppState>();
    let open = RwSignal::new(false);
    let erase = move |()| match state.apply(Command::ReplaceAll(Box::<Book>::default())) {
        Ok(()) => {
            prefs::clear(prefs::Slot::OrderDraft);
            state.say("Everything erased", true);
        }
        Err(refusals) => state.say(words(&refusals), false),
    };
    view! {
        <section class="card stack">
            <h2>"Start again"</h2>
            <p>"Erases all orders, your kitchen, your time and the plan from this device."</p>
            <div>
                <button type="button" class="button danger" on:click=move |_| open.set(true)>
                    "Erase everything"
                </button>
            </div>
        </section>
        <Confirm open=open title="Erase everything?" yes="Erase everything" on_yes=erase>
            <p>
                "Export a backup first if you may want it again. Undo brings everything back until this page is closed."
            </p>
        </Confirm>
    }
}
