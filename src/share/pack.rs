//! A shared week as columns of small numbers, and back.
//!
//! All numbers are LEB128 (seven bits a byte, the lowest first). In order: when it was made; the texts, each
//! ended by a zero byte, with an empty one at the end; of each order the texts of mark, name and allergies and the tint; of
//! all entries their kinds, orders, titles, products, details, parts, whether done, minutes since the entry
//! before, lengths; at last the text of the note. A text is named by its number, counted from 1; 0 is the empty one.

use std::collections::BTreeMap;

use super::{ENTRIES_MAX, Entry, EntryKind, ORDERS_MAX, SharedOrder, SharedWeek};
use crate::calendar::Wall;

/// Years 1970 to 2200, in minutes.
const MINUTES_MAX: u64 = 230 * 366 * 24 * 60;
/// A hundred years between two entries are none that a week has.
const GAP_MAX: u64 = 100 * 366 * 24 * 60;

/// Texts by number, in order of their first use.
#[derive(Default)]
struct Texts<'a> {
    numbers: BTreeMap<&'a str, u64>,
    bytes: Vec<u8>,
}

impl<'a> Texts<'a> {
    fn number(&mut self, text: &'a str) -> u64 {
        if text.is_empty() {
            return 0;
        }
        if let Some(number) = self.numbers.get(text) {
            return *number;
        }
        let number = self.numbers.len() as u64 + 1;
        self.numbers.insert(text, number);
        self.bytes.extend(text.bytes().filter(|byte| *byte != 0));
        self.bytes.push(0);
        number
    }
}

fn put(out: &mut Vec<u8>, mut number: u64) {
    while number > 127 {
        out.push(number.to_le_bytes()[0] | 128);
        number >>= 7;
    }
    out.push(number.to_le_bytes()[0]);
}

/// The week's bytes. Entries must be by start.
pub(super) fn pack(week: &SharedWeek) -> Vec<u8> {
    let mut texts = Texts::default();
    let mut rows = Vec::new();
    put(&mut rows, week.orders.len() as u64);
    for order in &week.orders {
        for text in [&order.mark, &order.name, &order.allergies] {
            put(&mut rows, texts.number(text));
        }
        put(&mut rows, u64::from(order.tint));
    }
    put(&mut rows, week.entries.len() as u64);
    for column in 0..9 {
        let mut before = week.made.as_if_utc();
        for entry in &week.entries {
            let at = entry.at.as_if_utc();
            let number = match column {
                0 => EntryKind::ALL.iter().position(|kind| *kind == entry.kind).unwrap_or(0) as u64,
                1 => entry.order as u64,
                2 => texts.number(&entry.title),
                3 => texts.number(&entry.product),
                4 => texts.number(&entry.detail),
                5 => {
                    entry.part.map_or(0, |(one, of)| u64::from(of) << 16 | u64::from(one & 0xffff))
                }
                6 => u64::from(entry.done),
                // The first may lie before the moment of sharing: the sign is the lowest bit.
                7 => signed(at - before),
                _ => u64::from(entry.minutes),
            };
            before = at;
            put(&mut rows, number);
        }
    }
    put(&mut rows, texts.number(&week.note));
    let mut out = Vec::new();
    put(&mut out, u64::try_from(week.made.as_if_utc()).unwrap_or(0));
    out.append(&mut texts.bytes);
    out.push(0);
    out.append(&mut rows);
    out
}

fn signed(number: i64) -> u64 {
    number.unsigned_abs() << 1 | u64::from(number < 0)
}

/// Reads bytes from the front; none for anything that [`pack`] does not write.
struct Reader<'a> {
    bytes: &'a [u8],
}

impl Reader<'_> {
    fn number(&mut self, most: u64) -> Option<u64> {
        let mut number = 0;
        for shift in (0..63).step_by(7) {
            let (byte, rest) = self.bytes.split_first()?;
            self.bytes = rest;
            number |= u64::from(byte & 127) << shift;
            if *byte < 128 {
                return (number <= most).then_some(number);
            }
        }
        None
    }

    fn index(&mut self, most: usize) -> Option<usize> {
        usize::try_from(self.number(most as u64)?).ok()
    }

    fn small(&mut self) -> Option<u32> {
        u32::try_from(self.number(u64::from(u32::MAX))?).ok()
    }

    fn text(&mut self) -> Option<String> {
        let end = self.bytes.iter().position(|byte| *byte == 0)?;
        let (text, rest) = (self.bytes.get(..end)?, self.bytes.get(end + 1..)?);
        self.bytes = rest;
        let text = std::str::from_utf8(text).ok()?;
        (!text.chars().any(char::is_control)).then(|| text.to_owned())
    }
}

/// The week of these bytes; none when they are no week.
pub(super) fn unpack(bytes: &[u8]) -> Option<SharedWeek> {
    let mut from = Reader { bytes };
    let made = i64::try_from(from.number(MINUTES_MAX)?).ok()?;
    let mut texts = vec![String::new()];
    loop {
        let text = from.text()?;
        if text.is_empty() {
            break;
        }
        texts.push(text);
    }
    let text = |number: usize| texts.get(number).cloned();
    let last = texts.len() - 1;
    let mut orders = Vec::new();
    for _ in 0..from.index(ORDERS_MAX)? {
        orders.push(SharedOrder {
            mark: text(from.index(last)?)?,
            name: text(from.index(last)?)?,
            allergies: text(from.index(last)?)?,
            tint: u8::try_from(from.number(7)?).ok()?,
        });
    }
    let many = from.index(ENTRIES_MAX)?;
    let blank = Entry {
        kind: EntryKind::Work,
        order: 0,
        at: Wall::from_as_if_utc(0),
        minutes: 0,
        title: String::new(),
        product: String::new(),
        detail: String::new(),
        part: None,
        done: false,
    };
    let mut entries = vec![blank; many];
    for column in 0..9 {
        let mut before = made;
        for entry in &mut entries {
            match column {
                0 => entry.kind = *EntryKind::ALL.get(from.index(EntryKind::ALL.len())?)?,
                1 => entry.order = from.index(orders.len().checked_sub(1)?)?,
                2 => entry.title = text(from.index(last)?)?,
                3 => entry.product = text(from.index(last)?)?,
                4 => entry.detail = text(from.index(last)?)?,
                5 => {
                    let part = from.small()?;
                    entry.part = (part > 0).then_some((part & 0xffff, part >> 16));
                }
                6 => entry.done = from.number(1)? == 1,
                7 => {
                    let gap = from.number(GAP_MAX)?;
                    let minutes = i64::try_from(gap >> 1).ok()?;
                    let at = before + if gap & 1 == 1 { -minutes } else { minutes };
                    if !(0..=i64::try_from(MINUTES_MAX).ok()?).contains(&at) {
                        return None;
                    }
                    entry.at = Wall::from_as_if_utc(at);
                    before = at;
                }
                _ => entry.minutes = u32::try_from(from.number(7 * 24 * 60)?).ok()?,
            }
        }
    }
    let note = text(from.index(last)?)?;
    let sorted = entries.windows(2).all(|pair| pair[0].at <= pair[1].at);
    (from.bytes.is_empty() && sorted).then_some(SharedWeek {
        made: Wall::from_as_if_utc(made),
        note,
        orders,
        entries,
    })
}
