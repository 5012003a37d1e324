//! When the program breaks: stop writing and show the note that needs no program.

use std::cell::RefCell;
use std::panic::PanicHookInfo;
use std::rc::Rc;

use wasm_bindgen::{JsCast, JsValue};
use web_sys::{CustomEvent, CustomEventInit, DedicatedWorkerGlobalScope};

use super::planner::BROKEN;
use super::store::Saver;

thread_local! {
    /// What must never write again after a panic.
    static SAVER: RefCell<Option<Rc<Saver>>> = const { RefCell::new(None) };
}

/// Remembers whom to stop.
pub(crate) fn guard(saver: &Rc<Saver>) {
    SAVER.set(Some(Rc::clone(saver)));
}

/// Installs the hook. In a worker there is no page, so the page is told.
pub(crate) fn install() {
    std::panic::set_hook(Box::new(broken));
}

fn broken(info: &PanicHookInfo<'_>) {
    web_sys::console::error_1(&JsValue::from_str(&info.to_string()));
    SAVER.with(|saver| {
        if let Ok(saver) = saver.try_borrow()
            && let Some(saver) = saver.as_ref()
        {
            saver.stop();
        }
    });
    if let Ok(scope) = js_sys::global().dyn_into::<DedicatedWorkerGlobalScope>() {
        let _ = scope.post_message(&BROKEN.into());
        return;
    }
    let Some(document) = web_sys::window().and_then(|window| window.document()) else { return };
    let detail = CustomEventInit::new();
    detail.set_detail(&JsValue::from_str(&info.to_string()));
    if let Ok(event) = CustomEvent::new_with_event_init_dict("rackweek-broken", &detail) {
        // Nothing is left to be done when even this fails.
        let _ = document.dispatch_event(&event);
    }
}
