//! What the plan on screen costs, how good it is, and how likely it ends in time.

use std::sync::Arc;
use std::time::Duration;

use leptos::html::Dialog;
use leptos::prelude::*;
use rackweek::week::{
    AccountLine, AheadDay, Chance, HandoverOdds, Odds, Quality, account_lines, look_ahead, odds,
};

use super::model::WeekModel;
use super::sign::{Sign, SignView};
use crate::app::parts::{OrderMark, show_while};
use crate::app::state::PlanningState;

impl WeekModel {
    /// How good the plan on screen is; none while there is no plan.
    pub(super) fn quality(&self) -> Option<Quality> {
        let looking =
            matches!(self.app.planning.get(), PlanningState::First | PlanningState::Improving);
        let planned = self.app.plan.get()?;
        let sound = planned.report.breaches.is_empty();
        Some(Quality::of(&planned.progress, sound, looking))
    }

    /// How likely it ends in time; none while that is not known.
    pub(super) fn odds(&self) -> Option<Odds> {
        let risk = self.app.risk.get()?;
        self.view.track();
        self.with(|input| odds(input, &risk))
    }

    /// The smallest chance of all handovers.
    pub(super) fn lowest(&self) -> Option<HandoverOdds> {
        self.odds()?.handovers.into_iter().min_by_key(|handover| handover.chance)
    }
}

/// Says how good the plan is and how surely it ends in time; a tap tells more.
#[component]
pub(super) fn GoodnessButton() -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let state = move || match model.app.planning.get() {
        PlanningState::Idle => "idle",
        PlanningState::First => "first",
        PlanningState::Improving => "improving",
        PlanningState::Failed => "failed",
    };
    let words = Memo::new(move |_| match model.app.planning.get() {
        PlanningState::First => "Planning …".to_owned(),
        PlanningState::Improving => "Improving …".to_owned(),
        PlanningState::Failed => "Not planned".to_owned(),
        PlanningState::Idle => model.quality().map_or_else(String::new, Quality::short),
    });
    let lowest = Memo::new(move |_| model.lowest().map(|handover| handover.chance));
    let any = move || {
        !words.read().is_empty()
            && model.view.with(|view| view.as_ref().is_some_and(|view| view.any_work))
    };
    view! {
        <Show when=any>
            <button
                type="button"
                class="button quiet week-goodness"
                data-planning=state
                aria-haspopup="dialog"
                on:click=move |_| model.goodness_open.set(true)
            >
                <span class="aside">"This plan: "</span>
                <span
                    class="week-planning"
                    class:working=move || {
                        matches!(
                            model.app.planning.get(),
                            PlanningState::First | PlanningState::Improving
                        )
                    }
                >
                    {move || words.get()}
                </span>
                {move || {
                    lowest
                        .get()
                        .map(|chance| {
                            view! {
                                <span class="week-lowest" class:low=chance.is_low()>
                                    {chance.is_low().then(|| view! { <SignView sign=Sign::Warn /> })}
                                    "on time "
                                    {chance.words()}
                                </span>
                            }
                        })
                }}
            </button>
        </Show>
    }
}

/// The account and the odds, above the page.
#[component]
pub(super) fn GoodnessDialog() -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let dialog = NodeRef::<Dialog>::new();
    let open = model.goodness_open;
    show_while(dialog, move || open.get());
    let lines = Memo::new(move |_| {
        if !open.get() {
            return Vec::new();
        }
        model.view.track();
        model.with(account_lines).unwrap_or_default()
    });
    let ahead = Memo::new(move |_| {
        if !open.get() {
            return Vec::new();
        }
        model.view.track();
        model.with(look_ahead).unwrap_or_default()
    });
    let odds = Memo::new(move |_| if open.get() { model.odds().map(Arc::new) } else { None });
    let quality = move || model.quality().map_or_else(String::new, Quality::words);
    let sound = move || model.quality() != Some(Quality::NotSound);
    view! {
        <dialog
            class="dialog week-goodness-sheet"
            node_ref=dialog
            aria-label="This plan"
            on:close=move |_| open.set(false)
        >
            <div class="stack">
                <div class="week-dialog-head">
                    <h2>"This plan"</h2>
                    <button type="button" class="button" on:click=move |_| open.set(false)>
                        "Close"
                    </button>
                </div>
                <p class="week-quality">
                    {move || {
                        (model.quality() == Some(Quality::Best))
                            .then(|| view! { <SignView sign=Sign::Done /> })
                    }}
                    {quality}
                </p>
                <Ahead days=ahead />
                <section>
                    <h3>"Ready in time"</h3>
                    {move || match odds.get() {
                        Some(odds) => view! { <Chances odds=odds /> }.into_any(),
                        None if sound() => {
                            view! { <p class="soft">"Being worked out …"</p> }.into_any()
                        }
                        None => {
                            view! { <p class="soft">"Told once everything fits"</p> }.into_any()
                        }
                    }}
                </section>
                <section>
                    <h3>"What it costs you"</h3>
                    <dl class="week-account">
                        {move || {
                            lines.get().into_iter().map(|line| view! { <Line line=line /> }).collect_view()
                        }}
                    </dl>
                </section>
                <div>
                    <button
                        type="button"
                        class="button"
                        on:click=move |_| {
                            open.set(false);
                            // After the dialog has closed: what lies above the page would be printed with it.
                            set_timeout(
                                || {
                                    // Refused printing leaves everything as it is.
                                    let _ = window().print();
                                },
                                Duration::ZERO,
                            );
                        }
                    >
                        "Print this week"
                    </button>
                </div>
            </div>
        </dialog>
    }
}

