//! The sheet of one sitting: all that is known of it, and all that can be done with it.

use leptos::html::Dialog;
use leptos::prelude::*;
use rackweek::record::Command;
use rackweek::week::{BlockKey, BlockState, Nudge, Sheet, SheetRest, WhyWords};

use super::elsewhere::ElsewhereList;
use super::model::{By, WeekModel};
use super::sign::{Sign, SignView};
use crate::app::pages::card_link;
use crate::app::parts::{OrderMark, show_while};

/// The sheet, above the page while a sitting is selected.
#[component]
pub(super) fn SittingSheet() -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let dialog = NodeRef::<Dialog>::new();
    show_while(dialog, move || model.selected.read().is_some());
    let sheet = Memo::new(move |_| model.sheet(&model.selected.get()?));
    let label = move || sheet.with(|s| s.as_ref().map_or_else(String::new, |s| s.name.clone()));
    // A sitting that is no longer planned has nothing to show.
    Effect::new(move |_| {
        if sheet.with(Option::is_none) && model.selected.with_untracked(Option::is_some) {
            request_animation_frame(move || {
                if sheet.try_with_untracked(Option::is_none) == Some(true) {
                    model.selected.try_set(None);
                }
            });
        }
    });
    view! {
        <dialog
            class="dialog week-sheet"
            node_ref=dialog
            aria-label=label
            on:close=move |_| model.selected.set(None)
        >
            {move || sheet.get().map(|sheet| view! { <Contents sheet=sheet /> })}
        </dialog>
    }
}

#[component]
fn Contents(sheet: Sheet) -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let kind = sheet.kind.text();
    let facts = [sheet.length.clone(), kind.to_owned()]
        .into_iter()
        .chain(sheet.part.clone())
        .chain(sheet.helper.as_ref().map(|helper| format!("by {helper}")))
        .collect::<Vec<_>>()
        .join(" · ");
    let for_whom = if sheet.theme.is_empty() {
        sheet.order_title.clone()
    } else {
        format!("{}, {}", sheet.order_title, sheet.theme)
    };
    view! {
        <div class="stack">
            <header class="week-sheet-head">
                <OrderMark id=sheet.order letters=sheet.mark.clone() />
                <div>
                    <h2>{sheet.name.clone()}</h2>
                    <p class="soft">{format!("{} for {for_whom}", sheet.product)}</p>
                </div>
                <button type="button" class="button" on:click=move |_| model.selected.set(None)>
                    "Close"
                </button>
            </header>
            <p class="week-sheet-when">
                <strong>{sheet.when.clone()}</strong>
                <span class="soft">{facts}</span>
                <StateBadge state=sheet.state />
            </p>
            {sheet
                .breaches
                .iter()
                .map(|text| {
                    view! {
                        <p class="badge bad week-breach">
                            <SignView sign=Sign::Warn />
                            {text.clone()}
                        </p>
                    }
                })
                .collect_view()}
            {sheet
                .past_best
                .iter()
                .map(|text| {
                    view! {
                        <p class="badge week-breach">
                            <SignView sign=Sign::Old />
                            {text.clone()}
                        </p>
                    }
                })
                .collect_view()}
            <p>{sheet.detail.clone()}</p>
            {card_link(&sheet.card, &sheet.step, format!("How it comes about: {}", sheet.name))}
            <Actions sheet=sheet.clone() />
            {(sheet.state != BlockState::Done)
                .then(|| view! { <ElsewhereList key=sheet.key.clone() /> })}
            <Rests title="Rests before it" rests=sheet.before.clone() />
            <Rests title="Rests after it" rests=sheet.after.clone() />
            {model.why(&sheet.key).map(|why| view! { <Why why=why /> })}
            {sheet.keeps.as_ref().map(|words| view! { <p class="soft small">{words.clone()}</p> })}
            {(!sheet.limits.is_empty())
                .then(|| {
                    view! {
                        <ul class="week-rests-list soft small">
                            {sheet.limits.iter().map(|l| view! { <li>{l.clone()}</li> }).collect_view()}
                        </ul>
                    }
                })}
            {(!sheet.notes.is_empty())
                .then(|| {
                    view! {
                        <section>
                            <h3>"At the bench"</h3>
                            <ul class="week-notes">
                                {sheet.notes.iter().map(|n| view! { <li>{n.clone()}</li> }).collect_view()}
                            </ul>
                        </section>
                    }
                })}
            {sheet.caution.map(|text| view! { <p class="caution">{text}</p> })}
        </div>
    }
}

