//! How an order stands in the week that is planned: whether it fits, and its chance to be on time.

use leptos::prelude::*;
use rackweek::order::{OrderId, Stage};
use rackweek::week::Chance;

use crate::app::AppState;
use crate::app::state::PlannedWeek;

/// What is said of it.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Said {
    class: &'static str,
    sign: &'static str,
    text: String,
}

/// A word with a sign beside an order; nothing while nothing is known.
#[component]
pub(super) fn Standing(
    /// Of which order.
    id: OrderId,
) -> impl IntoView {
    let state = expect_context::<AppState>();
    let said = Memo::new(move |_| said(state, id));
    move || {
        said.get().map(|Said { class, sign, text }| {
            view! {
                <span class=class>
                    <span aria-hidden="true">{sign}</span>
                    {text}
                </span>
            }
        })
    }
}

fn said(state: AppState, id: OrderId) -> Option<Said> {
    let confirmed =
        state.book.read().orders.get(&id).is_some_and(|order| order.stage == Stage::Confirmed);
    if !confirmed {
        return None;
    }
    let week = state.plan.get()?;
    let Some(point) = week.outlook.work.handovers.iter().find(|point| point.order == id) else {
        let text = "Not in the week yet".to_owned();
        return Some(Said { class: "badge", sign: "…", text });
    };
    if is_broken(&week, id) {
        let text = "Does not fit: see the week".to_owned();
        return Some(Said { class: "badge bad", sign: "!", text });
    }
    let risk = state.risk.get()?;
    let of = risk.handovers.iter().find(|handover| handover.activity == point.id.0)?;
    let chance = Chance::of(of.on_time, risk.runs);
    let (class, sign) = if chance.is_low() { ("badge warn", "!") } else { ("badge good", "✓") };
    Some(Said { class, sign, text: format!("On time: {}", chance.words()) })
}

/// Whether something of the order breaks a rule in the plan.
fn is_broken(week: &PlannedWeek, id: OrderId) -> bool {
    let own = format!("o{}.", id.0);
    week.report.breaches.iter().any(|breach| breach.id.starts_with(&own))
}
