//! What folds open.

use leptos::prelude::*;
use web_sys::{Event, HtmlElement};

/// Whether the `details` that told of its toggling lies open now.
pub(crate) fn is_unfolded(toggled: &Event) -> bool {
    event_target::<HtmlElement>(toggled).has_attribute("open")
}
