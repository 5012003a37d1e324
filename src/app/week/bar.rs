//! The bar above the days: which week, what does not fit, what the planner does; and, while a sitting
//! is on the move, where it would go.

use leptos::prelude::*;
use rackweek::week::{DayView, Landing};

use super::goodness::GoodnessButton;
use super::model::{By, WeekModel};
use super::news::MovedButton;
use super::sign::{Sign, SignView};

/// Which week, and what is said about it.
#[component]
pub(super) fn WeekBar() -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let title =
        move || model.view.with(|v| v.as_ref().map_or_else(String::new, |v| v.title.clone()));
    view! {
        <div class="week-bar" inert=move || model.moving.read().is_some()>
            <div class="week-turn">
                <button
                    type="button"
                    class="button icon-only"
                    aria-label="Previous week"
                    disabled=move || !model.has_week(-1)
                    on:click=move |_| model.go_weeks(-1)
                >
                    <SignView sign=Sign::Earlier />
                </button>
                <button
                    type="button"
                    class="button icon-only"
                    aria-label="Next week"
                    disabled=move || !model.has_week(1)
                    on:click=move |_| model.go_weeks(1)
                >
                    <SignView sign=Sign::Later />
                </button>
                <button type="button" class="button" on:click=move |_| model.go_today()>
                    "Today"
                </button>
            </div>
            <h2 class="week-title">
                {move || title().rsplit_once(' ').map(|(days, _)| days.to_owned())}
                <span class="week-year">
                    {move || title().rsplit_once(' ').map(|(_, year)| format!(" {year}"))}
                </span>
            </h2>
            <div class="week-status">
                <GoodnessButton />
                <MovedButton />
            </div>
            <button
                type="button"
                class="button week-rests"
                aria-pressed=move || model.rests_shown.get().to_string()
                on:click=move |_| model.rests_shown.update(|shown| *shown = !*shown)
            >
                <span class="week-wide">"Show "</span>
                <span>"rests"</span>
            </button>
            <ProblemsButton />
        </div>
    }
}

#[component]
fn ProblemsButton() -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let count = Memo::new(move |_| {
        model.view.with(|view| view.as_ref().map_or(0, |view| view.problems.len()))
    });
    move || {
        let count = count.get();
        (count > 0).then(|| {
            let rest = if count == 1 { " thing does not fit" } else { " things do not fit" };
            view! {
                <button
                    type="button"
                    class="button danger week-problems"
                    aria-label=format!("{count}{rest}")
                    on:click=move |_| model.problems_open.set(true)
                >
                    <SignView sign=Sign::Warn />
                    <span>{count} <span class="week-wide">{rest}</span></span>
                </button>
            }
        })
    }
}

/// Where the sitting on the move would go, and the way back. Stands in the bar's place.
#[component]
pub(super) fn MoveBar() -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let words = move || {
        let moving = model.moving.get()?;
        let name = &moving.reach.name;
        let target = model.target.get().map(|target| target.landing);
        Some(match (target, moving.by) {
            (Some(Landing::Here { words, .. }), By::Keys) => {
                let cost =
                    model.target_cost().map_or_else(String::new, |cost| format!(" ({cost})"));
                format!(
                    "{name}: {words}{cost}. Arrows move it, Enter puts it down, Escape leaves it"
                )
            }
            (Some(Landing::Here { words, .. }), _) => match model.target_cost() {
                Some(cost) => format!("{name}: {words} ({cost})"),
                None => format!("{name}: {words}"),
            },
            (Some(Landing::NotPossible { reason }), _) => {
                format!("{name}: not possible here, {reason}")
            }
            (None, By::Tap) => format!("{name}: tap where it should start"),
            (None, By::Grip) => format!("{name}: let go outside to leave it where it was"),
            (None, By::Keys) => format!("{name}: not in this week"),
        })
    };
    let guessed = move || model.moving.read().as_ref().is_some_and(|moving| moving.reach.guessed);
    view! {
        <div class="week-move" class:shown=move || model.moving.read().is_some()>
            <p role="status" aria-live="polite">
                {words}
                {move || {
                    guessed().then_some(". Something else may no longer fit then; the list will say so")
                }}
            </p>
            {move || {
                model
                    .moving
                    .read()
                    .as_ref()
                    .is_some_and(|moving| moving.by != By::Grip)
                    .then(|| {
                        view! {
                            <button
                                type="button"
                                class="button week-cancel"
                                on:click=move |_| model.cancel()
                            >
                                "Cancel"
                            </button>
                        }
                    })
            }}
        </div>
    }
}

/// Seven buttons that choose the day on a narrow window.
#[component]
pub(super) fn DayButtons() -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let buttons = (0..7)
        .map(|column| {
            let day = Memo::new(move |_| {
                model
                    .view
                    .with(|view| view.as_ref().and_then(|v| v.days.get(column)).map(DayLabel::of))
            });
            let part = move |pick: fn(DayLabel) -> String| {
                move || day.get().map_or_else(String::new, pick)
            };
            view! {
                <button
                    type="button"
                    class="week-choose"
                    class:today=move || day.get().is_some_and(|day| day.today)
                    data-choose=column
                    aria-pressed=move || (model.chosen.get() == column).to_string()
                    on:click=move |_| model.chosen.set(column)
                >
                    <span>{part(|day| format!("{} ", day.short))}</span>
                    <strong>{part(|day| day.number)}</strong>
                    <span class="aside">{part(|day| day.rest)}</span>
                    <span class="week-dots" aria-hidden="true">{part(|day| day.dots)}</span>
                </button>
            }
        })
        .collect_view();
    view! { <div class="week-choices" role="group" aria-label="Day">{buttons}</div> }
}

/// What a day's button shows.
#[derive(Debug, Clone, PartialEq, Eq)]
struct DayLabel {
    short: String,
    number: String,
    /// A dot for each sitting, at most four.
    dots: String,
    /// What is only heard: the month, and how much there is to do.
    rest: String,
    today: bool,
}

impl DayLabel {
    fn of(day: &DayView) -> Self {
        let count = day.blocks.len();
        let sittings = match count {
            0 => "nothing to do".to_owned(),
            1 => "1 sitting".to_owned(),
            n => format!("{n} sittings"),
        };
        let (number, month) = day.date_text.split_once(' ').unwrap_or((&day.date_text, ""));
        Self {
            short: day.short.to_owned(),
            number: number.to_owned(),
            dots: "•".repeat(count.min(4)),
            rest: format!(" {month}, {sittings}"),
            today: day.today,
        }
    }
}
