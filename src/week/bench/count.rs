//! Pieces of a batch: what was ordered, what is made with the spares, what she counted.

use crate::breakdown::{Step, StepId};
use crate::card::{Card, find_card};
use crate::record::Progress;
use crate::week::view::Context;

/// The pieces of the batch that a sitting works on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Count {
    /// What the client gets.
    pub ordered: u32,
    /// What is made, spares and all.
    pub made: u32,
    /// What is still whole, as far as she counted.
    pub whole: u32,
    /// Whether she counted at this very step.
    pub counted: bool,
    /// "cookies".
    pub word: String,
}

impl Count {
    /// How many are lacking for the order.
    pub fn short(&self) -> u32 {
        self.ordered.saturating_sub(self.whole)
    }

    /// "28 of 28 cookies: 24 ordered, 4 spares".
    pub fn words(&self) -> String {
        let Self { ordered, made, whole, word, .. } = self;
        match (self.short(), whole.saturating_sub(*ordered)) {
            (0, 0) => format!("{whole} of {made} {word}: just what was ordered, no spare left"),
            (0, 1) => format!("{whole} of {made} {word}: {ordered} ordered, 1 spare"),
            (0, spares) => format!("{whole} of {made} {word}: {ordered} ordered, {spares} spares"),
            (short, _) => {
                format!("{whole} of {made} {word}: {short} short of the {ordered} ordered")
            }
        }
    }
}

/// None for what is made beside the pieces (a component), and for a single piece.
pub(super) fn count(context: &Context<'_>, cards: &[Card], step: &Step) -> Option<Count> {
    let order = context.order(step.order)?;
    let item = order.items.iter().find(|item| item.id == step.item)?;
    let made = item.count.saturating_add(item.spares);
    if item.card != step.card || made < 2 {
        return None;
    }
    let known: Vec<&Card> = cards.iter().collect();
    let word = find_card(&known, &item.card, &item.versions)?.pieces.clone();
    let progress = &context.input.book.progress;
    let own = |id: &StepId| progress.get(id).and_then(Progress::came_out);
    // What broke stays broken: the last count on the way here holds.
    let steps = context.input.outlook.work.steps.iter();
    let before = steps.filter(|other| other.order == step.order && other.item == step.item);
    let here = own(&step.id);
    let last = before
        .filter_map(|other| {
            let went = progress.get(&other.id)?;
            Some((went.latest()?, went.came_out()?))
        })
        .max_by_key(|(at, _)| *at);
    let whole = here.or(last.map(|(_, pieces)| pieces)).unwrap_or(made);
    Some(Count { ordered: item.count, made, whole, counted: here.is_some(), word })
}
