//! The frame: navigation, what is saved, undo, the page, and the one live region.

use leptos::html::Main;
use leptos::prelude::*;

use super::banners::Banners;
use super::cards::CardsPage;
use super::first::First;
use super::kitchen::KitchenPage;
use super::nav::Nav;
use super::orders::OrdersPage;
use super::safe::SafePage;
use super::shopping::ShoppingPage;
use super::time::TimePage;
use crate::app::bench::{BenchPage, RingBar};
use crate::app::cold::ColdPage;
use crate::app::parts::Icon;
use crate::app::state::{PlanningState, Role, SaveState};
use crate::app::week::WeekPage;
use crate::app::{AppState, Form, Page};

/// How long a message stays in sight, ms.
const TOAST_MS: u32 = 10_000;

/// Everything on screen.
#[component]
pub(crate) fn Frame() -> impl IntoView {
    let state = expect_context::<AppState>();
    let main = NodeRef::<Main>::new();
    let loading = Memo::new(move |_| *state.saved.read() == SaveState::Loading);
    let steps_left = Memo::new(move |_| {
        let book = state.book.read();
        u8::from(book.kitchen.is_none()) + u8::from(book.time.is_none())
    });
    // A new page is read from its top, by eye and by screen reader; the first one is where it starts.
    Effect::new(move |before: Option<Option<(Page, Option<Form>, u8)>>| {
        let page = state.page.get();
        let title =
            if page == Page::Week { String::new() } else { format!("{} · ", page.title()) };
        document().set_title(&format!("{title}Rackweek"));
        let place = (page, state.form.get(), steps_left.get());
        let now = (!loading.get()).then_some(place);
        if let (Some(Some(before)), Some(now)) = (before, &now)
            && before != *now
            && let Some(main) = main.get_untracked()
        {
            let _ = main.focus();
            main.set_scroll_top(0);
        }
        now
    });
    view! {
        <div class="app">
            <a
                class="skip"
                href="#main"
                on:click=move |event| {
                    event.prevent_default();
                    if let Some(main) = main.get_untracked() {
                        let _ = main.focus();
                    }
                }
            >
                "Skip to the page"
            </a>
            <Head />
            <main class="main" id="main" tabindex="-1" node_ref=main>
                {move || {
                    if loading.get() {
                        return view! { <p class="page soft">"Opening the order book …"</p> }.into_any();
                    }
                    match state.page.get() {
                        Page::Safe => view! { <SafePage /> }.into_any(),
                        _ if state.is_new.get() => view! { <First /> }.into_any(),
                        Page::Week => view! { <WeekPage /> }.into_any(),
                        Page::Bench => view! { <BenchPage /> }.into_any(),
                        Page::Cold => view! { <ColdPage /> }.into_any(),
                        Page::Orders => view! { <OrdersPage /> }.into_any(),
                        Page::Shopping => view! { <ShoppingPage /> }.into_any(),
                        Page::Cards => view! { <CardsPage /> }.into_any(),
                        Page::Kitchen => view! { <KitchenPage /> }.into_any(),
                        Page::Time => view! { <TimePage /> }.into_any(),
                    }
                }}
            </main>
            <Nav />
            <Toast />
        </div>
    }
}

/// Title, undo and redo, whether everything is saved, and what the reader must know.
#[component]
fn Head() -> impl IntoView {
    let state = expect_context::<AppState>();
    let press = move |label: RwSignal<Option<String>>, word: &'static str| {
        move || {
            label.get().map_or_else(|| format!("{word}: nothing"), |what| format!("{word} {what}"))
        }
    };
    let title = move || {
        let page = state.page.get();
        if page != Page::Safe && state.is_new.get() { "Welcome" } else { page.title() }
    };
    let (undo, redo) = (press(state.undo_label, "Undo"), press(state.redo_label, "Redo"));
    view! {
        <header class="head">
            <div class="head-bar">
                <h1>{title}</h1>
                <BestSign />
                <SaveSign />
                <button
                    type="button"
                    class="button icon-only quiet"
                    aria-label=undo
                    title=undo
                    disabled=move || state.undo_label.read().is_none()
                    on:click=move |_| state.undo()
                >
                    <Icon name="undo" />
                </button>
                <button
                    type="button"
                    class="button icon-only quiet"
                    aria-label=redo
                    title=redo
                    disabled=move || state.redo_label.read().is_none()
                    on:click=move |_| state.redo()
                >
                    <Icon name="redo" />
                </button>
            </div>
            <RingBar />
            <Banners />
        </header>
    }
}

/// Says so when no plan is better than the one on the week's page.
#[component]
fn BestSign() -> impl IntoView {
    let state = expect_context::<AppState>();
    let best = Memo::new(move |_| {
        state.page.get() == Page::Week
            && state.planning.get() == PlanningState::Idle
            && state
                .plan
                .read()
                .as_ref()
                .is_some_and(|week| week.is_best() && !week.outlook.work.steps.is_empty())
    });
    move || best.get().then(|| view! { <span class="save-state">"No plan is better"</span> })
}

/// Whether what is on screen is on disk, in a word with a sign.
#[component]
fn SaveSign() -> impl IntoView {
    let state = expect_context::<AppState>();
    let words = Memo::new(move |_| match (state.role.get(), &*state.saved.read()) {
        (_, SaveState::Loading) => ("save-state", "…", "Opening"),
        (Role::Follower, _) => ("save-state", "◦", "Following"),
        (_, SaveState::Saved) => ("save-state", "✓", "Saved"),
        (_, SaveState::Saving) => ("save-state", "…", "Saving"),
        (_, SaveState::NotSaved(_)) => ("save-state bad", "!", "Not saved"),
        (_, SaveState::MemoryOnly(_)) => ("save-state bad", "!", "Not kept"),
        (_, SaveState::ReadOnly(_)) => ("save-state", "◦", "Read-only"),
    });
    view! {
        <span class=move || words.get().0 data-save=move || words.get().2>
            <span aria-hidden="true">{move || words.get().1}</span>
            {move || words.get().2}
        </span>
    }
}

/// What was said last: seen here, and heard once, since this is the page's only live region.
#[component]
fn Toast() -> impl IntoView {
    let state = expect_context::<AppState>();
    let gone = RwSignal::new(0_u32);
    // It goes by itself; what it offers stays at the top of the page.
    Effect::new(move |_| {
        let number = state.message.read().number;
        gloo_timers::callback::Timeout::new(TOAST_MS, move || {
            if state.message.read_untracked().number == number {
                gone.set(number);
            }
        })
        .forget();
    });
    let shown = move || {
        let message = state.message.read();
        !message.text.is_empty() && message.number != gone.get()
    };
    view! {
        <div class="toast" class:empty=move || !shown()>
            // Emptied and filled as a whole, so that the same words twice are two announcements.
            <p role="status" aria-live="polite">
                {move || shown().then(|| state.message.read().text.clone())}
            </p>
            {move || {
                (shown() && state.message.read().undo && state.undo_label.read().is_some())
                    .then(|| {
                        view! {
                            <button type="button" class="button" on:click=move |_| state.undo()>
                                "Undo"
                            </button>
                        }
                    })
            }}
            <button
                type="button"
                class="button quiet icon-only"
                aria-label="Hide this message"
                on:click=move |_| gone.set(state.message.read_untracked().number)
            >
                <Icon name="cross" />
            </button>
        </div>
    }
}
