//! What an item comes to, in one line, while it is being entered.

use rackweek::breakdown::{Longest, Stands, Work, break_down_within};
use rackweek::card::{Card, StepKind};
use rackweek::kitchen::Kitchen;
use rackweek::margin::Margins;
use rackweek::order::Order;

use crate::app::intl;

/// The longest sitting that the preview counts with, minutes; clear-up between sittings depends on it.
const LONGEST_SITTING: u32 = 180;
/// The same for fine handwork.
pub(super) const LONGEST: Longest = Longest { hands_on: LONGEST_SITTING, fine: LONGEST_SITTING };

/// An item in a line.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Preview {
    /// For example "24 cookies + 4 spares on 3 trays · about 6 h by hand".
    pub(super) line: String,
    /// Minutes by hand.
    pub(super) by_hand: u32,
    /// What cannot be made as asked.
    pub(super) problems: Vec<String>,
    /// What it takes up, its components too.
    pub(super) stands: Vec<Stands>,
}

/// Breaks an order down and says what comes of it.
pub(super) fn preview(
    order: &Order,
    cards: &[Card],
    kitchen: &Kitchen,
    margins: &Margins,
) -> Preview {
    let cards: Vec<&Card> = cards.iter().collect();
    let work = break_down_within(&[order], &cards, kitchen, LONGEST, margins);
    let by_hand = by_hand(&work);
    // The product's own steps; its components come in grams and batches.
    let own = |card: &str| order.items.iter().any(|item| item.card == card);
    let details = || {
        let steps = work.steps.iter().filter(|step| own(&step.card));
        steps.map(|step| step.detail.as_str()).filter(|detail| !detail.is_empty())
    };
    let what = details()
        .find(|detail| detail.contains("tray") && detail.contains(|c: char| c.is_ascii_digit()))
        .or_else(|| details().next());
    let mut line = what.unwrap_or_default().to_owned();
    if by_hand > 0 {
        if !line.is_empty() {
            line.push_str(" · ");
        }
        line.push_str("about ");
        line.push_str(&intl::duration(by_hand.next_multiple_of(15)));
        line.push_str(" by hand");
    }
    let problems =
        work.notes.iter().filter(|note| note.problem).map(|note| note.text.clone()).collect();
    Preview { line, by_hand, problems, stands: work.stands }
}

fn by_hand(work: &Work) -> u32 {
    work.steps
        .iter()
        .filter(|step| matches!(step.kind, StepKind::Plain | StepKind::Fine))
        .flat_map(|step| &step.sittings)
        .sum()
}
