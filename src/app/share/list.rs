//! A shared week as a list of days: what the helper sees, and what is shown before it is shared.

use leptos::prelude::*;
use rackweek::order::OrderId;
use rackweek::share::{Entry, EntryKind, SharedOrder, SharedWeek};

use crate::app::intl;
use crate::app::parts::OrderMark;

/// Ticks of a helper, and what hears one.
pub(super) type Ticks = (RwSignal<Vec<usize>>, Callback<usize>);

/// The week's days. Without ticks it can only be looked at.
pub(super) fn days(week: &SharedWeek, ticks: Option<Ticks>) -> AnyView {
    let days = week.days().into_iter().map(|(date, entries)| {
        let rows = entries
            .into_iter()
            .filter_map(|index| {
                let entry = week.entries.get(index)?;
                Some(row(index, entry, week.orders.get(entry.order)?, ticks))
            })
            .collect_view();
        view! {
            <section class="shared-day">
                <h3>{intl::date_long(date)}</h3>
                <ul class="shared-list">{rows}</ul>
            </section>
        }
        .into_any()
    });
    days.collect_view().into_any()
}

/// Allergies by order; nothing when none are told.
pub(super) fn allergies(week: &SharedWeek) -> Option<AnyView> {
    let told: Vec<&SharedOrder> =
        week.orders.iter().filter(|order| !order.allergies.is_empty()).collect();
    if told.is_empty() {
        return None;
    }
    let rows = told
        .into_iter()
        .map(|order| {
            let (mark, text) = (badge(order), order.allergies.clone());
            view! { <li class="row tight">{mark} <span dir="auto">{text}</span></li> }.into_any()
        })
        .collect_view();
    Some(
        view! {
            <section class="banner warn shared-allergies">
                <div class="stack tight">
                    <strong>"Allergies, as noted"</strong>
                    <ul class="shared-list">{rows}</ul>
                </div>
            </section>
        }
        .into_any(),
    )
}

fn badge(order: &SharedOrder) -> AnyView {
    let (tint, letters) = (OrderId(u32::from(order.tint)), order.mark.clone());
    let name = if order.name.is_empty() { letters.clone() } else { order.name.clone() };
    view! {
        <OrderMark id=tint letters=letters />
        <span class="aside">"For " <bdi>{name}</bdi> ": "</span>
    }
    .into_any()
}

/// "Decorated cookies · 24 cookies on 3 trays · sitting 1 of 2".
fn about(entry: &Entry, order: &SharedOrder) -> String {
    let part = entry.part.map(|(one, of)| format!("sitting {one} of {of}")).unwrap_or_default();
    let kind = match entry.kind {
        EntryKind::Fine => "fine handwork",
        EntryKind::Oven => "in the oven",
        EntryKind::Work | EntryKind::TakeOut | EntryKind::Handover => "",
    };
    let done = if entry.done { "done already" } else { "" };
    let all = [&order.name, &entry.product, &entry.detail, &part, kind, done];
    all.into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" · ")
}

fn row(index: usize, entry: &Entry, order: &SharedOrder, ticks: Option<Ticks>) -> AnyView {
    let time = if entry.minutes == 0 {
        intl::time(entry.at)
    } else {
        format!("{}–{}", intl::time(entry.at), intl::time(entry.end()))
    };
    let title = entry.title.clone();
    let words = view! {
        <span class="shared-time number">{time}</span>
        {badge(order)}
        <span class="shared-what">
            <strong dir="auto">{title}</strong>
            <span class="soft small" dir="auto">{about(entry, order)}</span>
        </span>
    };
    match ticks {
        None => view! { <li class="shared-row">{words}</li> }.into_any(),
        Some((ticked, on_tick)) => {
            let is_ticked = move || ticked.read().contains(&index);
            view! {
                <li class="shared-row" class:ticked=is_ticked>
                    <label>
                        <input
                            type="checkbox"
                            prop:checked=is_ticked
                            on:change=move |_| on_tick.run(index)
                        />
                        {words}
                    </label>
                </li>
            }
            .into_any()
        }
    }
}
