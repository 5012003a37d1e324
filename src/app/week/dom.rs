//! Looks into the drawn page: finds, shows and focuses what the week has drawn.

use leptos::prelude::document;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement};

/// Pixels kept free around what is brought into view.
const MARGIN: f64 = 12.0;

fn find(selector: &str) -> Option<Element> {
    document().query_selector(selector).ok().flatten()
}

/// The element that scrolls.
pub(super) fn region() -> Option<HtmlElement> {
    find(".week-scroll")?.dyn_into().ok()
}

/// The body of one of the seven days.
pub(super) fn body(column: usize) -> Option<HtmlElement> {
    find(&format!(".week-body[data-column=\"{column}\"]"))?.dyn_into().ok()
}

/// The name of the nearest block around an element.
pub(super) fn block_of(element: &Element) -> Option<String> {
    element.closest("[data-block]").ok().flatten()?.get_attribute("data-block")
}

/// Puts the focus on a block and brings it into view.
pub(super) fn focus_block(key: &str) {
    let selector = format!(".week-open[data-block=\"{key}\"]");
    if let Some(block) = find(&selector).and_then(|block| block.dyn_into::<HtmlElement>().ok()) {
        // An element that is gone again cannot be focused; there is nothing to do about it then.
        let _ = block.focus();
        show(&block);
    }
}

/// Brings the place where a sitting would land into view.
pub(super) fn show_target(column: usize) {
    if let Some(mark) = find(&format!(".week-body[data-column=\"{column}\"] .week-target")) {
        show(&mark);
    }
}

/// Brings now into view on a day that holds it.
pub(super) fn show_day(column: usize) {
    if let Some(line) = find(&format!(".week-body[data-column=\"{column}\"] .week-now")) {
        show(&line);
    }
}

/// The button that chooses a day on a narrow window.
pub(super) fn day_button(column: usize) -> Option<Element> {
    find(&format!(".week-choose[data-choose=\"{column}\"]"))
}

/// Heights of the head and the gauges that stick to the region's edges.
pub(super) fn insets(region: &HtmlElement) -> (f64, f64) {
    let height = |selector: &str| {
        let found = region.query_selector(selector).ok().flatten();
        found.map_or(0.0, |element| element.get_bounding_client_rect().height())
    };
    (height(".week-day.chosen .week-head"), height(".week-day.chosen .week-gauges"))
}

/// Scrolls the region just so far that an element is clear of what sticks to the region's edges.
fn show(element: &Element) {
    let Some(region) = region() else { return };
    let (own, bounds) = (element.get_bounding_client_rect(), region.get_bounding_client_rect());
    let (head, gauges) = insets(&region);
    let above = bounds.top() + head + MARGIN - own.top();
    let below = own.bottom() - (bounds.bottom() - gauges - MARGIN);
    let shift = if above > 0.0 { -above } else { below.max(0.0).min(-above) };
    region.set_scroll_top(region.scroll_top() + shift.round() as i32);
}
