//! A card as a form: every place of it that can be written by hand, with its label, its range and its words.
//!
//! In: a card, and what is written at a place. Out: the card so changed, or what is wrong at that place with a valid
//! example. Places are named as [`super::CardError`] names them, for example `steps[2].work[0].each`. What is taken
//! here need not make a sound card yet: [`Card::validate`] judges the whole. Knows no screen.

mod entries;
mod rows;
mod schema;
#[cfg(test)]
mod tests;
mod write;

pub use entries::{Entry, What};
pub use schema::Base;

use serde_json::Value;

use super::{Card, GIVEN_COUNTS};
use crate::plan::json;
use schema::{CARD, Kind, Row, Type};

/// What is wrong with a card, without how it would be put right in a file.
pub fn without_file_words(message: &str) -> &str {
    message.split_once("; in a file ").map_or(message, |(said, _)| said)
}

/// A card, open to be written.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    card: Card,
    value: Value,
    /// Cards of components that there are: id and name.
    parts: Vec<Part>,
}

/// A card that may be a component of this one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Its options: id and label.
    pub options: Vec<(String, String)>,
}

impl Sheet {
    /// Opens a card. `cards` are all cards; the components among them can be chosen.
    pub fn of(card: Card, cards: &[Card]) -> Self {
        let value = json::value_of(&card).unwrap_or_default();
        let parts = cards.iter().filter(|other| other.component && other.id != card.id);
        let parts = parts
            .map(|other| Part {
                id: other.id.clone(),
                name: other.name.clone(),
                options: other.options.iter().map(|o| (o.id.clone(), o.label.clone())).collect(),
            })
            .collect();
        Self { card, value, parts }
    }

    /// The card as it is written so far.
    pub fn card(&self) -> &Card {
        &self.card
    }

    fn get(&self, path: &str) -> Option<&Value> {
        self.value.pointer(&pointer(path))
    }

    /// Whether a count, an option or a thing has that id.
    fn is_named(&self, id: &str) -> bool {
        let card = &self.card;
        GIVEN_COUNTS.contains(&id)
            || card.options.iter().any(|option| option.id == id)
            || card.counts.iter().any(|count| count.id == id)
            || card.things.iter().any(|thing| thing.id == id)
    }

    /// Takes a changed value if it still reads as a card.
    fn take(&mut self, value: Value) -> Result<(), String> {
        self.card = json::of_value(&value).map_err(|fault| fault.to_string())?;
        self.value = value;
        Ok(())
    }

    /// The kind of value at a place, and the type around it; none where the schema has nothing.
    fn kind(&self, path: &str) -> Option<Kind> {
        let mut around: &'static Type = &CARD;
        let mut kind = None;
        let mut here = String::new();
        for (name, index) in segments(path) {
            if let Some(Kind::Names) = kind {
                return None;
            }
            if ["pass", "set"].contains(&here.rsplit('.').next().unwrap_or_default())
                && here.starts_with("components[")
            {
                return Some(if field(&here) == "pass" { PASS } else { Kind::Set });
            }
            let outer = here.clone();
            here = join(&here, name);
            if ["pass", "set"].contains(&name) && outer.starts_with("components[") {
                continue;
            }
            let (_, _, found, _) = self.rows(around, &outer).find(|row| row.0 == name)?;
            match (found, index) {
                (Kind::List(inner, ..), Some(index)) => {
                    around = inner;
                    kind = Some(Kind::Group(inner));
                    here = format!("{here}[{index}]");
                }
                (Kind::Names, Some(_)) => {
                    return Some(Kind::MayChoice(schema::Source::Names, "nothing"));
                }
                (Kind::Group(inner) | Kind::May(inner, _), None) => {
                    around = inner;
                    kind = Some(found);
                }
                (_, None) => kind = Some(found),
                (_, Some(_)) => return None,
            }
        }
        kind
    }

    /// The rows of an object: its type's, and those of the form that it has.
    fn rows<'a>(&'a self, of: &'static Type, path: &str) -> impl Iterator<Item = Row> + use<'a> {
        let form = of.forms.as_ref().and_then(|forms| {
            let tag = self.get(&join(path, forms.tag)).and_then(Value::as_str);
            forms.all.iter().find(|form| Some(form.name) == tag)
        });
        let tag = of
            .forms
            .as_ref()
            .map(|forms| (forms.tag, forms.label, Kind::Choice(schema::Source::These(&[])), ""));
        let own = form.map_or(&[][..], |form| form.rows);
        of.rows.iter().copied().chain(tag).chain(own.iter().copied())
    }

    /// The type of the object at a place.
    fn object(&self, path: &str) -> Option<&'static Type> {
        if path.is_empty() {
            return Some(&CARD);
        }
        match self.kind(path)? {
            Kind::Group(inner) | Kind::May(inner, _) => Some(inner),
            _ => None,
        }
    }
}

/// An option of a component's card that follows a name of this one.
const PASS: Kind = Kind::MayChoice(schema::Source::Names, "as usual there");

/// A field within an object.
fn join(path: &str, field: &str) -> String {
    if path.is_empty() { field.to_owned() } else { format!("{path}.{field}") }
}

/// The name of the field at a place.
fn field(path: &str) -> &str {
    path.rsplit('.').next().unwrap_or_default()
}

/// The parts of a path: each a name and, within a list, a number.
fn segments(path: &str) -> impl Iterator<Item = (&str, Option<usize>)> {
    path.split('.').filter(|part| !part.is_empty()).map(|part| match part.split_once('[') {
        Some((name, index)) => (name, index.trim_end_matches(']').parse().ok()),
        None => (part, None),
    })
}

/// The same as a JSON pointer (RFC 6901). Names on cards have no slash and no tilde.
fn pointer(path: &str) -> String {
    let mut pointer = String::new();
    for (name, index) in segments(path) {
        pointer = [&pointer, "/", name].concat();
        if let Some(index) = index {
            pointer = format!("{pointer}/{index}");
        }
    }
    pointer
}

/// The list and the number of a place that is an item of one.
fn item(path: &str) -> Option<(&str, usize)> {
    let (list, index) = path.strip_suffix(']')?.rsplit_once('[')?;
    Some((list, index.parse().ok()?))
}
