//! Orders × cards → steps and rests.

use crate::card::Card;
use crate::kitchen::Kitchen;
use crate::order::Order;

use super::Work;

/// Breaks the given orders down. `cards` holds every card that they name, and their components.
/// `longest` is the longest sitting, in minutes, that the baker's windows and day limits allow;
/// longer steps are cut where their card allows it. An unknown card becomes a problem note.
pub fn break_down(orders: &[&Order], cards: &[&Card], kitchen: &Kitchen, longest: u32) -> Work {
    let _ = (orders, cards, kitchen, longest);
    Work::default()
}
