//! A newer build that waits for consent. The script `offline.js` fetches it and hears the consent.

use leptos::prelude::*;
use web_sys::Event;

/// Whether one waits.
#[derive(Clone, Copy)]
struct Ready(RwSignal<bool>);

/// Starts to listen; a build may wait already.
pub(crate) fn listen() {
    let ready = document()
        .document_element()
        .and_then(|root| root.get_attribute("data-update"))
        .is_some_and(|state| state == "ready");
    let ready = RwSignal::new(ready);
    provide_context(Ready(ready));
    // Lives as long as the page.
    let _ = window_event_listener(
        leptos::ev::Custom::<Event>::new("rackweek:update-ready"),
        move |_| ready.set(true),
    );
}

/// Whether a newer build waits.
pub(crate) fn ready() -> RwSignal<bool> {
    expect_context::<Ready>().0
}

/// Consents: every open window reloads with the newer build.
pub(crate) fn take_over() {
    if let Ok(event) = Event::new("rackweek:take-over") {
        // Nobody listening means no service worker, and then nothing waits.
        let _ = window().dispatch_event(&event);
    }
}
