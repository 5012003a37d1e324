//! Keep safe: export and restore, where the data is, whether the browser keeps it, and erasing it.

use leptos::prelude::*;
use rackweek::calendar::Wall;
use rackweek::record::{Backup, Book, Command, RestorePreview};
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::spawn_local;
use web_sys::{Event, HtmlInputElement};

use crate::app::parts::Confirm;
use crate::app::persist::{self, Kept};
use crate::app::state::words;
use crate::app::{AppState, files, intl, prefs};

/// The page.
#[component]
pub(crate) fn SafePage() -> impl IntoView {
    view! {
        <section class="page narrow stack">
            <Export />
            <Restore />
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
        prefs::get::<String>(prefs::Slot::LastBackup)
            .and_then(|text| text.parse::<Wall>().ok())
            .map_or_else(|| "never on this device".to_owned(), intl::date_time)
    };
    view! {
        <section class="card stack">
            <h2>"Backup"</h2>
            <p>
                "One readable file with everything: orders, kitchen, time, cards, pins and the plan. Keep it somewhere else than on this device."
            </p>
            <p class="soft small">"Last backup: " {last}</p>
            <div>
                <button type="button" class="button strong" on:click=move |_| state.export()>
                    "Export a backup"
                </button>
            </div>
        </section>
    }
}

/// A backup that was chosen and not restored yet.
#[derive(Debug, Clone, PartialEq)]
struct Chosen {
    name: String,
    backup: Backup,
    lines: Vec<String>,
}

/// A backup from a file, with what it will change shown first.
#[component]
fn Restore() -> impl IntoView {
    let state = expect_context::<AppState>();
    let chosen = RwSignal::new(None::<Chosen>);
    let error = RwSignal::new(None::<String>);
    let open = RwSignal::new(false);
    let choose = move |event: Event| {
        let field = event.target().and_then(|target| target.dyn_into::<HtmlInputElement>().ok());
        let Some(field) = field else { return };
        let Some(file) = field.files().and_then(|files| files.get(0)) else { return };
        spawn_local(async move {
            let text = files::read(&file).await;
            // The same file may be chosen again after it was put right.
            field.set_value("");
            let answer = text
                .ok_or_else(|| "The file could not be read; choose it again".to_owned())
                .and_then(|text| Backup::from_json(&text).map_err(|error| error.to_string()));
            match answer {
                Ok(backup) => {
                    let preview = RestorePreview::of(&state.book.read_untracked(), &backup.book);
                    error.set(None);
                    let lines = preview.lines();
                    chosen.set(Some(Chosen { name: file.name(), backup, lines }));
                    open.set(true);
                }
                Err(why) => error.set(Some(format!("{}: {why}", file.name()))),
            }
        });
    };
    let restore = move |()| {
        let Some(Chosen { backup, .. }) = chosen.get_untracked() else { return };
        match state.apply(Command::ReplaceAll(Box::new(backup.book))) {
            Ok(()) => {
                state.forget_loss();
                state.say("Backup restored", true);
            }
            Err(refusals) => error.set(Some(words(&refusals))),
        }
    };
    view! {
        <section class="card stack">
            <h2>"Restore"</h2>
            <p>"Choose a backup; you see what it changes before anything happens."</p>
            <div class="field">
                <label for="restore-file">"Backup file"</label>
                <input
                    class="input"
                    id="restore-file"
                    type="file"
                    accept=".json,application/json"
                    aria-invalid=move || error.read().is_some().then_some("true")
                    aria-describedby="restore-file-error"
                    on:change=choose
                />
                <crate::app::parts::ErrorLine id="restore-file" error=error />
            </div>
        </section>
        <Confirm open=open title="Restore this backup?" yes="Restore it" on_yes=restore>
            {move || {
                chosen
                    .get()
                    .map(|chosen| {
                        let taken = intl::date_time(chosen.backup.taken_at);
                        view! {
                            <p>{chosen.name} ", taken " {taken} "."</p>
                            {if chosen.lines.is_empty() {
                                view! { <p>"It holds exactly what is here; nothing would change."</p> }
                                    .into_any()
                            } else {
                                view! {
                                    <p>"Restoring it"</p>
                                    <ul>
                                        {chosen
                                            .lines
                                            .into_iter()
                                            .map(|line| view! { <li>{line}</li> })
                                            .collect_view()}
                                    </ul>
                                    <p>"Undo brings back what is here now."</p>
                                }
                                    .into_any()
                            }}
                        }
                    })
            }}
        </Confirm>
    }
}

/// Where the data is, and whether the browser keeps it.
#[component]
fn Where() -> impl IntoView {
    let kept = RwSignal::new(None::<Kept>);
    let look = move || spawn_local(async move { kept.set(Some(persist::look().await)) });
    look();
    let ask = move |_| {
        spawn_local(async move {
            persist::ask().await;
            kept.set(Some(persist::look().await));
        });
    };
    let for_good = move || kept.get().and_then(|kept| kept.for_good);
    view! {
        <section class="card stack">
            <h2>"Where your data is"</h2>
            <p>
                "In this browser on this device, and nowhere else: nothing is ever sent. Another browser, or the app on the home screen, has data of its own; a backup brings it there."
            </p>
            <p>
                {move || match for_good() {
                    Some(true) => "The browser has agreed to keep it until you erase it.",
                    Some(false) => {
                        "The browser may clear it when the device runs short of room, or when you have not been here for a while. Backups protect you."
                    }
                    None => "The browser does not say whether it keeps it. Backups protect you.",
                }}
            </p>
            {move || {
                kept.get()
                    .and_then(|kept| kept.bytes)
                    .map(|bytes| {
                        view! {
                            <p class="soft small number">
                                "In use with the app itself: " {bytes.div_ceil(1024)} " KB"
                            </p>
                        }
                    })
            }}
            {move || {
                (for_good() == Some(false))
                    .then(|| {
                        view! {
                            <div>
                                <button type="button" class="button" on:click=ask>
                                    "Ask the browser to keep it"
                                </button>
                            </div>
                        }
                    })
            }}
        </section>
    }
}

/// Records that could not be read.
#[component]
fn Aside() -> impl IntoView {
    let state = expect_context::<AppState>();
    let export = move |_| {
        let texts: serde_json::Map<String, serde_json::Value> = state
            .aside
            .get_untracked()
            .into_iter()
            .map(|(key, text)| (key, serde_json::Value::String(text)))
            .collect();
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
