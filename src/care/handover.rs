//! The check list of an order before it leaves.

use std::collections::BTreeSet;

use super::Care;
use crate::breakdown::Work;
use crate::card::{Card, find_card};
use crate::order::{HandoverWay, Order};

/// The line of the check list that a photo of what leaves answers by itself.
pub const PHOTO: &str = "photo";

/// One line of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HandoverCheck {
    /// The same as long as the order is: `count.1`, `label`, `paid`.
    pub id: String,
    /// "24 cookies, each looked at".
    pub words: String,
    /// Ticked.
    pub done: bool,
}

/// What has to be right before an order leaves, in the order in which hands do it. Common practice, no published source.
pub fn handover_checks(
    order: &Order,
    care: &Care,
    work: &Work,
    cards: &[&Card],
) -> Vec<HandoverCheck> {
    let mut lines: Vec<(String, String)> = Vec::new();
    for item in &order.items {
        let card = find_card(cards, &item.card, &item.versions);
        let what = match card {
            Some(card) if item.count == 1 => format!("1 {}", card.piece),
            Some(card) => format!("{} {}", item.count, card.pieces),
            None => format!("{} × {}", item.count, item.card),
        };
        lines.push((format!("count.{}", item.id.0), format!("{what}, counted and looked at")));
    }
    let boxes = boxes(order, work);
    if !boxes.is_empty() {
        lines.push(("boxed".into(), format!("Boxed: {}", boxes.join(", "))));
    }
    let mut label = "Labels on: product, ingredients, allergens, use by".to_owned();
    if let Some((_, line)) = care.contains.first() {
        label = format!("{label}. {line}");
    }
    lines.push(("label".into(), label));
    let allergies = order.allergies.trim();
    if !allergies.is_empty() {
        lines.push((
            "allergies".into(),
            format!("Allergies gone through with the client: {allergies}"),
        ));
    }
    if !care.cold.is_empty() {
        let cold = care.cold.join(", ");
        lines.push((
            "cold".into(),
            format!("Kept cold on the way, and said so to the client: {cold}"),
        ));
    }
    match &order.handover.way {
        HandoverWay::Delivery { travel, place } => {
            let to = if place.is_empty() { String::new() } else { format!(" to {place}") };
            lines.push((
                "level".into(),
                "Stands level in the car, nothing on it, nothing loose beside it".into(),
            ));
            lines.push(("way".into(), format!("Off{to} with {travel} min for the way")));
        }
        HandoverWay::Collection => {
            lines.push((
                "carry".into(),
                "Told the client to carry it level and out of the sun".into(),
            ));
        }
    }
    lines.push((PHOTO.into(), "Photographed".into()));
    lines.push(("paid".into(), "Paid".into()));
    let done = |id: &String| order.checked.contains(id);
    lines.into_iter().map(|(id, words)| HandoverCheck { done: done(&id), id, words }).collect()
}

/// "2 × cookie box", by what stands until the handover.
fn boxes(order: &Order, work: &Work) -> Vec<String> {
    let mut named: Vec<String> = Vec::new();
    let mut seen = BTreeSet::new();
    for rest in work.last_of(order.id).filter(|rest| seen.insert(&rest.id)) {
        let stay = rest.choices.iter().find_map(|choice| choice.stay.as_ref());
        for one in stay.iter().flat_map(|stay| &stay.boxes) {
            named.push(format!("{} × {} ({})", one.count, one.kind, rest.what));
        }
    }
    named
}
