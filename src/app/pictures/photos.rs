//! The pictures of an order in a row, each to be looked at in large; and the ways to more of them.

use leptos::html::Dialog;
use leptos::prelude::*;
use rackweek::order::{PICTURES_MAX, Picture, PictureFile, PictureId};
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::spawn_local;
use web_sys::{Event, HtmlInputElement};

use super::pad::{Ground, Pad};
use super::shrink::shrink;
use crate::app::AppState;
use crate::app::parts::{ErrorLine, For, Icon, Input, show_while};

/// A row of pictures; nothing while there are none and none can be added.
#[component]
pub(crate) fn Photos(
    /// Unique on the page.
    #[prop(into)]
    id: String,
    /// What they are of, for example "the order for Mara".
    #[prop(into)]
    of: String,
    /// All of them.
    #[prop(into)]
    pictures: Signal<Vec<Picture>>,
    /// Hears all of them after a change; none: they are only shown.
    #[prop(optional, into)]
    on_change: Option<Callback<Vec<Picture>>>,
    /// Whether they may be sketched on a white sheet.
    #[prop(optional)]
    sketches: bool,
) -> impl IntoView {
    let large = RwSignal::new(None::<PictureId>);
    let pad = RwSignal::new(None::<Ground>);
    let ids = Memo::new(move |_| pictures.read().iter().map(|one| one.id).collect::<Vec<_>>());
    let there = Memo::new(move |_| !ids.read().is_empty());
    let words = StoredValue::new(of);
    let name = move |id: PictureId| {
        let pictures = pictures.read();
        let at = pictures.iter().position(|one| one.id == id).unwrap_or(0);
        let own = pictures.get(at).map_or("", |one| one.words.as_str());
        if own.is_empty() {
            words.with_value(|of| format!("Picture {} of {of}", at + 1))
        } else {
            own.to_owned()
        }
    };
    let add = on_change
        .map(|on_change| view! { <Add id=id pictures=pictures on_change=on_change pad=pad sketches=sketches /> });
    view! {
        {move || {
            there
                .get()
                .then(|| {
                    view! {
                        <ul class="photos" aria-label=words.with_value(|of| format!("Pictures of {of}"))>
                            <For each=move || ids.get() key=|id| *id let:id>
                                <li>
                                    <button
                                        type="button"
                                        class="photo"
                                        on:click=move |_| large.set(Some(id))
                                    >
                                        <Shown id=id name=Signal::derive(move || name(id)) />
                                    </button>
                                </li>
                            </For>
                        </ul>
                    }
                })
        }}
        {add}
        <Large large=large pictures=pictures name=Callback::new(name) on_change=on_change pad=pad />
    }
}

/// What a picture shows, or that it is not here.
#[component]
fn Shown(id: PictureId, name: Signal<String>) -> impl IntoView {
    let state = expect_context::<AppState>();
    // None: being read. Some of none: not here.
    let file = RwSignal::new(None::<Option<PictureFile>>);
    spawn_local(async move {
        let read = match state.album().await {
            Ok(album) => album.read(id).await,
            Err(_) => None,
        };
        // The view may be gone by now.
        file.try_set(Some(read));
    });
    move || {
        match file.get() {
        None => view! { <span class="photo-none" aria-hidden="true"></span> }.into_any(),
        Some(Some(file)) => view! { <img src=file.text().to_owned() alt=name /> }.into_any(),
        Some(None) => {
            view! { <span class="photo-none">{move || format!("Not on this device: {}", name.get())}</span> }
                .into_any()
        }
    }
    }
}

/// One picture in large, with what can be done to it.
#[component]
fn Large(
    large: RwSignal<Option<PictureId>>,
    pictures: Signal<Vec<Picture>>,
    name: Callback<PictureId, String>,
    on_change: Option<Callback<Vec<Picture>>>,
    pad: RwSignal<Option<Ground>>,
) -> impl IntoView {
    let state = expect_context::<AppState>();
    let dialog = NodeRef::<Dialog>::new();
    show_while(dialog, move || large.read().is_some());
    let found = move |id: PictureId| pictures.get_untracked().into_iter().find(|one| one.id == id);
    let changed = move |change: &dyn Fn(&mut Vec<Picture>)| {
        let Some(on_change) = on_change else { return };
        let mut all = pictures.get_untracked();
        change(&mut all);
        on_change.run(all);
    };
    let draw_on = move |id: PictureId| {
        spawn_local(async move {
            let Ok(album) = state.album().await else { return };
            if let (Some(picture), Some(file)) = (found(id), album.read(id).await) {
                large.set(None);
                pad.set(Some(Ground::Over(picture, file)));
            }
        });
    };
    let actions = move |id: PictureId| {
        on_change.is_some().then(|| {
            let written = Signal::derive(move || {
                let pictures = pictures.read();
                pictures
                    .iter()
                    .find(|one| one.id == id)
                    .map_or_else(String::new, |one| one.words.clone())
            });
            let write = move |text: String| {
                changed(&|all| {
                    if let Some(one) = all.iter_mut().find(|one| one.id == id) {
                        one.words.clone_from(&text);
                    }
                });
            };
            view! {
                <Input
                    id=format!("photo-words-{id}")
                    label="What it shows"
                    value=written
                    on_change=write
                />
                <div class="row">
                    <button type="button" class="button" on:click=move |_| draw_on(id)>
                        <Icon name="pen" />
                        "Draw on it"
                    </button>
                    <button
                        type="button"
                        class="button"
                        on:click=move |_| {
                            large.set(None);
                            changed(&|all| all.retain(|one| one.id != id));
                            state.say("Picture taken out", false);
                        }
                    >
                        <Icon name="cross" />
                        "Take it out"
                    </button>
                </div>
            }
        })
    };
    view! {
        <dialog
            class="dialog photo-large"
            node_ref=dialog
            aria-label="Picture"
            on:close=move |_| large.set(None)
            // Enter in the field must not send a form around it; what was written is taken over as it is left.
            on:keydown=move |event| {
                let field = event
                    .target()
                    .and_then(|target| target.dyn_into::<HtmlInputElement>().ok())
                    .filter(|_| event.key() == "Enter");
                if let Some(field) = field {
                    event.prevent_default();
                    let _ = field.blur();
                    large.set(None);
                }
            }
        >
            {move || {
                large
                    .get()
                    .map(|id| {
                        view! {
                            <div class="stack">
                                <Shown id=id name=Signal::derive(move || name.run(id)) />
                                {actions(id)}
                                <div class="row">
                                    <button
                                        type="button"
                                        class="button strong"
                                        on:click=move |_| large.set(None)
                                    >
                                        "Close"
                                    </button>
                                </div>
                            </div>
                        }
                    })
            }}
        </dialog>
    }
}