/// How full the days ahead are, and what of a heavy one can go before.
#[component]
fn Ahead(days: Memo<Vec<AheadDay>>) -> impl IntoView {
    let rows = move || {
        let each = days.get().into_iter().map(|day| {
            let width = format!("{}%", f64::from(day.share) / 10.0);
            let words = if day.heavy { day.amount + ", heavy" } else { day.amount };
            view! {
                <li class:heavy=day.heavy>
                    <span>{day.day}</span>
                    <span class="week-ahead-bar" aria-hidden="true">
                        <span style:inline-size=width></span>
                    </span>
                    <span class="number">
                        {day.heavy.then(|| view! { <SignView sign=Sign::Warn /> })} <span>{words}</span>
                    </span>
                    {day.words.map(|words| view! { <span class="soft small">{words}</span> })}
                </li>
            }
        });
        each.collect_view()
    };
    view! {
        <Show when=move || !days.read().is_empty()>
            <section>
                <h3>"The days ahead, by hand"</h3>
                <ul class="week-ahead">{rows}</ul>
            </section>
        </Show>
    }
}

#[component]
fn Line(line: AccountLine) -> impl IntoView {
    view! {
        <div class:bad=line.bad>
            <dt>
                {line.bad.then(|| view! { <SignView sign=Sign::Warn /> })}
                {line.what}
                {(!line.detail.is_empty())
                    .then(|| view! { <span class="soft small">{line.detail}</span> })}
            </dt>
            <dd>{line.amount}</dd>
        </div>
    }
}

#[component]
fn Chances(odds: Arc<Odds>) -> impl IntoView {
    let handovers = odds
        .handovers
        .iter()
        .cloned()
        .map(|handover| {
            let HandoverOdds { order, mark, title, leaves, chance, ready } = handover;
            view! {
                <li class:low=chance.is_low()>
                    <OrderMark id=order letters=mark />
                    <div>
                        <strong>{title}</strong>
                        <span class="soft small">{format!("leaves {leaves}; {ready}")}</span>
                    </div>
                    <div class="week-chance">
                        <Dots chance=chance />
                        <span>
                            {chance.is_low().then(|| view! { <SignView sign=Sign::Warn /> })}
                            {chance.words()}
                        </span>
                    </div>
                </li>
            }
        })
        .collect_view();
    let lines = |lines: &[String]| {
        lines.iter().cloned().map(|line| view! { <li>{line}</li> }).collect_view()
    };
    let (evenings, helps) = (lines(&odds.evenings), lines(&odds.helps));
    view! {
        <p class="soft small">
            "Work takes longer on some days than on others. The plan was played 2000 times with that; \
             so often each order left on time:"
        </p>
        <ul class="week-chances">{handovers}</ul>
        {(!odds.evenings.is_empty())
            .then(|| {
                view! {
                    <h4>"Evenings most likely to run over"</h4>
                    <ul class="week-notes">{evenings}</ul>
                }
            })}
        {(!odds.helps.is_empty())
            .then(|| {
                view! {
                    <h4>"Where half an hour more helps most"</h4>
                    <ul class="week-notes">{helps}</ul>
                }
            })}
    }
}

/// Ten dots, as many filled as weeks of ten go well. The words beside them say the same.
#[component]
pub(super) fn Dots(chance: Chance) -> impl IntoView {
    let filled = chance.tenths();
    let dots = (0..10)
        .map(|dot| {
            let class = if dot < filled { "full" } else { "" };
            view! { <span class=class></span> }
        })
        .collect_view();
    view! { <span class="week-ten" aria-hidden="true">{dots}</span> }
}
