//! One sitting as a block.

use leptos::prelude::*;
use rackweek::week::{Block, BlockKey, BlockKind, BlockState, DayView};

use super::column::px;
use super::model::WeekModel;
use super::sign::{Sign, SignView};
use crate::app::parts::mark_class;

/// A block: a grip that drags it, and a button that opens its sheet.
#[component]
pub(super) fn BlockView(
    /// The day that it stands on.
    day: Memo<Option<DayView>>,
    /// Which sitting.
    key: BlockKey,
) -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let wanted = key.clone();
    let block = Memo::new(move |_| {
        day.with(|day| day.as_ref()?.blocks.iter().find(|block| block.key == wanted).cloned())
    });
    let wanted = key.clone();
    let name = Memo::new(move |_| {
        day.with(|day| {
            let items = day.as_ref().map_or(&[][..], |day| day.list.as_slice());
            let own = items.iter().find(|item| item.key.as_ref() == Some(&wanted));
            own.map_or_else(String::new, |item| item.name.clone())
        })
    });
    let number = move |pick: fn(&Block) -> i32| move || block.with(|b| b.as_ref().map_or(0, pick));
    let (top, height) = (number(|b| b.top), number(|b| b.height));
    let (left, width) = (number(|b| b.left), number(|b| b.width));
    let class = move || block.with(|block| block.as_ref().map_or_else(String::new, block_class));
    let (lifted_key, open_key) = (key.clone(), key.clone());
    let lifted =
        move || model.moving.read().as_ref().is_some_and(|moving| moving.reach.key == lifted_key);
    let displaced_key = key.clone();
    let displaced = move || model.displaced_keys.with(|keys| keys.contains(&displaced_key));
    let selected_key = key.clone();
    let selected = move || model.selected.read().as_ref() == Some(&selected_key);
    let (name_attr, grip_attr) = (key.to_string(), key.to_string());
    view! {
        <li
            class=class
            class:lifted=lifted
            class:displaced=displaced
            class:selected=selected
            style:top=move || px(top())
            style:height=move || px(height())
            style:left=move || format!("{}%", f64::from(left()) / 10.0)
            style:width=move || format!("{}%", f64::from(width()) / 10.0)
        >
            // Seen only: the button over it says all of this in one sentence.
            <div class="week-face" aria-hidden="true">
                {move || block.get().map(|block| view! { <Face block=block /> })}
            </div>
            <button
                type="button"
                class="week-open"
                data-block=name_attr
                data-to-scale=""
                aria-label=move || name.get()
                aria-haspopup="dialog"
                on:click=move |_| {
                    if model.moving.read_untracked().is_none() {
                        model.selected.set(Some(open_key.clone()));
                    }
                }
            ></button>
            <span class="week-grip" data-grip="" data-block=grip_attr aria-hidden="true">
                <span>{move || block.with(|b| b.as_ref().map_or_else(String::new, |b| b.mark.clone()))}</span>
            </span>
        </li>
    }
}

fn block_class(block: &Block) -> String {
    let kind = match block.kind {
        BlockKind::Plain => "plain",
        BlockKind::Fine => "fine",
        BlockKind::Oven => "oven",
    };
    let mut class = format!("week-block {kind} {}", mark_class(block.order));
    let flags = [
        (block.state == BlockState::Pinned, " pinned"),
        (block.state == BlockState::Done, " done"),
        (block.overdue, " overdue"),
        (!block.breaches.is_empty(), " broken"),
        (block.height < 40, " low"),
        (block.width < 400, " slim"),
    ];
    for (holds, word) in flags {
        if holds {
            class.push_str(word);
        }
    }
    // Lines of the name that have room under the time; the style clamps at so many.
    let lines = ((block.height * 4 - 78) / 55).clamp(1, 6);
    format!("{class} lines-{lines}")
}

/// What is written on it.
#[component]
fn Face(block: Block) -> impl IntoView {
    let signs = [
        (!block.breaches.is_empty(), Sign::Warn),
        (!block.past_best.is_empty(), Sign::Old),
        (block.helper.is_some(), Sign::Hands),
        (block.state == BlockState::Done, Sign::Done),
        (block.state == BlockState::Pinned, Sign::Pin),
        (block.overdue, Sign::Late),
        (block.kind == BlockKind::Fine, Sign::Fine),
        (block.kind == BlockKind::Oven, Sign::Oven),
    ];
    let signs = signs
        .into_iter()
        .filter(|(holds, _)| *holds)
        .map(|(_, sign)| view! { <SignView sign=sign /> })
        .collect_view();
    let (start, end) = block.time.split_once('–').unwrap_or((block.time.as_str(), ""));
    let (start, end) = (start.to_owned(), format!("–{end}"));
    view! {
        <span class="week-when">
            <span>{start}</span>
            <span class="week-end">{end}</span>
        </span>
        <span class="week-what">{block.name.clone()}</span>
        {block.part_text().map(|part| view! { <span class="week-part">{part}</span> })}
        <span class="week-product">{block.product.clone()}</span>
        <span class="week-signs">{signs}</span>
    }
}
