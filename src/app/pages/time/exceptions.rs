//! Days that differ: a day off, a one-off commitment, a day without baking, hours against the habit.

use leptos::prelude::*;
use rackweek::calendar::{Date, Exception, ExceptionKind, MyTime, TimeOfDay};
use rackweek::plan::arrange::Arrange;

use super::{Clock, Desk};
use crate::app::intl;
use crate::app::parts::{For, Icon, Input, Remove, Switch};

/// All days that differ, the next one first.
#[component]
pub(super) fn Exceptions(
    /// Of this page.
    desk: Desk,
) -> impl IntoView {
    let ids = Memo::new(move |_| {
        let time = desk.time.read();
        let mut sorted: Vec<&Exception> = time.exceptions.iter().collect();
        sorted.arrange_by_key(|exception| (exception.date, exception.id));
        sorted.into_iter().map(|exception| exception.id).collect::<Vec<u32>>()
    });
    let add = move |kind: ExceptionKind, label: &'static str| {
        let date = desk.state.now.get_untracked().date().plus_days(1);
        desk.change_or_say(|time| {
            let id = time.next_exception();
            time.exceptions.push(Exception { id, date, kind, label: label.to_owned() });
        });
    };
    let evening =
        ExceptionKind::Busy { start: TimeOfDay(18 * 60), end: TimeOfDay(21 * 60), away: true };
    let late = ExceptionKind::Extra { start: TimeOfDay(22 * 60), end: TimeOfDay(23 * 60) };
    let helper = ExceptionKind::Helper { start: TimeOfDay(18 * 60), end: TimeOfDay(21 * 60) };
    view! {
        <section class="card stack">
            <h2>"Days that differ"</h2>
            <For each=move || ids.get() key=|id| *id let(id)>
                <ExceptionRow desk=desk id=id />
            </For>
            <div class="row tight">
                <button
                    type="button"
                    class="button"
                    on:click=move |_| add(ExceptionKind::DayOff, "day off")
                >
                    <Icon name="plus" />
                    "Day off from the job"
                </button>
                <button
                    type="button"
                    class="button"
                    on:click=move |_| add(evening.clone(), "parents’ evening")
                >
                    <Icon name="plus" />
                    "Something on"
                </button>
                <button
                    type="button"
                    class="button"
                    on:click=move |_| add(ExceptionKind::NoBaking, "no baking")
                >
                    <Icon name="plus" />
                    "Day without baking"
                </button>
                <button
                    type="button"
                    class="button"
                    on:click=move |_| add(late.clone(), "up late")
                >
                    <Icon name="plus" />
                    "Extra time to work"
                </button>
                <button
                    type="button"
                    class="button"
                    on:click=move |_| add(helper.clone(), "a helper")
                >
                    <Icon name="plus" />
                    "Somebody helps"
                </button>
            </div>
        </section>
    }
}

fn find(time: &MyTime, id: u32) -> Option<&Exception> {
    time.exceptions.iter().find(|exception| exception.id == id)
}

fn find_mut(time: &mut MyTime, id: u32) -> Option<&mut Exception> {
    time.exceptions.iter_mut().find(|exception| exception.id == id)
}

