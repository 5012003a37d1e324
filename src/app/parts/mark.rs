//! The mark of an order: two letters in a tint, an edge and a shape; and its stage in words.

use leptos::prelude::*;
use rackweek::calendar::Weekday;
use rackweek::order::{OrderId, Stage};

/// How many tints and edges there are.
const MARKS: u32 = 8;

/// The class of an order's mark.
pub(crate) fn mark_class(id: OrderId) -> String {
    format!("mark-{}", id.0 % MARKS)
}

/// The mark; its letters are said only together with what stands beside it.
#[component]
pub(crate) fn OrderMark(
    /// Whose.
    id: OrderId,
    /// What is written in it.
    letters: String,
) -> impl IntoView {
    view! { <span class=format!("mark {}", mark_class(id)) aria-hidden="true">{letters}</span> }
}

/// A stage as a word with a sign.
#[component]
pub(crate) fn StageBadge(
    /// Which.
    stage: Stage,
) -> impl IntoView {
    let (class, sign) = match stage {
        Stage::Enquiry => ("badge", "?"),
        Stage::Quoted => ("badge warn", "≈"),
        Stage::Confirmed => ("badge good", "✓"),
        Stage::HandedOver => ("badge", "✓✓"),
        Stage::Declined => ("badge", "×"),
    };
    view! {
        <span class=class>
            <span aria-hidden="true">{sign}</span>
            {stage_name(stage)}
        </span>
    }
}

/// The stage's word, as the start of a line.
pub(crate) fn stage_name(stage: Stage) -> String {
    capital(stage.words())
}

/// A day's name of which only the short form is seen.
#[component]
pub(crate) fn DayName(
    /// Which.
    day: Weekday,
) -> impl IntoView {
    let rest = day.name().get(day.short().len()..).unwrap_or_default();
    view! {
        {day.short()}
        <span class="aside">{rest}</span>
    }
}

/// With a capital at its start.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
