//! The app: a thin shell of Leptos parts around the domain.
//!
//! In: what the reader does, what the browser knows (clock, zone, storage, other tabs). Out: commands to
//! the book, and what the domain answers, drawn. Holds no rule of the trade: those are the library's.
//!
//! [`boot`] starts it all; [`state`] is the handle that every view gets; [`store`], [`tabs`],
//! [`planner`] and [`fit`] are the ways to the disk, the other windows and the workers; [`pages`], [`week`], [`bench`]
//! and [`cold`] draw; [`pictures`] keeps and shows photos and sketches. [`share`] is the page of a week that somebody else has shared, and the way to share one.

#![expect(unreachable_pub, reason = "the component macro writes `pub` inside hidden modules")]
#![expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the browser's numbers are floats; what crosses is far within 2⁵³"
)]

mod bench;
mod boot;
mod clock;
mod cold;
mod files;
mod fit;
mod intl;
mod pages;
mod parts;
mod persist;
mod pictures;
mod planner;
mod prefs;
mod rescue;
mod routes;
mod send;
mod share;
mod shown;
mod state;
mod store;
mod tabs;
mod tryout;
mod update;
mod week;

#[cfg(test)]
wasm_bindgen_test::wasm_bindgen_test_configure!(run_in_browser);

use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::DedicatedWorkerGlobalScope;

pub(crate) use routes::{Form, Page};
pub(crate) use state::AppState;

/// Starts the app, or the planner or the fit check when this runs in a worker.
pub(crate) fn start() {
    rescue::install();
    match js_sys::global().dyn_into::<DedicatedWorkerGlobalScope>() {
        Ok(scope) if scope.name() == fit::NAME => fit::serve(&scope),
        Ok(scope) => planner::serve(&scope),
        Err(_) => {
            share::reload_for_links();
            match share::fragment() {
                // Somebody else's week: no record of the reader's is opened for it.
                Some(fragment) => {
                    mount_to_body(move || view! { <share::SharedPage fragment=fragment /> });
                }
                None => mount_to_body(App),
            }
        }
    }
}

/// The whole page.
#[component]
fn App() -> impl IntoView {
    let state = AppState::new();
    provide_context(state);
    provide_context(fit::FitDesk::new());
    provide_context(cold::ColdSpot::new());
    provide_context(bench::BenchDesk::new(state));
    update::listen();
    boot::boot(state);
    view! { <pages::Frame /> }
}
