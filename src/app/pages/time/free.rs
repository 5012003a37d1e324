//! What is left: free hours of each day of this week and the next, and how much work a day may hold.

use leptos::prelude::*;
use rackweek::calendar::{Horizon, Windows};

use super::Desk;
use crate::app::intl;
use crate::app::parts::For;

/// Days shown: this week and the next, so that one-off days show too.
const DAYS: u16 = 14;

/// One day of the table.
#[derive(Clone, PartialEq)]
struct FreeDay {
    index: u16,
    name: String,
    free: u32,
    limit: u32,
    spans: String,
}

/// The table.
#[component]
pub(super) fn FreeHours(
    /// Of this page.
    desk: Desk,
) -> impl IntoView {
    let today = Memo::new(move |_| desk.state.now.get().date());
    let days = Memo::new(move |_| {
        let time = desk.time.read();
        let zone = desk.state.zone.get_value();
        let horizon = Horizon::from_monday_of(today.get(), DAYS, zone);
        let windows = Windows::of(&time, &horizon, &[]);
        (0..DAYS)
            .map(|index| {
                let day = horizon.day_span(index);
                let free: Vec<_> = windows.free.iter().filter_map(|w| w.shared(day)).collect();
                let minutes: i32 = free.iter().map(|span| span.minutes()).sum();
                let spans = free
                    .iter()
                    .map(|span| {
                        let (from, to) = (horizon.wall(span.start), horizon.wall(span.end));
                        format!("{}–{}", intl::time(from), intl::time(to))
                    })
                    .collect::<Vec<_>>()
                    .join(", ");
                let date = horizon.date(index);
                FreeDay {
                    index,
                    name: format!("{} {}", intl::weekday_short(date), intl::day_month(date)),
                    free: u32::try_from(minutes).unwrap_or(0),
                    limit: u32::from(time.hands_on_limit(date)),
                    spans,
                }
            })
            .collect::<Vec<_>>()
    });
    let total = move |from: u16| {
        let days = days.read();
        let week = days.iter().filter(|day| day.index / 7 == from);
        intl::duration(week.map(|day| day.free.min(day.limit)).sum())
    };
    view! {
        <section class="card stack tight">
            <h2>"Free hours"</h2>
            <p class="soft small">
                "This week " <strong>{move || total(0)}</strong> " for work by hand, next week "
                <strong>{move || total(1)}</strong> "."
            </p>
            <div class="free-weeks">
                {[0_u16, 1]
                    .map(|week| {
                        view! {
                            <ul class="free-days" aria-label=if week == 0 { "This week" } else { "Next week" }>
                                <For
                                    each=move || {
                                        days.get().into_iter().filter(move |day| day.index / 7 == week)
                                    }
                                    key=|day| (day.index, day.free, day.limit, day.spans.clone())
                                    let(day)
                                >
                                    <li>
                                        <span class="free-name">{day.name}</span>
                                        <meter
                                            class="free-bar"
                                            min="0"
                                            max="900"
                                            value=day.free.min(day.limit)
                                            aria-hidden="true"
                                        ></meter>
                                        <span class="free-hours number">
                                            {if day.free == 0 {
                                                "none".to_owned()
                                            } else {
                                                intl::duration(day.free)
                                            }}
                                        </span>
                                        <span class="free-spans soft small number">
                                            {day.spans}
                                            {(day.free > day.limit && day.free > 0)
                                                .then(|| {
                                                    format!(" · at most {} by hand", intl::duration(day.limit))
                                                })}
                                        </span>
                                    </li>
                                </For>
                            </ul>
                        }
                    })
                    .collect_view()}
            </div>
        </section>
    }
}
