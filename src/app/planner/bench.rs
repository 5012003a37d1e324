//! The worker's side: hears requests, works on the newest one.

use std::cell::Cell;
use std::rc::Rc;

use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::spawn_local;
use web_sys::{DedicatedWorkerGlobalScope, MessageEvent};

use super::run::run;
use super::{Reply, Request};

/// Said once when the worker can hear: what is sent earlier would be lost.
pub(super) const READY: &str = "ready";

/// Said last, after a panic: nothing more will be heard.
pub(crate) const BROKEN: &str = "broken";

/// Serves requests for as long as the worker lives.
pub(crate) fn serve(scope: &DedicatedWorkerGlobalScope) {
    let newest = Rc::new(Cell::new(0_u32));
    let hearing = {
        let scope = scope.clone();
        Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
            let text = event.data().as_string().unwrap_or_default();
            // Only our own page sends here, from the same build.
            let Ok(request) = serde_json::from_str::<Request>(&text) else { return };
            newest.set(request.token);
            let (scope, newest) = (scope.clone(), Rc::clone(&newest));
            spawn_local(async move {
                let token = request.token;
                run(request, move || newest.get() != token, |reply| send(&scope, &reply)).await;
            });
        })
    };
    scope.set_onmessage(Some(hearing.as_ref().unchecked_ref()));
    hearing.forget();
    let _ = scope.post_message(&READY.into());
}

fn send(scope: &DedicatedWorkerGlobalScope, reply: &Reply) {
    if let Ok(text) = serde_json::to_string(reply) {
        let _ = scope.post_message(&text.into());
    }
}