/// One day.
#[component]
fn ExceptionRow(
    /// Of this page.
    desk: Desk,
    /// Which.
    id: u32,
) -> impl IntoView {
    let exception = Memo::new(move |_| find(&desk.time.read(), id).cloned());
    let edit = move |change: &dyn Fn(&mut Exception)| {
        desk.change(|time| {
            if let Some(exception) = find_mut(time, id) {
                change(exception);
            }
        })
    };
    let label = Signal::derive(move || {
        exception.read().as_ref().map_or(String::new(), |e| e.label.clone())
    });
    let date = Signal::derive(move || {
        exception.read().as_ref().map_or(String::new(), |e| e.date.to_string())
    });
    let name_wrong = RwSignal::new(None);
    let date_wrong = RwSignal::new(None);
    let rename = move |text: String| name_wrong.set(edit(&|e| e.label.clone_from(&text)).err());
    let move_to = move |text: String| {
        let answer = text
            .parse::<Date>()
            .map_err(|error| error.to_string())
            .and_then(|date| edit(&|e| e.date = date));
        date_wrong.set(answer.err());
    };
    let is = move |test: fn(&ExceptionKind) -> bool| {
        Memo::new(move |_| exception.read().as_ref().is_some_and(|e| test(&e.kind)))
    };
    let busy = is(|kind| matches!(kind, ExceptionKind::Busy { .. }));
    let hours = is(|kind| kind.hours().is_some());
    let away = Signal::derive(move || {
        exception
            .read()
            .as_ref()
            .is_some_and(|e| matches!(e.kind, ExceptionKind::Busy { away: true, .. }))
    });
    let what = move || {
        exception.read().as_ref().map(|exception| {
            let what = match exception.kind {
                ExceptionKind::DayOff => "Day off from the job",
                ExceptionKind::Busy { .. } => "Something on",
                ExceptionKind::NoBaking => "Day without baking",
                ExceptionKind::Extra { .. } => "Extra time to work",
                ExceptionKind::Helper { .. } => "Somebody helps",
            };
            format!("{what}, {}", intl::date_long(exception.date))
        })
    };
    let remove = move |_| {
        desk.change_or_say(|time| time.exceptions.retain(|exception| exception.id != id));
        desk.state.say("Day removed", true);
    };
    view! {
        <div class="span" role="group" aria-label=what>
            <p class="span-what soft small">{what}</p>
            <Input
                id=format!("day-{id}-label")
                label="Name"
                value=label
                on_change=rename
                error=name_wrong
                longest=80
            />
            <Input
                id=format!("day-{id}-date")
                label="Date"
                kind="date"
                value=date
                on_change=move_to
                error=date_wrong
            />
            {move || {
                hours
                    .get()
                    .then(|| {
                        view! {
                            <Clock desk=desk id=format!("day-{id}-start") label="From" get=start_of(id) set=set_start(id) />
                            <Clock desk=desk id=format!("day-{id}-end") label="To" get=end_of(id) set=set_end(id) />
                        }
                    })
            }}
            {move || {
                busy.get()
                    .then(|| {
                        view! {
                            <Switch
                                id=format!("day-{id}-away")
                                label="Away from home"
                                on=away
                                on_change=move |on| {
                                    let answer = edit(
                                        &|exception| {
                                            if let ExceptionKind::Busy { away, .. } = &mut exception.kind {
                                                *away = on;
                                            }
                                        },
                                    );
                                    name_wrong.set(answer.err());
                                }
                            />
                        }
                    })
            }}
            <Remove what=label on_remove=remove />
        </div>
    }
}

/// From when to when; midnight where there are no hours.
fn hours_of(time: &MyTime, id: u32) -> (TimeOfDay, TimeOfDay) {
    let hours = find(time, id).and_then(|exception| exception.kind.hours());
    hours.unwrap_or((TimeOfDay::MIDNIGHT, TimeOfDay::MIDNIGHT))
}

fn start_of(id: u32) -> impl Fn(&MyTime) -> TimeOfDay + Send + Sync + 'static {
    move |time| hours_of(time, id).0
}

fn end_of(id: u32) -> impl Fn(&MyTime) -> TimeOfDay + Send + Sync + 'static {
    move |time| hours_of(time, id).1
}

fn set_start(id: u32) -> impl Fn(&mut MyTime, TimeOfDay) + Send + Sync + 'static {
    move |time, at| {
        if let Some(exception) = find_mut(time, id) {
            exception.kind.set_hours(Some(at), None);
        }
    }
}

fn set_end(id: u32) -> impl Fn(&mut MyTime, TimeOfDay) + Send + Sync + 'static {
    move |time, at| {
        if let Some(exception) = find_mut(time, id) {
            exception.kind.set_hours(None, Some(at));
        }
    }
}
