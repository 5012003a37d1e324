//! The page: bar, days, and what opens above them.

use leptos::prelude::*;
use rackweek::order::Stage;

use super::bar::{DayButtons, MoveBar, WeekBar};
use super::column::DayColumn;
use super::drag::{Ghost, Hands};
use super::goodness::GoodnessDialog;
use super::model::WeekModel;
use super::news::MovedDialog;
use super::paper::WeekPaper;
use super::places::PlacesDialog;
use super::problems::ProblemsDialog;
use super::sheet::SittingSheet;
use super::why_not::{TrialBar, WhyNotDialog, WhyNotPanel};
use crate::app::{AppState, Page};

/// The page of seven days.
#[component]
pub(crate) fn WeekPage() -> impl IntoView {
    let app = expect_context::<AppState>();
    let model = WeekModel::new(app);
    provide_context(model);
    model.trials.follow(&model);
    on_cleanup(move || model.starts.forget());
    let hands = Hands::new();
    let title =
        move || model.view.with(|v| v.as_ref().map_or_else(String::new, |v| v.title.clone()));
    view! {
        <section class="week" aria-label="Week">
            <div class="week-top">
                <WeekBar />
                <MoveBar />
                <TrialBar />
            </div>
            <WhyNotPanel />
            <Empty />
            <DayButtons />
            <div
                class="week-scroll"
                data-scrolls=""
                class:in-trial=move || model.trials.shown.read().is_some()
                class:moving=move || model.moving.read().is_some()
                class:plain=move || !model.rests_shown.get()
                role="region"
                tabindex="0"
                aria-label=move || format!("Days of {}", title())
                on:pointerdown=move |event| hands.down(&event)
                on:pointermove=move |event| hands.moved(&event)
                on:pointerup=move |event| hands.up(&event)
                on:pointercancel=move |_| hands.lost()
                on:lostpointercapture=move |_| hands.lost()
                on:click=move |event| hands.tapped(&event)
                on:keydown=move |event| hands.pressed(&event)
            >
                <div class="week-grid">
                    {(0..7).map(|column| view! { <DayColumn column=column /> }).collect_view()}
                </div>
            </div>
            <Ghost />
            <SittingSheet />
            <PlacesDialog />
            <ProblemsDialog />
            <GoodnessDialog />
            <MovedDialog />
            <WhyNotDialog />
            <WeekPaper />
        </section>
    }
}

/// What to do while there is nothing to place.
#[component]
fn Empty() -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let app = model.app;
    let advice = Memo::new(move |_| {
        let any = model.view.with(|view| view.as_ref().is_some_and(|view| view.any_work));
        let book = app.book.read();
        let waiting = book
            .orders
            .values()
            .filter(|order| matches!(order.stage, Stage::Enquiry | Stage::Quoted))
            .count();
        let confirmed = book.orders.values().any(|order| order.stage == Stage::Confirmed);
        match (any || confirmed, waiting) {
            (true, _) => None,
            (false, 0) => Some((
                "Nothing to make yet".to_owned(),
                "Enter an order with its handover. Its steps are then placed in your free windows, \
                 and you see what fills the fridge, the racks and the counter."
                    .to_owned(),
                "Enter an order",
            )),
            (false, 1) => Some((
                "Nothing confirmed yet".to_owned(),
                "One order waits in the order book. Its steps are placed once it is confirmed."
                    .to_owned(),
                "Open the order book",
            )),
            (false, n) => Some((
                "Nothing confirmed yet".to_owned(),
                format!(
                    "{n} orders wait in the order book. Their steps are placed once they are \
                     confirmed."
                ),
                "Open the order book",
            )),
        }
    });
    move || {
        advice.get().map(|(title, text, button)| {
            view! {
                <div class="week-empty">
                    <div>
                        <h2>{title}</h2>
                        <p>{text}</p>
                    </div>
                    <button
                        type="button"
                        class="button strong"
                        on:click=move |_| app.go(Page::Orders, None)
                    >
                        {button}
                    </button>
                </div>
            }
        })
    }
}
