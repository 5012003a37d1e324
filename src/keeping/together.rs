//! What is made of several parts: it keeps no longer than its shortest-keeping part.

use crate::kitchen::Place;

use super::control::{Control, control};
use super::limit::{Avoid, KeepingLimit, LimitKind};
use super::table::{avoid, limits, limits_of};

/// How long several parts may rest together in one place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Together {
    /// The tightest safety limit among the parts, if any has one.
    pub safety: Option<&'static KeepingLimit>,
    /// The tightest quality limit among the parts, if any has one.
    pub quality: Option<&'static KeepingLimit>,
    /// Parts that should not rest there at all.
    pub avoid: Vec<&'static Avoid>,
    /// Parts of which nothing is known there: the limits then say nothing about the whole.
    pub unknown: Vec<String>,
}

impl Together {
    /// The fewer minutes of safety and quality; None when a part is unknown there or there is no limit.
    pub fn minutes(&self) -> Option<u32> {
        if !self.unknown.is_empty() {
            return None;
        }
        let minutes = [self.safety, self.quality].into_iter().flatten().map(|limit| limit.minutes);
        minutes.min()
    }
}

/// Whether a place is at room temperature.
pub fn is_room(place: Place) -> bool {
    matches!(place, Place::Counter | Place::RoomShelf | Place::Rack)
}

/// Limits that hold for a product in a place: those of the place itself, and at room temperature those of
/// every room place, so that a shelf is no way round the counter.
pub fn limits_at(product: &str, place: Place) -> Vec<&'static KeepingLimit> {
    if !is_room(place) {
        return limits_of(product, place);
    }
    limits().filter(|limit| limit.product == product && is_room(limit.place)).collect()
}

/// The parts' limits in a place, taken together. A part that is listed twice counts once.
pub fn together(parts: &[&str], place: Place) -> Together {
    let mut all = Together { safety: None, quality: None, avoid: Vec::new(), unknown: Vec::new() };
    for (index, part) in parts.iter().enumerate() {
        if parts[..index].contains(part) {
            continue;
        }
        let known = limits_at(part, place);
        let against = avoid(part, place);
        // What needs no cold takes no harm in it: only its taste could speak against it.
        let harmless = place == Place::Fridge && control(part) == Some(Control::NotNeeded);
        if known.is_empty() && against.is_none() && !harmless {
            all.unknown.push((*part).to_owned());
        }
        all.avoid.extend(against);
        for limit in known {
            let slot = match limit.kind {
                LimitKind::Safety => &mut all.safety,
                LimitKind::Quality => &mut all.quality,
            };
            if slot.is_none_or(|held| limit.minutes < held.minutes) {
                *slot = Some(limit);
            }
        }
    }
    all
}

/// The shortest of a product's safety limits over several parts; None when no part has one there.
pub fn safe_minutes(parts: &[&str], place: Place) -> Option<u32> {
    together(parts, place).safety.map(|limit| limit.minutes)
}
