//! A backup from a file, with what it will change shown before anything happens.

use leptos::prelude::*;
use rackweek::order::PictureFile;
use rackweek::record::{Backup, Command, RestorePreview};
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::spawn_local;
use web_sys::{Event, HtmlInputElement};

use crate::app::parts::{Confirm, ErrorLine, Switch};
use crate::app::state::words;
use crate::app::{AppState, files, intl};

/// A backup that was chosen and not restored yet.
#[derive(Debug, Clone, PartialEq)]
struct Chosen {
    name: String,
    backup: Backup,
    /// What changes if it takes the place of everything, and if it only adds.
    replacing: Vec<String>,
    adding: Vec<String>,
}

/// A backup from a file, with what it will change shown first.
#[component]
pub(super) fn Restore() -> impl IntoView {
    let state = expect_context::<AppState>();
    let chosen = RwSignal::new(None::<Chosen>);
    let error = RwSignal::new(None::<String>);
    let open = RwSignal::new(false);
    let adds = RwSignal::new(false);
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
                    let now = state.book.read_untracked();
                    let replacing = RestorePreview::of(&now, &backup.book).lines();
                    let adding = RestorePreview::of(&now, &now.merged_with(&backup.book)).lines();
                    drop(now);
                    error.set(None);
                    adds.set(false);
                    chosen.set(Some(Chosen { name: file.name(), backup, replacing, adding }));
                    open.set(true);
                }
                Err(why) => error.set(Some(format!("{}: {why}", file.name()))),
            }
        });
    };
    let restore = move |()| {
        let Some(Chosen { backup, .. }) = chosen.get_untracked() else { return };
        let Backup { book, pictures, .. } = backup;
        let adding = adds.get_untracked();
        spawn_local(async move {
            // Pictures first: an order never mentions what a full device could not take.
            let files: Vec<PictureFile> = pictures.into_values().collect();
            if let Err(why) = state.keep_pictures(&files).await {
                error.set(Some(format!("Nothing was restored. {}", why.words())));
                return;
            }
            let book = if adding { state.book.read_untracked().merged_with(&book) } else { book };
            match state.apply(Command::ReplaceAll(Box::new(book))) {
                Ok(()) => {
                    state.forget_loss();
                    state.say("Backup restored", true);
                }
                Err(refusals) => error.set(Some(words(&refusals))),
            }
        });
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
                <ErrorLine id="restore-file" error=error />
            </div>
        </section>
        <Confirm open=open title="Restore this backup?" yes="Restore it" on_yes=restore>
            {move || {
                chosen
                    .get()
                    .map(|chosen| {
                        let taken = intl::date_time(chosen.backup.taken_at);
                        let many = chosen.backup.pictures.len();
                        let brought = (0 < many).then(|| if many == 1 { "brings 1 picture".to_owned() } else { format!("brings {many} pictures") });
                        let lines = if adds.get() { chosen.adding } else { chosen.replacing };
                        view! {
                            <p>{chosen.name} ", taken " {taken} "."</p>
                            <Switch
                                id="restore-adds"
                                label="Only add what is missing here"
                                hint="What is here stays as it is. Off: the backup takes its place."
                                on=adds
                                on_change=Callback::new(move |on| adds.set(on))
                            />
                            {if lines.is_empty() {
                                view! { <p>"Nothing would change."</p> }
                                    .into_any()
                            } else {
                                view! {
                                    <p>"Restoring it"</p>
                                    <ul>
                                        {lines
                                            .into_iter()
                                            .chain(brought)
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
