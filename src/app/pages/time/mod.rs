//! The baker's time: day job, sleep, family, days that differ, limits; and the hours that this leaves.

mod exceptions;
mod free;
mod margins;
mod setup;
mod spans;

use leptos::prelude::*;
use rackweek::calendar::{MyTime, TimeOfDay};
use rackweek::record::Command;

pub(crate) use self::setup::TimeStep;
use crate::app::AppState;
use crate::app::parts::{Input, Measure};

/// What the parts of this page share.
#[derive(Clone, Copy)]
struct Desk {
    state: AppState,
    time: Memo<MyTime>,
}

impl Desk {
    fn new(state: AppState) -> Self {
        let time =
            Memo::new(move |_| state.book.read().time.clone().unwrap_or_else(MyTime::typical));
        Self { state, time }
    }

    /// Changes her time in the book, or says what is wrong.
    fn change(self, edit: impl FnOnce(&mut MyTime)) -> Result<(), String> {
        let mut time = self.time.get_untracked();
        edit(&mut time);
        self.state.apply(Command::SetTime(time)).map_err(|refusals| {
            refusals.first().map_or_else(String::new, |refusal| refusal.message.clone())
        })
    }

    /// For changes that have no field to show an error at.
    fn change_or_say(self, edit: impl FnOnce(&mut MyTime)) {
        if let Err(why) = self.change(edit) {
            self.state.say(why, false);
        }
    }
}

/// The page.
#[component]
pub(crate) fn TimePage() -> impl IntoView {
    let desk = Desk::new(expect_context::<AppState>());
    view! {
        <section class="page narrow stack">
            <p class="soft">
                "What is fixed, and what is left of it. Each change counts at once; the week is planned again."
            </p>
            <free::FreeHours desk=desk />
            <section class="card stack">
                <h2>"Day job"</h2>
                <spans::Spans desk=desk list=spans::DAY_JOB />
                <div class="grid-2">
                    <Minutes
                        desk=desk
                        id="travel"
                        label="Way there, and the same way back"
                        get=|time| time.travel
                        set=|time, minutes| time.travel = minutes
                    />
                    <Minutes
                        desk=desk
                        id="settle"
                        label="Before you start, after waking and coming home"
                        get=|time| time.settle
                        set=|time, minutes| time.settle = minutes
                    />
                </div>
            </section>
            <section class="card stack">
                <h2>"Sleep"</h2>
                <div class="grid-2">
                    <Clock
                        desk=desk
                        id="bedtime"
                        label="To bed"
                        get=|time| time.bedtime
                        set=|time, at| time.bedtime = at
                    />
                    <Clock
                        desk=desk
                        id="wake"
                        label="Up"
                        get=|time| time.wake
                        set=|time, at| time.wake = at
                    />
                </div>
            </section>
            <section class="card stack">
                <h2>"Family time"</h2>
                <p class="soft small">"Hours that stay yours, every week."</p>
                <spans::Spans desk=desk list=spans::FAMILY />
            </section>
            <exceptions::Exceptions desk=desk />
            <section class="card stack">
                <h2>"Rhythm"</h2>
                <p class="soft small">
                    "Taken out of the time to work; what bakes or rests goes on. 0 asks for none."
                </p>
                <div class="grid-3">
                    <Minutes
                        desk=desk
                        id="wind-down"
                        label="Tidying up before bed"
                        get=|time| time.rhythm.wind_down
                        set=|time, minutes| time.rhythm.wind_down = minutes
                    />
                    <Minutes
                        desk=desk
                        id="break-after"
                        label="A break after working for"
                        get=|time| time.rhythm.break_after
                        set=|time, minutes| time.rhythm.break_after = minutes
                    />
                    <Minutes
                        desk=desk
                        id="break-length"
                        label="Length of a break"
                        get=|time| time.rhythm.break_length
                        set=|time, minutes| time.rhythm.break_length = minutes
                    />
                </div>
            </section>
            <section class="card stack">
                <h2>"Limits of a day"</h2>
                <p class="soft small">
                    "The plan never asks for more work by hand in one day. Fine handwork is piping, lettering and painting."
                </p>
                <div class="grid-3">
                    <Minutes
                        desk=desk
                        id="limit-workday"
                        label="On a day with day job"
                        get=|time| time.limits.hands_on_workday
                        set=|time, minutes| time.limits.hands_on_workday = minutes
                    />
                    <Minutes
                        desk=desk
                        id="limit-free"
                        label="On a day without"
                        get=|time| time.limits.hands_on_free_day
                        set=|time, minutes| time.limits.hands_on_free_day = minutes
                    />
                    <Minutes
                        desk=desk
                        id="limit-fine"
                        label="Fine handwork on any day"
                        get=|time| time.limits.fine
                        set=|time, minutes| time.limits.fine = minutes
                    />
                </div>
            </section>
            <margins::Learned />
        </section>
    }
}

/// A number of minutes.
#[component]
fn Minutes(
    /// Of this page.
    desk: Desk,
    /// Unique on the page.
    id: &'static str,
    /// What takes them.
    label: &'static str,
    /// Reads it.
    get: fn(&MyTime) -> u16,
    /// Writes it.
    set: fn(&mut MyTime, u16),
) -> impl IntoView {
    let value = Signal::derive(move || i64::from(get(&desk.time.read())));
    let commit = move |minutes: i64| {
        let minutes = u16::try_from(minutes.max(0)).unwrap_or(u16::MAX);
        desk.change(|time| set(time, minutes))
    };
    view! { <Measure id=id label=label unit="min" value=value on_commit=commit /> }
}

/// A time of day.
#[component]
fn Clock(
    /// Of this page.
    desk: Desk,
    /// Unique on the page.
    #[prop(into)]
    id: String,
    /// What happens then.
    label: &'static str,
    /// Reads it.
    get: impl Fn(&MyTime) -> TimeOfDay + Send + Sync + 'static,
    /// Writes it.
    set: impl Fn(&mut MyTime, TimeOfDay) + Send + Sync + 'static,
) -> impl IntoView {
    let value = Signal::derive(move || padded(get(&desk.time.read())));
    let error = RwSignal::new(None);
    let change = move |text: String| {
        let answer = text
            .parse::<TimeOfDay>()
            .map_err(|error| error.to_string())
            .and_then(|at| desk.change(|time| set(time, at)));
        error.set(answer.err());
    };
    view! { <Input id=id label=label kind="time" value=value on_change=change error=error /> }
}

/// As a time field wants it, for example `08:30`; the end of a day is its midnight.
fn padded(at: TimeOfDay) -> String {
    let minutes = at.0 % 1440;
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}
