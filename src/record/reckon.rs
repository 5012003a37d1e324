//! What orders are broken down with outside the week's plan: the book's cards, kitchen and habit, gathered once for as
//! many orders as are asked about.

use super::Book;
use super::planned::longest_sittings;
use crate::breakdown::{Longest, Work, break_down_within};
use crate::calendar::MyTime;
use crate::card::Card;
use crate::kitchen::Kitchen;
use crate::margin::Margins;
use crate::order::Order;

/// Gathered from a book.
pub(super) struct Reckoner<'a> {
    kitchen: &'a Kitchen,
    cards: Vec<Card>,
    longest: Longest,
}

impl Book {
    /// None while there is no kitchen to make anything in.
    pub(super) fn reckoner(&self) -> Option<Reckoner<'_>> {
        let kitchen = self.kitchen.as_ref()?;
        let typical = MyTime::typical();
        let longest = longest_sittings(self.time.as_ref().unwrap_or(&typical));
        Some(Reckoner { kitchen, cards: self.all_cards(), longest })
    }
}

impl Reckoner<'_> {
    /// Every card in every version.
    pub(super) fn known(&self) -> Vec<&Card> {
        self.cards.iter().collect()
    }

    /// An order, which need not be in the book, broken down alone.
    pub(super) fn work(&self, order: &Order, margins: &Margins) -> Work {
        break_down_within(&[order], &self.known(), self.kitchen, self.longest, margins)
    }
}
