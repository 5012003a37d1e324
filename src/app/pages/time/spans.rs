//! Weekly hours: day job and family time.

use leptos::prelude::*;
use rackweek::calendar::{MyTime, TimeOfDay, Weekday, WeeklySpan};

use super::{Clock, Desk};
use crate::app::parts::{DayName, ErrorLine, For, Icon, Input, Remove, Switch};

/// One list of weekly hours.
#[derive(Clone, Copy)]
pub(super) struct List {
    group: &'static str,
    add: &'static str,
    example: &'static str,
    asks_away: bool,
    get: fn(&MyTime) -> &Vec<WeeklySpan>,
    get_mut: fn(&mut MyTime) -> &mut Vec<WeeklySpan>,
}

pub(super) const DAY_JOB: List = List {
    group: "job",
    add: "Add hours",
    example: "day job",
    asks_away: false,
    get: |time| &time.day_job,
    get_mut: |time| &mut time.day_job,
};

pub(super) const FAMILY: List = List {
    group: "family",
    add: "Add family time",
    example: "dinner",
    asks_away: true,
    get: |time| &time.family,
    get_mut: |time| &mut time.family,
};

/// All hours of one list.
#[component]
pub(super) fn Spans(
    /// Of this page.
    desk: Desk,
    /// Which.
    list: List,
) -> impl IntoView {
    let count = Memo::new(move |_| (list.get)(&desk.time.read()).len());
    let add = move |_| {
        desk.change_or_say(|time| {
            (list.get_mut)(time).push(WeeklySpan {
                label: list.example.to_owned(),
                days: Weekday::WORKDAYS.to_vec(),
                start: TimeOfDay(if list.asks_away { 18 * 60 } else { 9 * 60 }),
                end: TimeOfDay(if list.asks_away { 19 * 60 } else { 17 * 60 }),
                away: !list.asks_away,
            });
        });
    };
    view! {
        <For each=move || 0..count.get() key=|index| *index let(index)>
            <SpanRow desk=desk list=list index=index />
        </For>
        <div>
            <button type="button" class="button" on:click=add>
                <Icon name="plus" />
                {list.add}
            </button>
        </div>
    }
}

/// One stretch of hours on some days.
#[component]
fn SpanRow(
    /// Of this page.
    desk: Desk,
    /// Which list.
    list: List,
    /// Which stretch.
    index: usize,
) -> impl IntoView {
    let span = Memo::new(move |_| (list.get)(&desk.time.read()).get(index).cloned());
    let edit = move |change: &dyn Fn(&mut WeeklySpan)| {
        desk.change(|time| {
            if let Some(span) = (list.get_mut)(time).get_mut(index) {
                change(span);
            }
        })
    };
    let at = move |read: fn(&WeeklySpan) -> TimeOfDay| {
        move |time: &MyTime| (list.get)(time).get(index).map_or(TimeOfDay::MIDNIGHT, read)
    };
    let set = move |write: fn(&mut WeeklySpan, TimeOfDay)| {
        move |time: &mut MyTime, at: TimeOfDay| {
            if let Some(span) = (list.get_mut)(time).get_mut(index) {
                write(span, at);
            }
        }
    };
    let label =
        Signal::derive(move || span.read().as_ref().map_or(String::new(), |s| s.label.clone()));
    let wrong = RwSignal::new(None);
    let rename = move |text: String| wrong.set(edit(&|span| span.label.clone_from(&text)).err());
    let days_wrong = RwSignal::new(None);
    let days = Weekday::ALL
        .into_iter()
        .map(|day| {
            let on = move || span.read().as_ref().is_some_and(|s| s.days.contains(&day));
            let toggle = move |_| {
                let answer = edit(&|span| {
                    let mut days = span.days.clone();
                    if days.contains(&day) {
                        days.retain(|other| *other != day);
                    } else {
                        days.push(day);
                    }
                    // In the week's order, however they were pressed.
                    span.days = Weekday::ALL.into_iter().filter(|d| days.contains(d)).collect();
                });
                days_wrong.set(answer.err());
            };
            view! {
                <button
                    type="button"
                    class="button day"
                    aria-pressed=move || on().to_string()
                    on:click=toggle
                >
                    <DayName day=day />
                </button>
            }
        })
        .collect_view();
    let remove = move |_| {
        desk.change_or_say(|time| {
            let spans = (list.get_mut)(time);
            if index < spans.len() {
                spans.remove(index);
            }
        });
        desk.state.say("Hours removed", true);
    };
    let id = |field: &str| format!("{}-{index}-{field}", list.group);
    view! {
        <div class="span" role="group" aria-label=move || label.get()>
            <Input id=id("label") label="Name" value=label on_change=rename error=wrong longest=80 />
            <Clock
                desk=desk
                id=id("start")
                label="From"
                get=at(|span| span.start)
                set=set(|span, at| span.start = at)
            />
            <Clock
                desk=desk
                id=id("end")
                label="To"
                get=at(|span| span.end)
                set=set(|span, at| span.end = at)
            />
            <div class="field days">
                <span class="label">"Days"</span>
                <div class="row tight" role="group" aria-label="Days">
                    {days}
                </div>
                <ErrorLine id=id("days") error=days_wrong />
            </div>
            <Remove what=label on_remove=remove />
            {list
                .asks_away
                .then(|| {
                    view! {
                        <Switch
                            id=id("away")
                            label="Away from home"
                            hint="Then nobody watches the oven."
                            on=Signal::derive(move || span.read().as_ref().is_some_and(|s| s.away))
                            on_change=move |away| {
                                wrong.set(edit(&|span| span.away = away).err());
                            }
                        />
                    }
                })}
        </div>
    }
}
