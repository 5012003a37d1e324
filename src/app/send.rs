//! Ways out for a text: the clipboard, and the device's own sheet for sharing.

use js_sys::{Function, Object, Promise, Reflect};
use leptos::prelude::*;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};

use crate::app::AppState;

fn navigator() -> JsValue {
    window().navigator().into()
}

fn of(object: &JsValue, name: &str) -> Option<JsValue> {
    Reflect::get(object, &name.into())
        .ok()
        .filter(|value| !value.is_undefined() && !value.is_null())
}

/// Whether this device has a sheet for sharing.
pub(crate) fn can_share() -> bool {
    of(&navigator(), "share").is_some()
}

/// Calls a method that answers later; true when it answered well.
async fn ask(object: JsValue, method: &str, argument: JsValue) -> bool {
    let Some(function) = of(&object, method).and_then(|it| it.dyn_into::<Function>().ok()) else {
        return false;
    };
    let Ok(promise) = function.call1(&object, &argument) else { return false };
    JsFuture::from(Promise::resolve(&promise)).await.is_ok()
}

/// Puts a text into the clipboard, and says how that went. `what` is its name, for example "Link".
pub(crate) fn copy(state: AppState, what: &'static str, text: String) {
    spawn_local(async move {
        // Absent on pages that are not secure.
        let clipboard = of(&navigator(), "clipboard");
        let done = match clipboard {
            Some(clipboard) => ask(clipboard, "writeText", text.into()).await,
            None => false,
        };
        if done {
            state.say(format!("{what} copied"), false);
        } else {
            state.say(
                "The browser refused to copy; mark the text below and copy it yourself",
                false,
            );
        }
    });
}

/// Opens the device's sheet for sharing. Closing it without sending is no fault.
/// `kind` is `url` or `text`.
pub(crate) fn share(title: &str, kind: &str, value: &str) {
    let what = Object::new();
    for (name, value) in [("title", title), (kind, value)] {
        // Setting a field of a fresh plain object cannot fail.
        let _ = Reflect::set(&what, &name.into(), &value.into());
    }
    spawn_local(async move {
        ask(navigator(), "share", what.into()).await;
    });
}
