//! Fingers, mouse and keys on the grid: one controller for all seven days.
//!
//! The grid takes the pointer's capture, not the block, so that a block that goes while it is held does
//! no harm. Columns are measured once when a sitting is picked up; while it moves, only the ghost's
//! transform changes, and the target when it lands on another quarter of an hour.

use leptos::ev;
use leptos::html::Div;
use leptos::prelude::*;
use rackweek::week::{BlockKey, Landing, Nudge};
use wasm_bindgen::JsCast;
use web_sys::{Element, KeyboardEvent, MouseEvent, PointerEvent};

use super::dom;
use super::model::{By, WeekModel};

/// Pixels from the region's edges within which it scrolls by itself.
const EDGE: f64 = 48.0;
/// Pixels that it scrolls in each frame at most.
const SPEED: f64 = 14.0;
/// Pixels outside the region at which a drop means "leave it".
const OUTSIDE: f64 = 12.0;

/// A body as measured: left, right, and top within what scrolls.
#[derive(Debug, Clone, Copy)]
struct Measured {
    column: usize,
    left: f64,
    right: f64,
    top: f64,
}

/// A sitting in hand.
#[derive(Debug, Clone)]
struct Held {
    pointer: i32,
    /// From the block's upper edge down to where it is held.
    grab: f64,
    columns: Vec<Measured>,
    /// Of the region: left, top, right, bottom.
    region: (f64, f64, f64, f64),
    /// Heights of the sticky head and gauges inside it.
    inset: (f64, f64),
    at: (f64, f64),
}

/// The controller.
#[derive(Clone, Copy)]
pub(super) struct Hands {
    model: WeekModel,
    held: StoredValue<Option<Held>, LocalStorage>,
    ghost: NodeRef<Div>,
}

impl Hands {
    /// Needs the [`WeekModel`] in the context, and puts itself beside it.
    pub(super) fn new() -> Self {
        let model = expect_context::<WeekModel>();
        let ghost = NodeRef::<Div>::new();
        let hands = Self { model, held: StoredValue::new_local(None), ghost };
        provide_context(hands);
        let keys = window_event_listener(ev::keydown, move |event| {
            if event.key() == "Escape" && model.moving.read_untracked().is_some() {
                event.prevent_default();
                hands.let_go();
                model.cancel();
            }
        });
        // A second finger anywhere means that the first one did not mean it.
        let fingers = window_event_listener(ev::pointerdown, move |event| {
            let other = hands.held.with_value(|held| {
                held.as_ref().is_some_and(|held| held.pointer != event.pointer_id())
            });
            if other {
                hands.let_go();
                model.cancel();
            }
        });
        on_cleanup(move || {
            keys.remove();
            fingers.remove();
        });
        hands
    }

    /// Picks up what a grip belongs to.
    pub(super) fn down(&self, event: &PointerEvent) {
        let Some(grip) = closest(event.target(), "[data-grip]") else { return };
        if event.button() != 0
            || !event.is_primary()
            || self.model.moving.read_untracked().is_some()
        {
            return;
        }
        let Some(key) = dom::block_of(&grip).and_then(|name| self.key_named(&name)) else { return };
        let Some(block) = grip.parent_element() else { return };
        let Some(region) = dom::region() else { return };
        event.prevent_default();
        if !self.model.pick_up(&key, By::Grip) {
            return;
        }
        let (x, y) = (f64::from(event.client_x()), f64::from(event.client_y()));
        let bounds = region.get_bounding_client_rect();
        let own = block.get_bounding_client_rect();
        self.held.set_value(Some(Held {
            pointer: event.pointer_id(),
            grab: (y - own.top()).clamp(0.0, own.height()),
            columns: measure(),
            region: (bounds.left(), bounds.top(), bounds.right(), bounds.bottom()),
            inset: dom::insets(&region),
            at: (x, y),
        }));
        // Without capture the drag still works while the pointer stays inside the region.
        let _ = region.set_pointer_capture(event.pointer_id());
        if let Some(ghost) = self.ghost.get_untracked() {
            let width = format!("{}px", own.width().max(120.0));
            let _ = web_sys::HtmlElement::style(&ghost).set_property("width", &width);
        }
        self.follow();
        self.scroll_at_edges();
    }

