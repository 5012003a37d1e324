//! Whether the browser keeps the data for good, and the wish that it does.

use leptos::prelude::*;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{StorageEstimate, StorageManager};

use super::AppState;

/// What the browser says about the data.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Kept {
    /// None: it does not say.
    pub(crate) for_good: Option<bool>,
    /// Bytes in use by this app, as the browser counts them.
    pub(crate) bytes: Option<u64>,
}

/// The browser's storage; absent on pages that are not secure.
fn storage() -> Option<StorageManager> {
    let storage = js_sys::Reflect::get(&window().navigator(), &"storage".into()).ok()?;
    (!storage.is_undefined()).then(|| storage.into())
}

/// Asks once in a session, after something worth keeping was saved and only while an order is there.
pub(super) fn ask_once(state: AppState) {
    let core = state.core();
    if core.asked_to_persist.get() || state.book.read_untracked().orders.is_empty() {
        return;
    }
    core.asked_to_persist.set(true);
    spawn_local(async {
        ask().await;
    });
}

/// Asks the browser to keep the data for good; true when it agrees.
pub(crate) async fn ask() -> bool {
    let Some(wish) = storage().and_then(|storage| storage.persist().ok()) else { return false };
    JsFuture::from(wish).await.is_ok_and(|answer| answer.is_truthy())
}

/// What the browser says now.
pub(crate) async fn look() -> Kept {
    let Some(storage) = storage() else { return Kept { for_good: None, bytes: None } };
    let mut kept = Kept { for_good: None, bytes: None };
    if let Ok(answer) = storage.persisted() {
        kept.for_good = JsFuture::from(answer).await.ok().map(|answer| answer.is_truthy());
    }
    if let Ok(answer) = storage.estimate()
        && let Ok(estimate) = JsFuture::from(answer).await
    {
        let estimate: StorageEstimate = estimate.into();
        kept.bytes = estimate.get_usage().map(|bytes| bytes.max(0.0) as u64);
    }
    kept
}
