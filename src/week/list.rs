//! A day as a list: what a screen reader reads, and what a narrow screen shows.

use crate::calendar::Elapsed;
use crate::plan::arrange::Arrange;

use super::blocks::{Block, BlockKey, BlockKind, BlockState};
use super::view::{Context, DayView};

/// One line of a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListItem {
    /// The sitting; none for a handover.
    pub key: Option<BlockKey>,
    /// When, for the order of the list.
    pub start: Elapsed,
    /// Everything in one sentence: day, start, end, title, order and state.
    pub name: String,
}

/// The lines of a day, by start.
pub(super) fn list(context: &Context<'_>, day: &DayView) -> Vec<ListItem> {
    let mut items: Vec<ListItem> = day
        .blocks
        .iter()
        .map(|block| ListItem {
            key: Some(block.key.clone()),
            start: block.start,
            name: block_name(day.name, &context.order_title(block.order), block),
        })
        .collect();
    items.extend(day.handovers.iter().map(|mark| ListItem {
        key: None,
        start: mark.at,
        name: format!("{} {}, {}", day.name, mark.time, mark.text),
    }));
    items.arrange_by(|a, b| (a.start, &a.name).cmp(&(b.start, &b.name)));
    items
}

/// "Thursday 18:30 to 19:45, Flood the base coat, Decorated cookies for Mira, sitting 2 of 3, pinned".
fn block_name(day: &str, order: &str, block: &Block) -> String {
    let mut name = format!(
        "{day} {}, {}, {} for {order}",
        block.time.replace('–', " to "),
        block.name,
        block.product
    );
    if let Some(part) = block.part_text() {
        name.push_str(", sitting ");
        name.push_str(&part);
    }
    if let Some(helper) = &block.helper {
        name.push_str(", by ");
        name.push_str(helper);
    }
    if block.kind != BlockKind::Plain {
        name.push_str(", ");
        name.push_str(block.kind.text());
    }
    let states = [
        (block.state == BlockState::Done, "done"),
        (block.state == BlockState::Pinned, "pinned"),
        (block.overdue, "not ticked off yet"),
        (!block.breaches.is_empty(), "does not fit"),
        (!block.past_best.is_empty(), "past its best"),
    ];
    for (holds, word) in states {
        if holds {
            name.push_str(", ");
            name.push_str(word);
        }
    }
    name
}