/// Camera, files and pad.
#[component]
fn Add(
    id: String,
    pictures: Signal<Vec<Picture>>,
    on_change: Callback<Vec<Picture>>,
    pad: RwSignal<Option<Ground>>,
    sketches: bool,
) -> impl IntoView {
    let state = expect_context::<AppState>();
    let error = RwSignal::new(None::<String>);
    let busy = RwSignal::new(false);
    let fail = move |why: String| {
        state.say(why.clone(), false);
        error.set(Some(why));
    };
    let choose = move |event: Event| {
        let field = event.target().and_then(|target| target.dyn_into::<HtmlInputElement>().ok());
        let Some(files) = field.as_ref().and_then(HtmlInputElement::files) else { return };
        let files: Vec<_> = (0..files.length()).filter_map(|at| files.get(at)).collect();
        if let Some(field) = field {
            field.set_value("");
        }
        error.set(None);
        busy.set(true);
        spawn_local(async move {
            for file in files {
                let answer = match shrink(&file).await {
                    Ok((picture, made)) => keep(state, pictures, on_change, picture, made).await,
                    Err(why) => Err(format!("{} {why}", file.name())),
                };
                if let Err(why) = answer {
                    fail(why);
                }
            }
            busy.set(false);
        });
    };
    let sketched = move |(picture, file): (Picture, PictureFile)| {
        error.set(None);
        spawn_local(async move {
            if let Err(why) = keep(state, pictures, on_change, picture, file).await {
                fail(why);
            }
        });
    };
    let field = move |name: String, camera: bool, words: &'static str, icon: &'static str| {
        let named = name.clone();
        view! {
            <label class="button" class:busy=busy for=named>
                <input
                    id=name
                    type="file"
                    accept="image/*"
                    multiple=!camera
                    // Where there is no camera, a browser offers its files instead.
                    capture=camera.then_some("environment")
                    on:change=choose
                />
                <Icon name=icon />
                {words}
            </label>
        }
    };
    view! {
        <div class="row tight photo-add">
            {field(format!("{id}-camera"), true, "Take a picture", "camera")}
            {field(format!("{id}-files"), false, "Choose pictures", "plus")}
            {sketches
                .then(|| {
                    view! {
                        <button
                            type="button"
                            class="button"
                            on:click=move |_| pad.set(Some(Ground::white()))
                        >
                            <Icon name="pen" />
                            "Sketch"
                        </button>
                    }
                })}
        </div>
        <ErrorLine id=id error=error />
        <Pad on=pad on_done=sketched />
    }
}

/// Keeps what a picture shows, and only then says that it is there.
async fn keep(
    state: AppState,
    pictures: Signal<Vec<Picture>>,
    on_change: Callback<Vec<Picture>>,
    picture: Picture,
    file: PictureFile,
) -> Result<(), String> {
    let full = |all: &[Picture]| PICTURES_MAX <= all.len();
    let too_many = || {
        format!("There are {PICTURES_MAX} pictures already; take one out before you add another")
    };
    if full(&pictures.get_untracked()) {
        return Err(too_many());
    }
    let kept = state.keep_pictures(&[file]).await;
    kept.map_err(|error| format!("The picture was not kept. {}", error.words()))?;
    // The form may have been left meanwhile.
    let Some(mut all) = pictures.try_get_untracked() else { return Ok(()) };
    if all.iter().any(|one| one.id == picture.id) {
        return Err("This picture is here already".to_owned());
    }
    if full(&all) {
        return Err(too_many());
    }
    all.push(picture);
    on_change.run(all);
    state.say("Picture added", false);
    Ok(())
}
