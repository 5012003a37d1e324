//! A card from a file. Nothing is written over without being asked.

use leptos::prelude::*;
use rackweek::card::Card;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::spawn_local;
use web_sys::{Event, HtmlInputElement};

use super::Shelf;
use crate::app::files;
use crate::app::parts::ErrorLine;
use crate::app::state::words;

/// The field for a file, and the question when its card is here already.
#[component]
pub(super) fn Import(
    /// Of this page.
    shelf: Shelf,
) -> impl IntoView {
    let error = RwSignal::new(None::<String>);
    let same = RwSignal::new(None::<Card>);
    let take = move |card: Card| {
        same.set(None);
        error.set(shelf.save(card).err().map(|refusals| words(&refusals)));
    };
    let choose = move |event: Event| {
        let field = event.target().and_then(|target| target.dyn_into::<HtmlInputElement>().ok());
        let Some(field) = field else { return };
        let Some(file) = field.files().and_then(|files| files.get(0)) else { return };
        same.set(None);
        spawn_local(async move {
            let text = files::read(&file).await;
            field.set_value("");
            let read = text
                .ok_or_else(|| "the file could not be read; choose it again".to_owned())
                .and_then(|text| Card::from_file(&text).map_err(|error| error.to_string()));
            match read {
                Ok(card) if shelf.state.book.read_untracked().card(&card.id).is_some() => {
                    error.set(None);
                    same.set(Some(card));
                }
                Ok(card) => take(card),
                Err(why) => error.set(Some(format!("{}: {why}", file.name()))),
            }
        });
    };
    view! {
        <div class="field">
            <label for="card-file">"Import a card from a file"</label>
            <input
                class="input"
                id="card-file"
                type="file"
                accept=".json,application/json"
                aria-invalid=move || error.read().is_some().then_some("true")
                aria-describedby="card-file-error"
                on:change=choose
            />
            <ErrorLine id="card-file" error=error />
        </div>
        {move || {
            same.get()
                .map(|card| {
                    let (newer, copy) = (card.clone(), card.clone());
                    let as_copy = move |_| {
                        let name = format!("{} (imported)", copy.name);
                        take(copy.copy_as(shelf.fresh_id(&name), name));
                    };
                    view! {
                        <div class="banner">
                            <p>"There is a card “" {card.name.clone()} "” already. Nothing was changed yet."</p>
                            <button
                                type="button"
                                class="button"
                                on:click=move |_| take(newer.clone())
                            >
                                "Take it as the newest version"
                            </button>
                            <button type="button" class="button" on:click=as_copy>
                                "Take it as a card of its own"
                            </button>
                            <button type="button" class="button" on:click=move |_| same.set(None)>
                                "Leave it"
                            </button>
                        </div>
                    }
                })
        }}
    }
}
