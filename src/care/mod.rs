//! What to know of an order before it is promised: allergens and clashes, what needs cold, what the cards warn of;
//! its labels, and its check list before it leaves.
//!
//! In: an order, its breakdown, its cards. Out: [`Care`]: lines for a label by either list, labels still to be read,
//! clashes with what the client named, products that need cold, cautions. Wherever it shows, the caution of
//! [`crate::keeping::CAUTION`] and [`crate::allergen::CAUTION`] stand beside it. Knows no plan and no clock.

mod avoid;
mod client;
mod handover;
mod label;

use std::collections::{BTreeMap, BTreeSet};

use crate::allergen::{Content, List, Sureness, conflicts, contains_line, content};
use crate::breakdown::Work;
use crate::card::{Card, StepKind, find_card};
use crate::kitchen::Place;
use crate::order::{ItemId, Order};
use crate::plan::arrange::set_of;
use crate::supply::{Kind, good};

pub use avoid::{Named, avoided};
pub use client::client_facts;
pub use handover::{HandoverCheck, PHOTO, handover_checks};
pub use label::{CHECK_PACKETS, LABEL_SHEETS, Label, LabelSheet, labels};

/// Said of what needs cold (common practice of home-food laws, which differ by place; no single source).
pub const COLD: &str = "In many places a home kitchen may not sell what needs a fridge without a licence. \
Your local food rules decide; ask before you promise it.";

/// What to know of an order.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Care {
    /// By whose list, and "Contains: milk, egg." for what is in for sure.
    pub contains: Vec<(&'static str, String)>,
    /// "soy: chocolate coating", where the label has to be read.
    pub check: Vec<String>,
    /// Ingredients of which nothing is known.
    pub unknown: Vec<String>,
    /// What goes against what the client named, or what of it nobody here understands; the order cannot be confirmed
    /// before she has written what was agreed.
    pub clashes: Vec<String>,
    /// Products that need cold.
    pub cold: Vec<String>,
    /// What holds egg that no oven bakes.
    pub egg: Vec<String>,
    /// What its cards warn of.
    pub cautions: Vec<String>,
}

impl Care {
    /// Reads an order; `work` is the breakdown of this order alone, or holds it among others.
    pub fn of(order: &Order, work: &Work, cards: &[&Card]) -> Self {
        let names = ingredients(order, None, work);
        let holds = content(names.iter().copied());
        let lists = [("US list", List::UnitedStates), ("EU and UK list", List::Europe)];
        let contains =
            lists.into_iter().filter_map(|(name, list)| Some((name, contains_line(&holds, list)?)));
        Self {
            contains: contains.collect(),
            check: to_read(&holds),
            unknown: holds.unknown.clone(),
            clashes: clashes(&order.allergies, names.iter().copied()),
            cold: cold(order, work),
            egg: egg(order, work),
            cautions: lines_of(order, work, cards, |card| &card.cautions),
        }
    }

    /// Whether somebody has to answer before it is confirmed.
    pub fn stops(&self, order: &Order) -> bool {
        !self.clashes.is_empty() && order.agreed.trim().is_empty()
    }
}

/// Names of what an order, or one item of it, is made of.
fn ingredients(order: &Order, item: Option<ItemId>, work: &Work) -> BTreeSet<&'static str> {
    let used = work.supplies.iter().filter(|used| used.order == order.id);
    let used = used.filter(|used| item.is_none_or(|item| used.item == item));
    set_of(used.filter_map(|used| {
        let good = good(&used.of)?;
        (good.kind == Kind::Ingredient).then_some(good.name.as_str())
    }))
}

fn clashes<'a>(allergies: &str, names: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let named = avoided(allergies);
    let found = conflicts(&named.avoids, names);
    let mut lines: Vec<String> = Vec::new();
    for clash in found.clashes {
        lines.push(match clash.sureness {
            Sureness::Contains => format!("{} is in: {}", clash.what, clash.ingredient),
            Sureness::CheckLabel => {
                format!("{} may be in: read the label of {}", clash.what, clash.ingredient)
            }
        });
    }
    for name in found.unknown {
        lines.push(format!("nothing is known of {name}: read its label"));
    }
    if !named.understood {
        lines.push(format!(
            "“{}” names nothing of the lists: hold it against each label",
            allergies.trim()
        ));
    }
    lines
}

/// "soy: chocolate coating", where the packet has to be read.
fn to_read(holds: &Content) -> Vec<String> {
    let check = holds.check.iter();
    check.map(|(allergen, by)| format!("{}: {}", allergen.name(), by.join(", "))).collect()
}

/// What is kept cold for safety on its way to the client.
fn cold(order: &Order, work: &Work) -> Vec<String> {
    let cold = work.last_of(order.id).filter(|rest| {
        rest.choices.iter().any(|choice| {
            choice.safety && choice.stay.as_ref().is_some_and(|stay| stay.place == Place::Fridge)
        })
    });
    let names = cold.filter_map(|rest| work.steps.iter().find(|step| step.id == rest.from));
    set_of(names.map(|step| step.product.clone())).into_iter().collect()
}

/// Products with egg in a card that bakes nothing.
fn egg(order: &Order, work: &Work) -> Vec<String> {
    let steps = || work.steps.iter().filter(|step| step.order == order.id);
    let bakes = set_of(steps().filter(|step| step.kind == StepKind::Oven).map(|step| &step.card));
    let by_id: BTreeMap<_, _> = steps().map(|step| (&step.id, step)).collect();
    let eggs = work.supplies.iter().filter(|used| {
        used.order == order.id && ["eggs", "egg-whites", "egg-yolks"].contains(&used.of.as_str())
    });
    let raw =
        eggs.filter_map(|used| by_id.get(&used.step)).filter(|step| !bakes.contains(&step.card));
    set_of(raw.map(|step| step.product.clone())).into_iter().collect()
}

/// Lines of its cards, each once, in the order of the work.
fn lines_of(
    order: &Order,
    work: &Work,
    cards: &[&Card],
    of: impl Fn(&Card) -> &Vec<String>,
) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for step in work.steps.iter().filter(|step| step.order == order.id) {
        let item = order.items.iter().find(|item| item.id == step.item);
        let Some(card) = item.and_then(|item| find_card(cards, &step.card, &item.versions)) else {
            continue;
        };
        for line in of(card) {
            if !lines.contains(line) {
                lines.push(line.clone());
            }
        }
    }
    lines
}
