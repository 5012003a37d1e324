//! Whether the page is being printed.

use leptos::ev;
use leptos::prelude::*;

/// True while the page is being printed, as long as the caller is on the page: what is for paper only is drawn then.
pub(crate) fn printing() -> RwSignal<bool> {
    let printing = RwSignal::new(false);
    let before = window_event_listener(ev::beforeprint, move |_| printing.set(true));
    let after = window_event_listener(ev::afterprint, move |_| printing.set(false));
    on_cleanup(move || {
        before.remove();
        after.remove();
    });
    printing
}
