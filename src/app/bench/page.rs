//! The page: what was not said yet, what is at hand, what runs, what is to come, what was done.

use std::sync::Arc;

use leptos::ev;
use leptos::html::H2;
use leptos::prelude::*;
use rackweek::keeping::CAUTION;
use rackweek::week::{Bench, BlockKey, Job, Line, time_of};
use wasm_bindgen::JsCast;
use web_sys::Element;

use super::ask::Ask;
use super::behind::Behind;
use super::desk::BenchDesk;
use super::going::GoingOut;
use super::job::JobCard;
use super::rows::{DoneRow, LineRow};
use super::sound;
use super::timers::TimerList;
use crate::app::parts::For;
use crate::app::state::PlanningState;
use crate::app::{AppState, Page};

/// What the parts of the page share.
#[derive(Clone, Copy)]
pub(super) struct BenchModel {
    pub(super) desk: BenchDesk,
    /// None before the first outlook.
    pub(super) sheet: Memo<Option<Arc<Bench>>>,
    /// Where the focus goes when what had it is gone.
    pub(super) heading: NodeRef<H2>,
}

impl BenchModel {
    /// A sitting on the sheet, wherever it stands there.
    pub(super) fn job(&self, key: &BlockKey) -> Option<Job> {
        self.sheet.with(|sheet| {
            let sheet = sheet.as_ref()?;
            let ahead = sheet.ahead.iter().flat_map(|(_, lines)| lines);
            let lines = sheet.later.iter().chain(ahead).filter_map(|line| line.job.as_ref());
            let jobs = sheet.at_hand.iter().chain(&sheet.ask).chain(&sheet.done);
            jobs.chain(lines).find(|job| job.key == *key).cloned()
        })
    }

    fn read<R: Default>(&self, read: impl FnOnce(&Bench) -> R) -> R {
        self.sheet.with(|sheet| sheet.as_ref().map(|sheet| read(sheet))).unwrap_or_default()
    }

    /// The button that was pressed goes with its row: the next to be read is what is at hand.
    pub(super) fn focus_heading(&self) {
        let heading = self.heading;
        request_animation_frame(move || {
            if let Some(Some(heading)) = heading.try_get_untracked() {
                let _ = heading.focus();
            }
        });
    }
}

fn keys(jobs: &[Job]) -> Vec<BlockKey> {
    jobs.iter().map(|job| job.key.clone()).collect()
}

