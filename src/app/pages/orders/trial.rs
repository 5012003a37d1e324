//! The week as it would look: day by day, to be looked at only.

use leptos::prelude::*;
use rackweek::week::{TrialChange, TrialDay, TrialSitting, TrialWeek};

/// A button that opens it, and the trial.
#[component]
pub(super) fn TrialWeekView(
    /// What to show.
    week: TrialWeek,
    /// What it is a trial of, for who hears several such buttons.
    with: String,
) -> impl IntoView {
    let open = RwSignal::new(false);
    let week = StoredValue::new(week);
    view! {
        <button
            type="button"
            class="button"
            aria-expanded=move || open.get().to_string()
            on:click=move |_| open.update(|open| *open = !*open)
        >
            {move || if open.get() { "Hide the week" } else { "Show the week" }}
            <span class="aside">{format!(" with: {with}")}</span>
        </button>
        {move || open.get().then(|| view! { <Days week=week.get_value() /> })}
    }
}

#[component]
fn Days(week: TrialWeek) -> impl IntoView {
    let hours = week
        .hours
        .iter()
        .map(|(left, hour)| view! { <span style:left=share(*left)>{hour.clone()}</span> })
        .collect_view();
    let days = week.days.into_iter().map(|day| view! { <Day day=day /> }).collect_view();
    view! {
        <div class="trial">
            <p class="trial-note">"A trial. Nothing is saved."</p>
            <p class="trial-key small" aria-hidden="true">
                <span class="trial-sign added">"+"</span>
                " this order "
                <span class="trial-sign moved">"→"</span>
                " moves "
                <span class="trial-sign stays"></span>
                " stays"
            </p>
            <div class="trial-hours number" aria-hidden="true">{hours}</div>
            <ol class="trial-days">{days}</ol>
        </div>
    }
}

#[component]
fn Day(day: TrialDay) -> impl IntoView {
    let free = day
        .free
        .iter()
        .map(|(left, width)| {
            view! { <span class="trial-free" style:left=share(*left) style:width=share(*width)></span> }
        })
        .collect_view();
    let bars = day.sittings.iter().map(bar).collect_view();
    let lines = day.sittings.iter().filter_map(line).collect_view();
    let stay = day.sittings.iter().filter(|sitting| sitting.change == TrialChange::Stays).count();
    let leaves =
        day.leaves.map(|time| view! { <li class="trial-leaves">{format!("{time} handover")}</li> });
    let staying = match stay {
        0 => None,
        1 => Some("1 other sitting stays".to_owned()),
        many => Some(format!("{many} other sittings stay")),
    };
    view! {
        <li class="trial-day">
            <p class="trial-date">
                <strong>{day.short}</strong>
                " "
                {day.date}
            </p>
            <div class="trial-bar" aria-hidden="true">{free} {bars}</div>
            <ul class="trial-lines small number">
                {lines} {leaves}
                {staying.map(|text| view! { <li class="aside">{text}</li> })}
            </ul>
        </li>
    }
}

fn bar(sitting: &TrialSitting) -> impl IntoView + use<> {
    let (class, sign) = match sitting.change {
        TrialChange::Added => ("trial-sitting added", "+"),
        TrialChange::Moved(_) => ("trial-sitting moved", "→"),
        TrialChange::Stays => ("trial-sitting stays", ""),
    };
    view! {
        <span
            class=class
            style:left=share(sitting.left)
            style:width=share(sitting.width)
            style:top=share(sitting.top)
            style:height=share(sitting.height)
        >
            {sign}
        </span>
    }
}

/// What changes, in words.
fn line(sitting: &TrialSitting) -> Option<impl IntoView + use<>> {
    let (class, sign, text) = match &sitting.change {
        TrialChange::Added => ("added", "+", format!("{} {}", sitting.time, sitting.name)),
        TrialChange::Moved(from) => {
            ("moved", "→", format!("{} {}, was {from}", sitting.time, sitting.name))
        }
        TrialChange::Stays => return None,
    };
    Some(view! {
        <li>
            <span class=format!("trial-sign {class}") aria-hidden="true">{sign}</span>
            <span>{text}</span>
        </li>
    })
}

/// Thousandths as a share.
fn share(thousandths: i32) -> String {
    format!("{}%", f64::from(thousandths) / 10.0)
}
