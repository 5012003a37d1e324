//! The second step of the set-up: day job and sleep, in four lines.

use leptos::prelude::*;
use rackweek::calendar::{MyTime, TimeOfDay, Weekday, WeeklySpan};

use super::padded;
use crate::app::parts::{DayName, Icon, Input};

/// A time field of this step.
#[derive(Clone, Copy)]
struct Line {
    text: RwSignal<String>,
    error: RwSignal<Option<String>>,
}

impl Line {
    fn new(at: TimeOfDay) -> Self {
        Self { text: RwSignal::new(padded(at)), error: RwSignal::new(None) }
    }

    fn read(self) -> Option<TimeOfDay> {
        let read = self.text.read_untracked().parse::<TimeOfDay>();
        self.error.set(read.as_ref().err().map(ToString::to_string));
        read.ok()
    }

    fn view(self, id: &'static str, label: &'static str) -> impl IntoView {
        view! {
            <Input
                id=id
                label=label
                kind="time"
                value=self.text
                error=self.error
                on_input=move |text| self.text.set(text)
            />
        }
    }
}

/// The step; hands over her time when it is complete.
#[component]
pub(crate) fn TimeStep(
    /// Gets it.
    #[prop(into)]
    on_done: Callback<MyTime>,
) -> impl IntoView {
    let usual = MyTime::typical();
    let job = usual.day_job.first().cloned();
    let days = RwSignal::new(job.as_ref().map_or_else(Vec::new, |job| job.days.clone()));
    let start = Line::new(job.as_ref().map_or(TimeOfDay::MIDNIGHT, |job| job.start));
    let end = Line::new(job.as_ref().map_or(TimeOfDay::MIDNIGHT, |job| job.end));
    let bed = Line::new(usual.bedtime);
    let wake = Line::new(usual.wake);
    let travel = RwSignal::new(usual.travel.to_string());
    let travel_error = RwSignal::new(None);
    let buttons = Weekday::ALL
        .into_iter()
        .map(|day| {
            view! {
                <button
                    type="button"
                    class="button day"
                    aria-pressed=move || days.read().contains(&day).to_string()
                    on:click=move |_| {
                        days.update(|days| {
                            if days.contains(&day) {
                                days.retain(|other| *other != day);
                            } else {
                                days.push(day);
                            }
                        });
                    }
                >
                    <DayName day=day />
                </button>
            }
        })
        .collect_view();
    let usual = StoredValue::new(usual);
    let done = move |_| {
        let way = travel.read_untracked().trim().parse::<u16>().ok().filter(|way| *way <= 240);
        travel_error.set(way.is_none().then(|| {
            format!("“{}” is not possible; write 0 to 240, for example 30", travel.read_untracked())
        }));
        let (Some(start), Some(end), Some(bedtime), Some(wake), Some(travel)) =
            (start.read(), end.read(), bed.read(), wake.read(), way)
        else {
            return;
        };
        let chosen = days.get_untracked();
        let chosen: Vec<Weekday> =
            Weekday::ALL.into_iter().filter(|d| chosen.contains(d)).collect();
        let day_job = if chosen.is_empty() {
            Vec::new()
        } else {
            vec![WeeklySpan { label: "day job".to_owned(), days: chosen, start, end, away: true }]
        };
        on_done.run(MyTime { day_job, travel, bedtime, wake, ..usual.get_value() });
    };
    view! {
        <div class="card stack">
            <div class="field days">
                <span class="label">"Day job on"</span>
                <div class="row tight" role="group" aria-label="Day job on">
                    {buttons}
                </div>
            </div>
            <div class="grid-auto">
                {start.view("first-start", "From")} {end.view("first-end", "To")}
                <Input
                    id="first-travel"
                    label="Way there, and back"
                    unit="min"
                    keyboard="numeric"
                    value=travel
                    error=travel_error
                    on_input=move |text| travel.set(text)
                    longest=3
                />
            </div>
            <div class="grid-auto">
                {bed.view("first-bed", "To bed")} {wake.view("first-wake", "Up")}
            </div>
            <div>
                <button type="button" class="button strong" on:click=done>
                    <Icon name="check" />
                    "Go on to the first order"
                </button>
            </div>
        </div>
    }
}
