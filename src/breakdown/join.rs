//! Rests of a card as they are for one item: steps that are left out join the rests around them.

use crate::card::{Card, CardRest, RestMode};

use super::counts::Counts;
use super::wait::reckon;
use crate::heat::Climate;

/// A rest between two steps that both happen.
#[derive(Debug, Clone)]
pub(super) struct Joined<'a> {
    /// Unique within the card.
    pub id: String,
    pub from: &'a str,
    pub to: &'a str,
    pub what: &'a str,
    pub modes: &'a [RestMode],
}

impl<'a> Joined<'a> {
    fn of(rest: &'a CardRest) -> Self {
        Self {
            id: rest.id.clone(),
            from: &rest.from,
            to: &rest.to,
            what: &rest.what,
            modes: &rest.modes,
        }
    }

    /// What the finished product does; its ends are the caller's.
    pub(super) fn keep(card: &'a Card) -> Self {
        Self { id: String::new(), from: "", to: "", what: &card.name, modes: &card.keeps }
    }

    /// Least minutes of the usual way, as reckoned.
    fn least(&self, counts: &Counts, climate: &Climate) -> u64 {
        let usual = self.modes.iter().find(|mode| counts.holds(mode.when.as_ref()));
        usual.map_or(0, |mode| {
            let heat = mode.heat.as_ref().map_or(0, |heat| reckon(heat, counts, climate).minutes);
            counts.sum(&mode.least).saturating_add(heat.into())
        })
    }
}

/// The rests that happen. Where a step is left out, each rest before it meets each rest after it, and
/// the one with the longer least time holds from end to end (the earlier one when they are equal).
pub(super) fn join<'a>(card: &'a Card, counts: &Counts, climate: &Climate) -> Vec<Joined<'a>> {
    let mut rests: Vec<Joined<'a>> =
        card.rests.iter().filter(|rest| counts.holds(rest.when.as_ref())).map(Joined::of).collect();
    for step in card.steps.iter().filter(|step| !counts.holds(step.when.as_ref())) {
        let (before, others): (Vec<_>, Vec<_>) =
            rests.into_iter().partition(|rest| rest.to == step.id);
        let (after, others): (Vec<_>, Vec<_>) =
            others.into_iter().partition(|rest| rest.from == step.id);
        rests = others;
        for first in &before {
            for second in &after {
                let shorter = first.least(counts, climate) < second.least(counts, climate);
                let longer = if shorter { second } else { first };
                let mut joined = longer.clone();
                joined.from = first.from;
                joined.to = second.to;
                if rests.iter().any(|rest| rest.id == joined.id) {
                    joined.id = format!("{}-{}-{}", longer.id, first.from, second.to);
                }
                rests.push(joined);
            }
        }
    }
    rests
}