/// What holds it from both sides, and what another time would mean.
#[component]
fn Why(why: WhyWords) -> impl IntoView {
    let line = why.line();
    let others = [why.earlier, why.later, why.range];
    let others = others.into_iter().flatten().map(|text| view! { <li>{text}</li> }).collect_view();
    view! {
        <section>
            <h3>"Why here"</h3>
            <ul class="week-notes">
                {(!line.is_empty()).then(|| view! { <li>{line}</li> })}
                {others}
            </ul>
        </section>
    }
}

#[component]
fn StateBadge(state: BlockState) -> impl IntoView {
    match state {
        BlockState::Planned => None,
        BlockState::Pinned => Some((Sign::Pin, "badge", "pinned")),
        BlockState::Done => Some((Sign::Done, "badge good", "done")),
    }
    .map(|(sign, class, word)| {
        view! {
            <span class=class>
                <SignView sign=sign />
                {word}
            </span>
        }
    })
}

#[component]
fn Rests(title: &'static str, rests: Vec<SheetRest>) -> impl IntoView {
    (!rests.is_empty()).then(|| {
        view! {
            <section>
                <h3>{title}</h3>
                <ul class="week-rests-list">
                    {rests
                        .into_iter()
                        .map(|rest| {
                            let limit = (!rest.limit.is_empty())
                                .then(|| view! { <span class="soft small">{rest.limit}</span> });
                            view! { <li>{rest.words} {limit}</li> }
                        })
                        .collect_view()}
                </ul>
            </section>
        }
    })
}

/// Move, step by step or to anywhere; tick; let go.
#[component]
fn Actions(sheet: Sheet) -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let (key, state) = (sheet.key.clone(), sheet.state);
    let name = sheet.name.clone();
    let locked = move || !model.may_write();
    let step = move |key: &BlockKey, nudge: Nudge, words: &'static str| {
        let key = key.clone();
        view! {
            <button
                type="button"
                class="button"
                disabled=locked
                on:click=move |_| model.step(&key, nudge)
            >
                {words}
            </button>
        }
    };
    let move_key = key.clone();
    let begin = move |_| {
        let key = move_key.clone();
        model.selected.set(None);
        // After the sheet has closed and given the focus back.
        set_timeout(
            move || {
                model.pick_up(&key, By::Tap);
            },
            std::time::Duration::ZERO,
        );
    };
    let steps = (state != BlockState::Done).then(|| {
        view! {
            <button type="button" class="button strong" disabled=locked on:click=begin>
                "Move"
            </button>
            {step(&key, Nudge::Earlier, "Earlier 15")}
            {step(&key, Nudge::Later, "Later 15")}
            {step(&key, Nudge::DayBefore, "Day before")}
            {step(&key, Nudge::DayAfter, "Day after")}
        }
    });
    let (step_id, starts) = (key.step.clone(), sheet.starts.clone());
    let done_words = if sheet.part.is_some() { "Done, all sittings" } else { "Done" };
    let tick_name = name.clone();
    let tick = (state != BlockState::Done).then(|| {
        view! {
            <button
                type="button"
                class="button"
                disabled=locked
                on:click=move |_| {
                    let command = Command::TickStep(step_id.clone(), starts.clone());
                    model.run(command, format!("{tick_name} is done"));
                }
            >
                <SignView sign=Sign::Done />
                {done_words}
            </button>
        }
    });
    let release_id = key.step.clone();
    let release = (state != BlockState::Planned).then(|| {
        view! {
            <button
                type="button"
                class="button"
                disabled=locked
                on:click=move |_| {
                    let command = Command::ReleaseStep(release_id.clone());
                    model.run(command, format!("{name} is let go; the planner may move it"));
                }
            >
                "Let go"
            </button>
        }
    });
    view! { <div class="week-actions">{steps} {tick} {release}</div> }
}
