//! What follows what in a card: the order of its steps by rests.

use std::collections::{BTreeMap, BTreeSet};

use super::Card;

/// A step that comes again after itself, if there is one.
pub(super) fn step_on_a_circle(card: &Card) -> Option<&str> {
    card.steps.iter().map(|step| step.id.as_str()).find(|id| after(card, id).contains(id))
}

/// A step from which no rests lead to the last step, if there is one.
pub(super) fn step_that_leads_nowhere(card: &Card) -> Option<&str> {
    let last = card.steps.last()?.id.as_str();
    card.steps
        .iter()
        .map(|step| step.id.as_str())
        .find(|id| *id != last && !after(card, id).contains(last))
}

/// All steps that come after one, by following rests.
fn after<'a>(card: &'a Card, step: &str) -> BTreeSet<&'a str> {
    let mut next: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for rest in &card.rests {
        next.entry(&rest.from).or_default().push(&rest.to);
    }
    let mut seen = BTreeSet::new();
    let mut open: Vec<&str> = next.get(step).cloned().unwrap_or_default();
    while let Some(id) = open.pop() {
        if seen.insert(id) {
            open.extend(next.get(id).into_iter().flatten());
        }
    }
    seen
}
