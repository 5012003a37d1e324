//! What an order must be before it is kept.

use std::collections::BTreeSet;

use super::{HandoverWay, Item, Order, PICTURES_MAX};
use crate::refusal::Refusal;

const NAME_MAX: usize = 120;
const TEXT_MAX: usize = 2000;
const MARK_MAX: usize = 2;
const ITEMS_MAX: usize = 40;
const CHECKED_MAX: usize = 200;
const CHECK_LONGEST: usize = 60;
const OPTIONS_MAX: usize = 60;
/// Most pieces of one item.
const COUNT_MAX: u32 = 1000;
/// Highest order number; leaves the next one room.
pub(crate) const ORDER_NUMBER_MAX: u32 = 999_999_999;
/// Longest way there, in minutes.
const TRAVEL_MAX: u16 = 600;
/// Most guests.
const GUESTS_MAX: u32 = 10_000;
/// Most hours past a limit of quality: a week.
const PAST_BEST_MAX: u16 = 168;

impl Order {
    /// The order with its texts trimmed and without control characters (line breaks stay in notes).
    #[must_use]
    pub fn cleaned(mut self) -> Self {
        for line in [&mut self.client, &mut self.theme, &mut self.mark] {
            *line = one_line(line);
        }
        for text in [&mut self.allergies, &mut self.agreed, &mut self.notes] {
            *text = many_lines(text);
        }
        for item in &mut self.items {
            item.notes = many_lines(&item.notes);
        }
        if let HandoverWay::Delivery { place, .. } = &mut self.handover.way {
            *place = one_line(place);
        }
        for picture in self.pictures.iter_mut().chain(&mut self.handed) {
            picture.words = one_line(&picture.words);
        }
        self
    }

    /// Everything that is not right, by field; empty when it can be kept. Whether its cards exist and
    /// its option values are in range is for the card room to say.
    pub fn validate(&self) -> Vec<Refusal> {
        let mut refusals = Vec::new();
        let mut refuse =
            |field: String, message: String| refusals.push(Refusal::of(field, message));
        if !(1..=ORDER_NUMBER_MAX).contains(&self.id.0) {
            refuse(
                "id".into(),
                format!("{} is no order's number; take the next one, for example 1", self.id.0),
            );
        }
        if self.client.trim().is_empty() {
            refuse("client".into(), "is empty; write who it is for, for example Mara".into());
        }
        for (field, text, most) in [
            ("client", &self.client, NAME_MAX),
            ("theme", &self.theme, TEXT_MAX),
            ("mark", &self.mark, MARK_MAX),
            ("allergies", &self.allergies, TEXT_MAX),
            ("agreed", &self.agreed, TEXT_MAX),
            ("notes", &self.notes, TEXT_MAX),
        ] {
            let length = text.chars().count();
            if length > most {
                refuse(field.into(), format!("has {length} letters; shorten it to at most {most}"));
            }
        }
        let longest = self.checked.iter().map(String::len).max().unwrap_or(0);
        if CHECKED_MAX < self.checked.len() || CHECK_LONGEST < longest {
            refuse(
                "checked".into(),
                "holds more ticks than a check list has; tick it off anew".into(),
            );
        }
        let (year, ..) = self.handover.at.date().parts();
        if !(2000..2200).contains(&year) {
            refuse(
                "handover.at".into(),
                format!("the year {year} cannot be right; write for example 2026-11-28T18:30"),
            );
        }
        if let HandoverWay::Delivery { travel, place } = &self.handover.way {
            if *travel > TRAVEL_MAX {
                refuse(
                    "handover.travel".into(),
                    format!(
                        "{travel} minutes is too long; write 0 to {TRAVEL_MAX}, for example 25"
                    ),
                );
            }
            let length = place.chars().count();
            if length > TEXT_MAX {
                refuse(
                    "handover.place".into(),
                    format!("has {length} letters; shorten it to at most {TEXT_MAX}"),
                );
            }
        }
        if GUESTS_MAX < self.guests {
            refuse(
                "guests".into(),
                format!("{} are too many; write 0 to {GUESTS_MAX}, for example 30", self.guests),
            );
        }
        if PAST_BEST_MAX < self.past_best {
            refuse(
                "past_best".into(),
                format!(
                    "{} hours are too many; write 0 to {PAST_BEST_MAX}, for example 12",
                    self.past_best
                ),
            );
        }
        for (field, pictures) in [("pictures", &self.pictures), ("handed", &self.handed)] {
            if PICTURES_MAX < pictures.len() {
                let message = format!(
                    "are {}; take some out, so that at most {PICTURES_MAX} are left",
                    pictures.len()
                );
                refuse(field.into(), message);
            }
            let ids: BTreeSet<_> = pictures.iter().map(|picture| picture.id).collect();
            if ids.len() < pictures.len() {
                refuse(field.into(), "hold the same picture twice; take one out".into());
            }
            for (index, picture) in pictures.iter().enumerate() {
                if let Some(message) = picture.fault() {
                    refuse(format!("{field}.{index}"), message);
                }
            }
        }
        if self.items.is_empty() {
            refuse(
                "items".into(),
                "holds nothing; add at least one item, for example 24 cookies".into(),
            );
        } else if self.items.len() > ITEMS_MAX {
            refuse(
                "items".into(),
                format!(
                    "holds {}; split the order so that each has at most {ITEMS_MAX}",
                    self.items.len()
                ),
            );
        }
        let mut seen = BTreeSet::new();
        for (index, item) in self.items.iter().enumerate() {
            let field = format!("items.{index}");
            if !seen.insert(item.id) {
                refuse(
                    format!("{field}.id"),
                    format!("another item has number {}; give each its own", item.id.0),
                );
            }
            item.check(&field, &mut refuse);
        }
        refusals
    }
}