    /// Follows the pointer.
    pub(super) fn moved(&self, event: &PointerEvent) {
        let mine = self.held.try_update_value(|held| match held {
            Some(held) if held.pointer == event.pointer_id() => {
                held.at = (f64::from(event.client_x()), f64::from(event.client_y()));
                true
            }
            _ => false,
        });
        if mine == Some(true) {
            self.follow();
        }
    }

    /// Puts it down.
    pub(super) fn up(&self, event: &PointerEvent) {
        let mine = self
            .held
            .with_value(|held| held.as_ref().is_some_and(|h| h.pointer == event.pointer_id()));
        if mine {
            self.follow();
            self.let_go();
            self.model.drop();
        }
    }

    /// The browser took the pointer away: back to where it was.
    pub(super) fn lost(&self) {
        if self.held.with_value(Option::is_some) {
            self.let_go();
            self.model.cancel();
        }
    }

    /// A tap while a sitting waits for one.
    pub(super) fn tapped(&self, event: &MouseEvent) {
        let tapping =
            self.model.moving.read_untracked().as_ref().is_some_and(|moving| moving.by == By::Tap);
        if !tapping || closest(event.target(), ".week-body").is_none() {
            return;
        }
        let scrolled = dom::region().map_or(0.0, |region| f64::from(region.scroll_top()));
        let (x, y) = (f64::from(event.client_x()), f64::from(event.client_y()));
        let spot = measure()
            .into_iter()
            .find(|column| column.left <= x && x < column.right)
            .map(|column| (column.column, whole(y + scrolled - column.top)));
        self.model.hover(spot);
        self.model.drop();
    }

    /// Keys on a block, and while a sitting is moved by keys.
    pub(super) fn pressed(&self, event: &KeyboardEvent) {
        let model = self.model;
        let moving = model.moving.get_untracked().map(|moving| moving.by);
        let nudge = match event.key().as_str() {
            "ArrowUp" => Some(Nudge::Earlier),
            "ArrowDown" => Some(Nudge::Later),
            "ArrowLeft" => Some(Nudge::DayBefore),
            "ArrowRight" => Some(Nudge::DayAfter),
            _ => None,
        };
        match (moving, nudge) {
            (Some(By::Keys), Some(nudge)) => {
                event.prevent_default();
                model.nudge_aim(nudge);
            }
            (Some(By::Keys), None) if matches!(event.key().as_str(), "Enter" | " ") => {
                event.prevent_default();
                model.drop();
            }
            (None, _) => {
                let plain = !event.ctrl_key() && !event.meta_key() && !event.alt_key();
                let letter = plain && event.key().eq_ignore_ascii_case("m");
                let arrow = nudge.filter(|_| event.alt_key());
                if !letter && arrow.is_none() {
                    return;
                }
                let Some(key) = target_element(event.target())
                    .and_then(|element| dom::block_of(&element))
                    .and_then(|name| self.key_named(&name))
                else {
                    return;
                };
                event.prevent_default();
                if model.pick_up(&key, By::Keys)
                    && let Some(arrow) = arrow
                {
                    model.nudge_aim(arrow);
                }
            }
            _ => {}
        }
    }

    /// The sitting that an element names.
    fn key_named(&self, name: &str) -> Option<BlockKey> {
        self.model.view.with_untracked(|view| {
            let blocks = view.as_ref()?.days.iter().flat_map(|day| &day.blocks);
            let found = blocks.map(|block| &block.key).find(|key| key.to_string() == name);
            found.cloned()
        })
    }

    /// The ghost goes to the pointer, the target to the quarter of an hour under it.
    fn follow(&self) {
        let Some(held) = self.held.get_value() else { return };
        let (x, y) = held.at;
        if let Some(ghost) = self.ghost.get_untracked() {
            let shift = format!("translate({}px, {}px)", x + 14.0, y - held.grab);
            // The property is known to every browser; there is nothing to do if one refuses it.
            let _ = web_sys::HtmlElement::style(&ghost).set_property("transform", &shift);
        }
        let (left, top, right, bottom) = held.region;
        let outside =
            x < left - OUTSIDE || x > right + OUTSIDE || y < top - OUTSIDE || y > bottom + OUTSIDE;
        let scrolled = dom::region().map_or(0.0, |region| f64::from(region.scroll_top()));
        let spot = held
            .columns
            .iter()
            .find(|column| column.left <= x && x < column.right)
            .filter(|_| !outside)
            .map(|column| (column.column, whole(y + scrolled - column.top - held.grab)));
        self.model.hover(spot);
        self.turn_day(x, y);
    }

