//! A week that is handed on: what a helper needs, in a link that holds it all.
//!
//! In: what happens ([`crate::week::doings`]), the orders it is for, and what she chose to hand on. Out: a
//! [`SharedWeek`], its link, and the week read back from a link, or words that say why not. Knows no
//! screen and no clock. A shared week never holds a client's name, contact, address or price, nor a
//! picture: it has no field for them, and what she wrote herself is searched for the client's name and
//! for what looks like a number or an address.
//!
//! The link's fragment, which no server sees, is `w1.` and base64url (RFC 4648 §5, without padding), or
//! `n1.` and decimal digits, which a QR code holds in fewer squares. Both carry the same bytes: a CRC-32
//! of the version and of what follows, and the week's columns ([`pack`](self)) through a small coder that
//! has read words of the trade before ([`squeeze`](self)). The checksum is over the bytes as they are
//! carried, so that a change of any one character changes at most 32 of its bits in a row, which a
//! CRC-32 always finds.

mod choose;
mod link;
mod pack;
mod qr;
mod squeeze;
mod ticks;

use crate::calendar::{Date, Wall};

pub use choose::{Choice, Named, bare};
pub use link::{LINK_LONGEST, LinkError, digits_of, fragment_of, read_fragment};
pub use qr::{QR_MODULES_MAX, QrDrawing, qr};
pub use ticks::{tick_key, ticked, with_ticks};

/// The most entries that a shared week holds.
pub const ENTRIES_MAX: usize = 2000;
/// The most orders that a shared week holds.
pub const ORDERS_MAX: usize = 500;

/// A week as a helper sees it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SharedWeek {
    /// When it was handed on, on the baker's wall clock.
    pub made: Wall,
    /// What the baker says with it, may be empty.
    pub note: String,
    /// Only those that something happens for.
    pub orders: Vec<SharedOrder>,
    /// By start.
    pub entries: Vec<Entry>,
}

/// An order, without its client.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SharedOrder {
    /// Two letters.
    pub mark: String,
    /// Its theme; empty when orders are named by their mark only.
    pub name: String,
    /// Allergies as noted; empty when there are none, or they are not handed on.
    pub allergies: String,
    /// Which of the eight tints it has, 0 to 7.
    pub tint: u8,
}

/// What kind an entry is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EntryKind {
    /// Hands-on work.
    Work,
    /// Fine handwork.
    Fine,
    /// In the oven.
    Oven,
    /// Something moves from one place to another.
    TakeOut,
    /// An order leaves the kitchen.
    Handover,
}

impl EntryKind {
    /// All of them, as links number them: only ever added to at the end.
    pub const ALL: [Self; 5] = [Self::Work, Self::Fine, Self::Oven, Self::TakeOut, Self::Handover];
}

/// One thing that happens.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// What kind.
    pub kind: EntryKind,
    /// Which of [`SharedWeek::orders`].
    pub order: usize,
    /// When it starts, on the baker's wall clock.
    pub at: Wall,
    /// Minutes on the wall clock; 0 for a moment.
    pub minutes: u32,
    /// What to do.
    pub title: String,
    /// Of which product, may be empty.
    pub product: String,
    /// How much, may be empty.
    pub detail: String,
    /// Which sitting of how many, counted from 1; none when there is only one.
    pub part: Option<(u32, u32)>,
    /// Ticked off by the baker already.
    pub done: bool,
}

impl Entry {
    /// When it ends.
    pub fn end(&self) -> Wall {
        self.at.plus_minutes(i64::from(self.minutes))
    }
}

impl SharedWeek {
    /// The days on which something happens, each with the numbers of its entries.
    pub fn days(&self) -> Vec<(Date, Vec<usize>)> {
        let mut days: Vec<(Date, Vec<usize>)> = Vec::new();
        for (index, entry) in self.entries.iter().enumerate() {
            let date = entry.at.date();
            match days.last_mut() {
                Some((last, own)) if *last == date => own.push(index),
                _ => days.push((date, vec![index])),
            }
        }
        days
    }
}

#[cfg(test)]
mod tests;