impl Item {
    fn check(&self, field: &str, refuse: &mut impl FnMut(String, String)) {
        if self.card.is_empty() || self.card.chars().count() > NAME_MAX {
            refuse(
                format!("{field}.card"),
                "names no method card; choose one, for example decorated-cookies".into(),
            );
        }
        if !(1..=COUNT_MAX).contains(&self.count) {
            refuse(
                format!("{field}.count"),
                format!(
                    "{} pieces is not possible; write 1 to {COUNT_MAX}, for example 24",
                    self.count
                ),
            );
        }
        if self.spares > self.count {
            refuse(
                format!("{field}.spares"),
                format!(
                    "{} spares for {} pieces is too many; write at most {}, for example {}",
                    self.spares,
                    self.count,
                    self.count,
                    self.count.div_ceil(6)
                ),
            );
        }
        if self.options.len() > OPTIONS_MAX
            || self.options.keys().any(|option| option.chars().count() > NAME_MAX)
        {
            refuse(
                format!("{field}.options"),
                "are not those of any card; choose them again".into(),
            );
        }
        let length = self.notes.chars().count();
        if length > TEXT_MAX {
            refuse(
                format!("{field}.notes"),
                format!("has {length} letters; shorten it to at most {TEXT_MAX}"),
            );
        }
    }
}

/// Trimmed, every control character a space.
fn one_line(text: &str) -> String {
    let spaced: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    spaced.trim().to_owned()
}

/// Trimmed, without control characters other than line breaks.
fn many_lines(text: &str) -> String {
    let unified = text.replace("\r\n", "\n");
    let kept: String = unified
        .chars()
        .map(|c| if c == '\t' { ' ' } else { c })
        .filter(|c| *c == '\n' || !c.is_control())
        .collect();
    kept.trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::Date;
    use crate::order::model::tests::order;

    fn fields(order: &Order) -> Vec<String> {
        order.validate().into_iter().map(|refusal| refusal.field).collect()
    }

    #[test]
    fn an_ordinary_order_passes() {
        assert_eq!(fields(&order(1, "Mara")), [""; 0]);
    }

    #[test]
    fn each_wrong_field_is_named() {
        let mut bad = order(1, " ");
        bad.mark = "abc".into();
        bad.notes = "x".repeat(2001);
        bad.handover.at = Date::new(26, 11, 28).expect("a date").at(600);
        bad.handover.way = HandoverWay::Delivery { travel: 601, place: "y".repeat(2001) };
        bad.items[0].count = 0;
        bad.items[0].card.clear();
        bad.items.push(bad.items[0].clone());
        bad.items[1].count = 1001;
        bad.items[1].spares = 1002;
        assert_eq!(
            fields(&bad),
            [
                "client",
                "mark",
                "notes",
                "handover.at",
                "handover.travel",
                "handover.place",
                "items.0.card",
                "items.0.count",
                "items.0.spares",
                "items.1.id",
                "items.1.card",
                "items.1.count",
                "items.1.spares",
            ]
        );
        bad.items.clear();
        assert!(fields(&bad).contains(&"items".to_owned()));
    }

    #[test]
    fn order_numbers_start_at_one_and_end_before_they_run_out() {
        for (number, refused) in [(0, true), (1, false), (999_999_999, false), (u32::MAX, true)] {
            assert_eq!(fields(&order(number, "Mara")) == ["id"], refused, "{number}");
        }
    }

    #[test]
    fn the_limits_themselves_are_allowed() {
        let mut edge = order(1, &"n".repeat(120));
        edge.items[0].count = 1000;
        edge.items[0].spares = 1000;
        edge.notes = "ü".repeat(2000);
        assert_eq!(fields(&edge), [""; 0]);
    }

    #[test]
    fn cleaning_takes_control_characters_and_keeps_lines() {
        let mut dirty = order(1, "\u{7}Mara\tL.\u{0} ");
        dirty.notes = "\r\nfirst\r\nsecond\u{8}\u{1b}\n".into();
        let clean = dirty.cleaned();
        assert_eq!(clean.client, "Mara L.");
        assert_eq!(clean.notes, "first\nsecond");
        assert_eq!(clean.clone().cleaned(), clean, "cleaning twice changes nothing");
    }
}
