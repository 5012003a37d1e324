//! What she hands on: which days, which orders, and how the orders are named.

use std::collections::{BTreeMap, BTreeSet};

use super::{ENTRIES_MAX, Entry, EntryKind, ORDERS_MAX, SharedOrder, SharedWeek};
use crate::calendar::{Date, Horizon, Wall};
use crate::order::{Order, OrderId};
use crate::plan::arrange::Arrange;
use crate::week::{BlockKind, Doing, DoingKind};

/// How orders are named.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Named {
    /// By their two letters.
    Mark,
    /// By their theme too.
    Theme,
}

/// What is handed on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// These days; what begins on them.
    pub days: BTreeSet<Date>,
    /// All orders but these.
    pub without: BTreeSet<OrderId>,
    /// How orders are named.
    pub named: Named,
    /// Whether allergies are handed on, as noted in the order.
    pub allergies: bool,
    /// What she says with it.
    pub note: String,
}

/// The longest note, in characters.
const NOTE_LONGEST: usize = 300;
/// The longest text of an order or an entry, in characters.
const TEXT_LONGEST: usize = 160;

impl Choice {
    /// Whether something is handed on.
    pub fn takes(&self, doing: &Doing, horizon: &Horizon) -> bool {
        self.days.contains(&horizon.wall(doing.span.start).date())
            && !self.without.contains(&doing.order)
    }

    /// The week as it is handed on at a moment. Holds at most [`ENTRIES_MAX`] entries and
    /// [`ORDERS_MAX`] orders, the first ones.
    pub fn share(
        &self,
        doings: &[Doing],
        horizon: &Horizon,
        orders: &BTreeMap<OrderId, Order>,
        made: Wall,
    ) -> SharedWeek {
        let mut numbers: BTreeMap<OrderId, usize> = BTreeMap::new();
        let mut week = SharedWeek {
            made,
            note: tidy(&self.note, NOTE_LONGEST),
            orders: vec![],
            entries: vec![],
        };
        for doing in doings.iter().filter(|doing| self.takes(doing, horizon)) {
            if week.entries.len() == ENTRIES_MAX || numbers.len() == ORDERS_MAX {
                break;
            }
            let known = numbers.get(&doing.order).copied();
            let order = known.unwrap_or_else(|| {
                week.orders.push(self.order(doing.order, orders.get(&doing.order)));
                numbers.insert(doing.order, week.orders.len() - 1);
                week.orders.len() - 1
            });
            let (at, end) = (horizon.wall(doing.span.start), horizon.wall(doing.span.end));
            week.entries.push(Entry {
                kind: match doing.kind {
                    DoingKind::Work(BlockKind::Plain) => EntryKind::Work,
                    DoingKind::Work(BlockKind::Fine) => EntryKind::Fine,
                    DoingKind::Work(BlockKind::Oven) => EntryKind::Oven,
                    DoingKind::TakeOut => EntryKind::TakeOut,
                    DoingKind::Handover => EntryKind::Handover,
                },
                order,
                at,
                minutes: u32::try_from(end.as_if_utc() - at.as_if_utc()).unwrap_or(0),
                title: tidy(&doing.title, TEXT_LONGEST),
                product: tidy(&doing.product, TEXT_LONGEST),
                detail: tidy(&doing.detail, TEXT_LONGEST),
                part: doing.part.map(|(one, of)| (small(one), small(of))),
                done: doing.done,
            });
        }
        // On a night in which the clocks went back too.
        week.entries.arrange_by_key(|entry| entry.at);
        week
    }

    fn order(&self, id: OrderId, order: Option<&Order>) -> SharedOrder {
        let tint = u8::try_from(id.0 % 8).unwrap_or(0);
        let Some(order) = order else {
            let none = String::new;
            return SharedOrder {
                mark: format!("O{}", id.0 % 10),
                name: none(),
                allergies: none(),
                tint,
            };
        };
        let mark = tidy(&order.mark(), 2);
        let own = |text: &str, wanted: bool| {
            let text = if wanted { bare(text, &order.client, &mark) } else { String::new() };
            tidy(&text, TEXT_LONGEST)
        };
        SharedOrder {
            name: own(&order.theme, self.named == Named::Theme),
            allergies: own(&order.allergies, self.allergies),
            tint,
            mark,
        }
    }
}

fn small(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

/// One line without control characters, at most so long.
fn tidy(text: &str, longest: usize) -> String {
    let visible = text.chars().map(|letter| if letter.is_control() { ' ' } else { letter });
    let text: String = visible.take(longest).collect();
    text.trim().to_owned()
}

/// A text of hers without what tells who the client is: each word of the client's name becomes the
/// order's mark, and what looks like a telephone number, a mail address or a link becomes `…`.
///
/// A name is found as a whole word, with an ending of at most two letters (“Mira’s”), whatever its
/// capitals; words of one letter, and of two when they are no name by themselves, are left.
pub fn bare(text: &str, client: &str, mark: &str) -> String {
    let names: Vec<String> = words(client)
        .map(str::to_lowercase)
        .filter(|name| name.chars().count() > 2 || name == &client.trim().to_lowercase())
        .collect();
    let text = without_numbers(text);
    let mut out = String::new();
    for piece in text.split_inclusive(char::is_whitespace) {
        let word = piece.trim_end();
        let rest = piece.get(word.len()..).unwrap_or_default();
        let digits = word.chars().filter(char::is_ascii_digit).count();
        if word.contains('@') || word.contains("://") || word.starts_with("www.") || digits > 5 {
            out.push('…');
        } else {
            push_without(&mut out, word, &names, mark);
        }
        out.push_str(rest);
    }
    out
}

/// A piece without spaces, its parts between signs compared one by one.
fn push_without(out: &mut String, word: &str, names: &[String], mark: &str) {
    let mut from = 0;
    for part in words(word) {
        // Parts are slices of the word, in its order.
        let Some(at) = word.get(from..).and_then(|rest| rest.find(part)).map(|at| at + from) else {
            continue;
        };
        out.push_str(word.get(from..at).unwrap_or_default());
        let lower = part.to_lowercase();
        let named = names.iter().any(|name| {
            lower.strip_prefix(name.as_str()).is_some_and(|ending| ending.chars().count() <= 2)
        });
        out.push_str(if named { mark } else { part });
        from = at + part.len();
    }
    out.push_str(word.get(from..).unwrap_or_default());
}

/// Runs of digits with spaces, dots, strokes or brackets between them become `…` when they hold more
/// than six digits.
fn without_numbers(text: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let mut out = String::new();
    let mut at = 0;
    while let Some(letter) = letters.get(at) {
        let begins = letter.is_ascii_digit() || *letter == '+';
        let mut end = at;
        if begins {
            let goes_on = |letter: &char| letter.is_ascii_digit() || " .-/()+".contains(*letter);
            while letters.get(end).is_some_and(goes_on) {
                end += 1;
            }
        }
        let run = letters.get(at..end).unwrap_or_default();
        if run.iter().filter(|letter| letter.is_ascii_digit()).count() > 6 {
            out.push('…');
            out.extend(run.iter().rev().take_while(|letter| **letter == ' '));
            at = end;
        } else {
            out.push(*letter);
            at += 1;
        }
    }
    out
}

fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty())
}
