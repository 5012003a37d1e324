//! Where the data is, and whether the browser keeps it for good.

use leptos::prelude::*;
use wasm_bindgen_futures::spawn_local;

use crate::app::persist::{self, Kept};

/// Where the data is, and whether the browser keeps it.
#[component]
pub(super) fn Where() -> impl IntoView {
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
