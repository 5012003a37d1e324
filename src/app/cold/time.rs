//! The moment looked at: a slider from change to change, and buttons beside it.

use leptos::prelude::*;

use super::model::ColdModel;
use crate::app::parts::Icon;

/// Where a day begins on the slider, in thousandths of it.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Tick {
    at: usize,
    /// Up to the next one.
    room: usize,
    /// "Fri 4": a weekday alone would name several in a plan of weeks.
    name: String,
}

/// The moment in words, the slider, and the ways to the change before and after.
#[component]
pub(super) fn TimeBar() -> impl IntoView {
    let model = expect_context::<ColdModel>();
    let told = Memo::new(move |_| {
        model
            .with(|view, place, index, moment| {
                let until = view.from_to(moment.span);
                (view.when(moment.span.start), until, place.fill_words(index))
            })
            .unwrap_or_default()
    });
    let changes = Memo::new(move |_| {
        model
            .with(|view, place, index, _| {
                let mut lines = view.changes(place, index);
                if lines.is_empty() {
                    lines.push("Nothing changes here before or at this moment".to_owned());
                }
                let work = view.work_words(place, index);
                lines.extend((!work.is_empty()).then_some(work));
                lines.join(". ")
            })
            .unwrap_or_default()
    });
    let last = Memo::new(move |_| model.moments().saturating_sub(1));
    let is_now = Memo::new(move |_| {
        let now = model.app.now.get();
        model.with(|view, place, index, _| place.at(view.elapsed(now)) == index).unwrap_or(true)
    });
    let step = move |by: isize| {
        let next = model.index.get_untracked().saturating_add_signed(by);
        model.go(next.min(last.get_untracked()));
    };
    // Where days begin on the slider.
    let ticks = Memo::new(move |_| {
        model
            .with(|view, place, _, _| {
                let end = place.moments.len().saturating_sub(1).max(1);
                let mut ticks: Vec<Tick> = Vec::new();
                let mut known = None;
                for (index, moment) in place.moments.iter().enumerate() {
                    let day = view.day_of(moment.span.start);
                    if known != Some(day) {
                        known = Some(day);
                        let name = view.days.get(day).map_or_else(String::new, |day| {
                            let number = day.date.split(' ').next().unwrap_or_default();
                            format!("{} {number}", day.short)
                        });
                        let at = index * 1000 / end;
                        if let Some(last) = ticks.last_mut() {
                            last.room = at - last.at;
                        }
                        ticks.push(Tick { at, room: 1000 - at, name });
                    }
                }
                ticks
            })
            .unwrap_or_default()
    });
    view! {
        <section class="cold-when" aria-label="When">
            <div class="cold-when-line">
                <button
                    type="button"
                    class="button icon-only"
                    aria-label="The change before"
                    disabled=move || model.index.get() == 0
                    on:click=move |_| step(-1)
                >
                    <Icon name="before" />
                </button>
                <button
                    type="button"
                    class="button icon-only"
                    aria-label="The next change"
                    disabled=move || last.get() <= model.index.get()
                    on:click=move |_| step(1)
                >
                    <Icon name="after" />
                </button>
                <p class="cold-when-words">
                    <strong>{move || told.get().1}</strong>
                    <span class="soft">{move || told.get().2}</span>
                </p>
                <button
                    type="button"
                    class="button"
                    aria-pressed=move || if is_now.get() { "true" } else { "false" }
                    on:click=move |_| model.go_now()
                >
                    "Now"
                </button>
            </div>
            <div class="cold-slide">
                <input
                    type="range"
                    class="cold-slider"
                    aria-label="Moment, from change to change"
                    min="0"
                    max=move || last.get()
                    step="1"
                    prop:value=move || model.index.get().to_string()
                    disabled=move || last.get() == 0
                    aria-valuetext=move || {
                        let (when, _, fill) = told.get();
                        format!("{when}: {fill}")
                    }
                    on:input=move |event| {
                        if let Ok(index) = event_target_value(&event).parse() {
                            model.go(index);
                        }
                    }
                />
                <div class="cold-ticks" aria-hidden="true">
                    {move || {
                        ticks
                            .get()
                            .into_iter()
                            .map(|Tick { at, room, name }| {
                                let class = match room {
                                    ..60 => "bare",
                                    60..150 => "tight",
                                    _ => "",
                                };
                                view! {
                                    <span class=class style:left=format!("{}.{}%", at / 10, at % 10)>
                                        {name}
                                    </span>
                                }
                            })
                            .collect_view()
                    }}
                </div>
            </div>
            <p class="cold-changes small">
                {move || changes.get()}
            </p>
        </section>
    }
}