    /// Over a day's button, a narrow window turns to that day.
    fn turn_day(&self, x: f64, y: f64) {
        if self.held.with_value(Option::is_none) {
            return;
        }
        for column in 0..7 {
            let Some(button) = dom::day_button(column) else { continue };
            let own = button.get_bounding_client_rect();
            let over = own.left() <= x && x < own.right() && own.top() <= y && y < own.bottom();
            if over && self.model.chosen.get_untracked() != column {
                self.model.chosen.set(column);
                let hands = *self;
                request_animation_frame(move || {
                    hands.held.try_update_value(|held| {
                        if let Some(held) = held {
                            held.columns = measure();
                        }
                    });
                });
            }
        }
    }

    /// Near the upper or lower edge the region scrolls, as long as the sitting is held.
    fn scroll_at_edges(&self) {
        let hands = *self;
        request_animation_frame(move || {
            let Some(Some(held)) = hands.held.try_get_value() else { return };
            let Some(region) = dom::region() else { return };
            let (_, top, _, bottom) = held.region;
            let (above, below) =
                (top + held.inset.0 + EDGE - held.at.1, held.at.1 - (bottom - held.inset.1 - EDGE));
            let speed = if above > 0.0 {
                -SPEED * (above / EDGE).min(1.0)
            } else if below > 0.0 {
                SPEED * (below / EDGE).min(1.0)
            } else {
                0.0
            };
            if speed != 0.0 {
                region.set_scroll_top(region.scroll_top() + whole(speed));
                hands.follow();
            }
            hands.scroll_at_edges();
        });
    }

    fn let_go(&self) {
        if let Some(Some(held)) = self.held.try_update_value(Option::take)
            && let Some(region) = dom::region()
            && region.has_pointer_capture(held.pointer)
        {
            // Already released by the browser: nothing to do.
            let _ = region.release_pointer_capture(held.pointer);
        }
    }
}

/// Every day that is drawn, with its top counted from the top of what scrolls.
fn measure() -> Vec<Measured> {
    let scrolled = dom::region().map_or(0.0, |region| f64::from(region.scroll_top()));
    (0..7)
        .filter_map(|column| {
            let own = dom::body(column)?.get_bounding_client_rect();
            let (left, right, top) = (own.left(), own.right(), own.top() + scrolled);
            (right > left).then_some(Measured { column, left, right, top })
        })
        .collect()
}

fn whole(pixels: f64) -> i32 {
    pixels.round() as i32
}

fn target_element(target: Option<web_sys::EventTarget>) -> Option<Element> {
    target?.dyn_into().ok()
}

fn closest(target: Option<web_sys::EventTarget>, selector: &str) -> Option<Element> {
    target_element(target)?.closest(selector).ok().flatten()
}

/// The sitting under the finger, with the time that it would get.
#[component]
pub(super) fn Ghost() -> impl IntoView {
    let hands = expect_context::<Hands>();
    let model = hands.model;
    let shown = move || model.moving.read().as_ref().is_some_and(|moving| moving.by == By::Grip);
    let name = move || model.moving.read().as_ref().map(|moving| moving.reach.name.clone());
    let words = move || match model.target.get().map(|target| target.landing) {
        Some(Landing::Here { words, .. }) => words,
        Some(Landing::NotPossible { reason }) => format!("not here: {reason}"),
        None => "leave it where it was".to_owned(),
    };
    let refused = move || {
        !matches!(model.target.get().map(|target| target.landing), Some(Landing::Here { .. }))
    };
    view! {
        <div
            class="week-ghost"
            class:shown=shown
            class:refused=refused
            aria-hidden="true"
            node_ref=hands.ghost
        >
            <strong>{words}</strong>
            <span class="week-ghost-cost">{move || model.target_cost()}</span>
            <span class="soft">{name}</span>
        </div>
    }
}
