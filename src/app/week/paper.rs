//! The week on one sheet of paper: seven columns with what is to be done, to be ticked by hand.

use leptos::prelude::*;
use rackweek::plan::arrange::Arrange;
use rackweek::week::{Block, BlockState, DayView};

use super::model::WeekModel;
use crate::app::intl;
use crate::app::parts::printing;

/// Drawn for the printer only. What stands in it is in the week already, so it is hidden from readers.
#[component]
pub(super) fn WeekPaper() -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let printing = printing();
    let paper = move || {
        let view = printing.get().then(|| model.view.get()).flatten()?;
        let days = view.days.iter().map(column).collect_view();
        Some(view! {
            <p class="week-paper-title">{view.title.clone()}</p>
            <div class="week-paper-days">{days}</div>
        })
    };
    view! {
        <div class="week-paper" aria-hidden="true">
            {paper}
        </div>
    }
}

/// What happens on a day, by start.
fn column(day: &DayView) -> AnyView {
    let blocks = day.blocks.iter().map(|block| (block.start, line(block)));
    let leaves = day.handovers.iter().map(|mark| {
        let leaves = view! {
            <li class="week-paper-leaves">
                <strong>{format!("⚑ {} {}", mark.time, mark.mark)}</strong>
                " "
                {mark.text.clone()}
            </li>
        };
        (mark.at, leaves.into_any())
    });
    let mut lines: Vec<_> = blocks.chain(leaves).collect();
    lines.arrange_by_key(|(at, _)| *at);
    let lines = lines.into_iter().map(|(_, line)| line).collect_view();
    let by_hand = u32::try_from(day.hands_on).ok().filter(|minutes| 0 < *minutes);
    let by_hand = by_hand.map(intl::duration);
    view! {
        <section>
            <p class="week-paper-day">
                <strong>{format!("{} {}", day.short, day.date_text)}</strong>
                " "
                {by_hand}
            </p>
            <ul>{lines}</ul>
        </section>
    }
    .into_any()
}

fn line(block: &Block) -> AnyView {
    let tick = if block.state == BlockState::Done { "☑" } else { "☐" };
    let part = block.part_text().map(|part| format!(" ({part})"));
    view! {
        <li>
            {format!("{tick} {}", block.time)}
            " "
            <strong>{format!("{} {}", block.mark, block.name)}</strong>
            {part}
            {block.helper.as_ref().map(|helper| format!(" by {helper}"))}
            <span>{format!(" {}", block.detail)}</span>
        </li>
    }
    .into_any()
}
