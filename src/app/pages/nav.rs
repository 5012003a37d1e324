//! The way to the pages: a rail on wide windows, a bar below on upright ones, and on a phone a bar of the
//! most used with "More" for the rest.

use leptos::html::Dialog;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

use crate::app::parts::{Icon, show_while};
use crate::app::routes;
use crate::app::{AppState, Page};

/// So many pages a phone's bar shows beside "More": the first ones of [`Page::ALL`]. `frame.css` counts them too.
const ON_PHONE: usize = 4;

/// All pages; which of them are hidden on a phone is the style's to say.
#[component]
pub(crate) fn Nav() -> impl IntoView {
    let state = expect_context::<AppState>();
    let open = RwSignal::new(false);
    let dialog = NodeRef::<Dialog>::new();
    show_while(dialog, move || open.get());
    // One more page than the bar holds beside "More" stands in More's own room.
    let long = Page::ALL.len() > ON_PHONE + 1;
    let entries = |pages: &'static [Page]| {
        pages
            .iter()
            .map(|page| view! { <li>{entry(state, *page, open)}</li> }.into_any())
            .collect_view()
    };
    let rest = Page::ALL.get(ON_PHONE..).unwrap_or_default();
    let here = move || rest.contains(&state.page.get());
    let label = move || {
        if here() {
            format!("More pages, now {}", state.page.get().title())
        } else {
            "More pages".to_owned()
        }
    };
    view! {
        <nav class="nav" class:long=long aria-label="Pages">
            <div class="brand" aria-hidden="true">"Rackweek"</div>
            <ul class="nav-list">
                {entries(Page::ALL)}
                <li class="nav-more">
                    <button
                        type="button"
                        aria-haspopup="dialog"
                        aria-label=label
                        aria-current=move || here().then_some("true")
                        on:click=move |_| open.set(true)
                    >
                        <Icon name="more" />
                        "More"
                    </button>
                </li>
            </ul>
            <dialog
                class="dialog nav-sheet"
                node_ref=dialog
                aria-label="More pages"
                on:close=move |_| open.set(false)
                on:click=move |event| {
                    // Beside the sheet is the dialog itself, whose content fills it.
                    let beside = event.target().and_then(|at| at.dyn_into::<web_sys::HtmlDialogElement>().ok());
                    if beside.is_some() {
                        open.set(false);
                    }
                }
            >
                <div class="nav-sheet-body">
                    <ul>{entries(rest)}</ul>
                    <button type="button" class="button" on:click=move |_| open.set(false)>"Close"</button>
                </div>
            </dialog>
        </nav>
    }
}

/// A page's link.
fn entry(state: AppState, page: Page, sheet: RwSignal<bool>) -> AnyView {
    view! {
        <a
            href=routes::address(page, None)
            aria-current=move || (state.page.get() == page).then_some("page")
            on:click=move |event| {
                if routes::stays_here(&event) {
                    sheet.set(false);
                    state.go(page, None);
                }
            }
        >
            <Icon name=page.slug() />
            {page.title()}
        </a>
    }
    .into_any()
}