/// What to do now.
#[component]
pub(crate) fn BenchPage() -> impl IntoView {
    let desk = expect_context::<BenchDesk>();
    let app = desk.app;
    let sheet = Memo::new(move |_| desk.sheet().map(Arc::new));
    let model = BenchModel { desk, sheet, heading: NodeRef::new() };
    provide_context(model);
    sound::keep_awake(&desk);
    let before = window_event_listener(ev::beforeprint, |_| unfold(true));
    let after = window_event_listener(ev::afterprint, |_| unfold(false));
    on_cleanup(move || {
        before.remove();
        after.remove();
    });
    let ready = Memo::new(move |_| sheet.with(Option::is_some));
    let asked = Memo::new(move |_| model.read(|sheet| keys(&sheet.ask)));
    // What is at hand, else what comes next.
    let now = Memo::new(move |_| {
        model.read(|sheet| {
            if sheet.at_hand.is_empty() {
                sheet.next().map(|job| job.key.clone()).into_iter().collect()
            } else {
                keys(&sheet.at_hand)
            }
        })
    });
    let title = move || {
        model.read(|sheet| match (sheet.at_hand.is_empty(), sheet.next().is_some()) {
            (false, _) => "Now",
            (true, true) => "Next",
            (true, false) => "Nothing more today",
        })
    };
    let later = Memo::new(move |_| {
        let shown = now.get();
        model.read(|sheet| {
            let lines = sheet.later.iter();
            let shown =
                |line: &&Line| line.job.as_ref().is_none_or(|job| !shown.contains(&job.key));
            lines.filter(shown).cloned().collect::<Vec<_>>()
        })
    });
    let ahead = Memo::new(move |_| model.read(|sheet| sheet.ahead.clone()));
    let done = Memo::new(move |_| model.read(|sheet| keys(&sheet.done)));
    let going = Memo::new(move |_| model.read(|sheet| sheet.going.clone()));
    // For whoever waits until what was noted has been taken up.
    let planning = move || match app.planning.get() {
        PlanningState::Idle | PlanningState::Failed => "idle",
        PlanningState::First | PlanningState::Improving => "busy",
    };
    let day = move || model.read(|sheet| sheet.day.clone());
    view! {
        <section class="page bench" aria-label="Bench sheet" data-planning=planning>
            <Show
                when=move || ready.get()
                fallback=|| view! { <p class="soft">"Laying out the evening …"</p> }
            >
                <p class="bench-day">
                    <strong>{day}</strong>
                    <span class="bench-clock number">{move || time_of(app.now.get())}</span>
                </p>
                {move || (!asked.read().is_empty()).then(|| view! { <Ask keys=asked /> })}
                <section class="bench-now">
                    <h2 tabindex="-1" node_ref=model.heading>{title}</h2>
                    {move || now.read().is_empty().then(|| view! { <Nothing /> })}
                    <For each=move || now.get() key=Clone::clone let:key>
                        <JobCard key=key />
                    </For>
                </section>
                {move || (!going.read().is_empty()).then(|| view! { <GoingOut going=going /> })}
                <Behind />
                <TimerList />
                {move || {
                    (!later.read().is_empty())
                        .then(|| view! { <Lines title="Later today" lines=later /> })
                }}
                {move || {
                    ahead
                        .get()
                        .map(|(day, lines)| {
                            view! { <Lines title=day lines=Memo::new(move |_| lines.clone()) /> }
                        })
                }}
                {move || {
                    (!done.read().is_empty())
                        .then(|| {
                            view! {
                                <section class="card bench-list">
                                    <h2>"Done today"</h2>
                                    <ul>
                                        <For each=move || done.get() key=Clone::clone let:key>
                                            <DoneRow key=key />
                                        </For>
                                    </ul>
                                </section>
                            }
                        })
                }}
                <p class="caution">{CAUTION}</p>
                <div class="row bench-print">
                    <button
                        type="button"
                        class="button"
                        on:click=move |_| {
                            // Refused printing leaves everything as it is.
                            let _ = window().print();
                        }
                    >
                        "Print this sheet"
                    </button>
                </div>
            </Show>
        </section>
    }
}

/// On paper everything is open; afterwards what was closed is closed again.
fn unfold(open: bool) {
    const PRINTED: &str = "data-unfolded";
    let wanted = if open { ".bench details:not([open])" } else { ".bench details[data-unfolded]" };
    let Ok(found) = document().query_selector_all(wanted) else { return };
    for index in 0..found.length() {
        let Some(one) = found.item(index) else { continue };
        let one: Element = one.unchecked_into();
        // A part that went meanwhile needs neither.
        if open {
            let _ = one.set_attribute("open", "");
            let _ = one.set_attribute(PRINTED, "");
        } else {
            let _ = one.remove_attribute("open");
            let _ = one.remove_attribute(PRINTED);
        }
    }
}

/// What is to come, line by line.
#[component]
fn Lines(#[prop(into)] title: String, lines: Memo<Vec<Line>>) -> impl IntoView {
    view! {
        <section class="card bench-list">
            <h2>{title}</h2>
            <ul>
                <For
                    each=move || lines.get()
                    key=|line: &Line| (line.id.clone(), line.time.clone(), line.title.clone())
                    let:line
                >
                    <LineRow line=line />
                </For>
            </ul>
        </section>
    }
}

/// What to do while there is nothing to do.
#[component]
fn Nothing() -> impl IntoView {
    let app = expect_context::<AppState>();
    view! {
        <div class="row apart">
            <p class="soft">
                "No sitting is left for today. What comes next stands below, and all of it on the week."
            </p>
            <button type="button" class="button" on:click=move |_| app.go(Page::Week, None)>
                "Open the week"
            </button>
        </div>
    }
}
